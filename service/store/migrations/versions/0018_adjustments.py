"""goals that a batch is adjusted to, events, the colour ladder"""

import sqlalchemy as sa
from alembic import op

revision = "0018"
down_revision = "0017"
branch_labels = None
depends_on = None

_RECORDED = ("adjustments", "batch_events", "colour_drops")


def upgrade() -> None:
    op.create_table(
        "adjustments",
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
        sa.Column("property", sa.String(length=30), nullable=False),
        sa.Column("target", sa.BigInteger(), nullable=False),
        sa.Column("within", sa.BigInteger(), nullable=False),
        sa.Column("target_entered", sa.String(length=60), nullable=False),
        sa.Column("within_entered", sa.String(length=60), nullable=False),
        sa.Column("material", sa.String(length=20), nullable=False),
        sa.Column("cup", sa.String(length=20), nullable=True),
        sa.Column("method", sa.String(length=200), nullable=False),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_adjustments_batch")),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_adjustments_by")),
        sa.ForeignKeyConstraint(
            ["material"], ["materials.code"], name=op.f("fk_adjustments_material")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_adjustments")),
    )
    op.create_table(
        "batch_events",
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
        sa.Column("event", sa.String(length=20), nullable=False),
        sa.Column("text", sa.String(length=600), nullable=True),
        sa.Column("temperature_c", sa.BigInteger(), nullable=True),
        sa.Column("length", sa.String(length=60), nullable=True),
        sa.Column("page", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_batch_events_batch")),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_batch_events_by")),
        sa.ForeignKeyConstraint(["page"], ["pages.id"], name=op.f("fk_batch_events_page")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_batch_events")),
    )
    op.create_table(
        "colour_drops",
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
        sa.Column("minutes", sa.BigInteger(), nullable=True),
        sa.Column("temperature_c", sa.BigInteger(), nullable=True),
        sa.Column("scale", sa.String(length=12), nullable=True),
        sa.Column("reading", sa.String(length=40), nullable=True),
        sa.Column("sample", sa.String(length=10), nullable=True),
        sa.Column("solvent", sa.String(length=80), nullable=True),
        sa.Column("solids_percent", sa.BigInteger(), nullable=True),
        sa.Column("text", sa.String(length=200), nullable=True),
        sa.Column("photo", sa.String(length=71), nullable=True),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_colour_drops_batch")),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_colour_drops_by")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_colour_drops")),
    )
    for table in _RECORDED:
        for column in ("batch", "corrects", "happened_at"):
            op.create_index(op.f(f"ix_{table}_{column}"), table, [column], unique=False)
    op.create_table(
        "adjustment_readings",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("batch", sa.Integer(), nullable=False),
        sa.Column("adjustment", sa.Integer(), nullable=False),
        sa.Column("figure", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["batch"], ["batches.id"], name=op.f("fk_adjustment_readings_batch")
        ),
        sa.ForeignKeyConstraint(
            ["figure"], ["figures.id"], name=op.f("fk_adjustment_readings_figure")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_adjustment_readings")),
        sa.UniqueConstraint("figure", name=op.f("uq_adjustment_readings_figure")),
    )
    op.create_index(
        op.f("ix_adjustment_readings_batch"), "adjustment_readings", ["batch"], unique=False
    )
    # No batch here: much points at this table, so its column is added in place.
    op.add_column("weighings", sa.Column("adjustment", sa.Integer(), nullable=True))


def downgrade() -> None:
    op.drop_column("weighings", "adjustment")
    op.drop_index(op.f("ix_adjustment_readings_batch"), table_name="adjustment_readings")
    op.drop_table("adjustment_readings")
    for table in _RECORDED:
        for column in ("batch", "corrects", "happened_at"):
            op.drop_index(op.f(f"ix_{table}_{column}"), table_name=table)
        op.drop_table(table)
