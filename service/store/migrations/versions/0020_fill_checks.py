"""checks of the place, samples, examinations of filled packs"""

import sqlalchemy as sa
from alembic import op

revision = "0020"
down_revision = "0019"
branch_labels = None
depends_on = None


def _entry() -> list[sa.Column[object]]:
    """The columns of every entry of the record, each time anew: a column has one table."""
    return [
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("by", sa.String(length=20), nullable=True),
        sa.Column("happened_at", sa.DateTime(), nullable=False),
        sa.Column("entered_at", sa.DateTime(), nullable=False),
        sa.Column("entered_from", sa.String(length=12), nullable=False),
        sa.Column("about_seconds", sa.Integer(), nullable=True),
        sa.Column("corrects", sa.Integer(), nullable=True),
        sa.Column("void", sa.Boolean(), nullable=False),
        sa.Column("reason", sa.String(length=600), nullable=True),
        sa.Column("lot", sa.Integer(), nullable=False),
    ]


def _bound(table: str) -> list[sa.Constraint]:
    return [
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f(f"fk_{table}_by")),
        sa.ForeignKeyConstraint(["lot"], ["lots.id"], name=op.f(f"fk_{table}_lot")),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{table}")),
    ]


def _index(table: str) -> None:
    for column in ("corrects", "happened_at", "lot"):
        op.create_index(op.f(f"ix_{table}_{column}"), table, [column], unique=False)


def upgrade() -> None:
    op.create_table(
        "place_checks",
        *_entry(),
        sa.Column("place", sa.String(length=10), nullable=False),
        sa.Column("moment", sa.String(length=6), nullable=False),
        sa.Column("clear", sa.Boolean(), nullable=False),
        sa.Column("text", sa.String(length=600), nullable=True),
        *_bound("place_checks"),
    )
    op.create_table(
        "samples",
        *_entry(),
        sa.Column("kind", sa.String(length=8), nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.Column("entered_value", sa.String(length=30), nullable=False),
        sa.Column("entered_unit", sa.String(length=20), nullable=False),
        sa.Column("kept_at", sa.String(length=200), nullable=True),
        sa.Column("keep_until", sa.Date(), nullable=True),
        sa.Column("text", sa.String(length=600), nullable=True),
        sa.Column("movement", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["movement"], ["movements.id"], name=op.f("fk_samples_movement")),
        *_bound("samples"),
    )
    op.create_table(
        "examinations",
        *_entry(),
        sa.Column("examined", sa.Integer(), nullable=False),
        sa.Column("leaking", sa.Integer(), nullable=False),
        sa.Column("marred", sa.Integer(), nullable=False),
        sa.Column("appearance", sa.String(length=600), nullable=False),
        *_bound("examinations"),
    )
    for table in ("place_checks", "samples", "examinations"):
        _index(table)


def downgrade() -> None:
    for table in ("examinations", "samples", "place_checks"):
        for column in ("lot", "happened_at", "corrects"):
            op.drop_index(op.f(f"ix_{table}_{column}"), table_name=table)
        op.drop_table(table)
