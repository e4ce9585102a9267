"""Alembic's entry: the engine is handed over by service.store.migrate, never read from a file."""

from alembic import context
from sqlalchemy.types import TypeDecorator

from service.store.migrate import all_tables

engine = context.config.attributes["engine"]


def render_item(kind, item, _):
    """Write a column's type as what the database stores, so that migrations import none of us."""
    if kind != "type" or not isinstance(item, TypeDecorator):
        return False
    return f"sa.{item.impl_instance!r}"


with engine.connect() as connection:
    context.configure(
        connection=connection,
        target_metadata=all_tables(),
        render_as_batch=False,
        render_item=render_item,
        compare_type=True,
        transaction_per_migration=True,
    )
    with context.begin_transaction():
        context.run_migrations()
    connection.commit()
