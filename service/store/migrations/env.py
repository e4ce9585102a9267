"""Alembic's entry: the engine is handed over by service.store.migrate, never read from a file."""

from alembic import context

from service.store.migrate import all_tables

engine = context.config.attributes["engine"]

with engine.connect() as connection:
    context.configure(
        connection=connection,
        target_metadata=all_tables(),
        render_as_batch=connection.dialect.name == "sqlite",
        compare_type=True,
    )
    with context.begin_transaction():
        context.run_migrations()
    connection.commit()
