"""corrections: a fill is entered anew for the same packed lot; the trail is filtered by who"""

from collections.abc import Callable

import sqlalchemy as sa
from alembic import op

revision = "0021"
down_revision = "0020"
branch_labels = None
depends_on = None

_CORRECTED = (
    "select corrects from fills where corrects is not null union select id from fills where void"
)


def upgrade() -> None:
    _without_weights(_free_lot)
    op.create_index(op.f("ix_fills_lot"), "fills", ["lot"], unique=False)
    for column in ("key", "person"):
        op.create_index(op.f(f"ix_audit_entries_{column}"), "audit_entries", [column])


def downgrade() -> None:
    for column in ("person", "key"):
        op.drop_index(op.f(f"ix_audit_entries_{column}"), table_name="audit_entries")
    op.drop_index(op.f("ix_fills_lot"), table_name="fills")
    # The older shape knows one fill of a packed lot: the one that stands.
    gone = [row[0] for row in op.get_bind().exec_driver_sql(_CORRECTED)]
    for table, column in (("fill_weights", "fill"), ("fills", "id")):
        held = sa.table(table, sa.column(column))
        op.execute(held.delete().where(held.c[column].in_(gone)))
    _without_weights(_bind_lot)


def _free_lot() -> None:
    with op.batch_alter_table("fills") as table:
        table.drop_constraint(op.f("uq_fills_lot"), type_="unique")


def _bind_lot() -> None:
    with op.batch_alter_table("fills") as table:
        table.create_unique_constraint(op.f("uq_fills_lot"), ["lot"])


def _without_weights(change: Callable[[], None]) -> None:
    """SQLite makes the table anew, which it does not while weights point at it."""
    op.execute("create temporary table held_weights as select * from fill_weights")
    op.execute("delete from fill_weights")
    change()
    op.execute("insert into fill_weights select * from held_weights")
    op.execute("drop table held_weights")
