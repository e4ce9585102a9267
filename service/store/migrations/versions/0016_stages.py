"""stages of a batch as they were worked; with what a yield was weighed, and who checked it"""

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "batch_stages",
        *_recorded("batch_stages"),
        sa.Column("stage", sa.String(length=12), nullable=False),
        sa.Column("in_mg", sa.BigInteger(), nullable=True),
        sa.Column("equipment", sa.String(length=400), nullable=False),
        sa.Column("constant_percent", sa.BigInteger(), nullable=True),
        sa.Column("ready_on", sa.Date(), nullable=True),
    )
    op.create_table(
        "stage_entries",
        *_recorded("stage_entries"),
        sa.Column("kind", sa.String(length=8), nullable=False),
        sa.Column("amount_mg", sa.BigInteger(), nullable=True),
        sa.Column("part", sa.String(length=10), nullable=True),
        sa.Column("goes", sa.String(length=6), nullable=True),
        sa.Column("lot", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["lot"], ["lots.id"], name=op.f("fk_stage_entries_lot")),
    )
    op.create_index(op.f("ix_stage_entries_lot"), "stage_entries", ["lot"], unique=False)
    for table in ("batch_stages", "stage_entries"):
        for column in ("batch", "corrects", "happened_at"):
            op.create_index(op.f(f"ix_{table}_{column}"), table, [column], unique=False)
    # Both name rows that stand already, so the keys are checked as the columns are added.
    with op.batch_alter_table("yields") as yields:
        yields.add_column(sa.Column("balance", sa.String(length=20), nullable=True))
        yields.add_column(sa.Column("checked_by", sa.String(length=20), nullable=True))
        yields.create_foreign_key(op.f("fk_yields_balance"), "equipment", ["balance"], ["code"])
        yields.create_foreign_key(op.f("fk_yields_checked_by"), "people", ["checked_by"], ["code"])


def _recorded(table: str) -> tuple[sa.Column | sa.Constraint, ...]:
    """What both kinds of entry hold."""
    return (
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("by", sa.String(length=20), nullable=True),
        sa.Column("happened_at", sa.DateTime(), nullable=False),
        sa.Column("entered_at", sa.DateTime(), nullable=False),
        sa.Column("entered_from", sa.String(length=12), nullable=False),
        sa.Column("about_seconds", sa.Integer(), nullable=True),
        sa.Column("corrects", sa.Integer(), nullable=True),
        sa.Column("void", sa.Boolean(), nullable=False),
        sa.Column("reason", sa.String(length=600), nullable=True),
        sa.Column("batch", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("entered_value", sa.String(length=30), nullable=True),
        sa.Column("entered_unit", sa.String(length=20), nullable=True),
        sa.Column("balance", sa.String(length=20), nullable=True),
        sa.Column("checked_by", sa.String(length=20), nullable=True),
        sa.Column("remark", sa.String(length=600), nullable=True),
        sa.ForeignKeyConstraint(["balance"], ["equipment.code"], name=op.f(f"fk_{table}_balance")),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f(f"fk_{table}_batch")),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f(f"fk_{table}_by")),
        sa.ForeignKeyConstraint(
            ["checked_by"], ["people.code"], name=op.f(f"fk_{table}_checked_by")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f(f"pk_{table}")),
    )


def downgrade() -> None:
    with op.batch_alter_table("yields") as yields:
        yields.drop_constraint(op.f("fk_yields_checked_by"), type_="foreignkey")
        yields.drop_constraint(op.f("fk_yields_balance"), type_="foreignkey")
        yields.drop_column("checked_by")
        yields.drop_column("balance")
    op.drop_table("stage_entries")
    op.drop_table("batch_stages")
