"""entries: gross and tare, photos of pages, devices and their clocks, late entries, new targets"""

import sqlalchemy as sa
from alembic import op

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("weighings", sa.Column("gross", sa.String(length=60), nullable=True))
    op.add_column("weighings", sa.Column("tare", sa.String(length=60), nullable=True))
    op.add_column("pages", sa.Column("photo", sa.String(length=71), nullable=True))
    # No batch here: much points at this table, so its column is added in place.
    op.add_column(
        "batches",
        sa.Column("bench_mode", sa.Boolean(), nullable=False, server_default=sa.false()),
    )
    _add_devices()
    _add_late_entries()
    _add_retargets()


def _add_devices() -> None:
    op.create_table(
        "device_entries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("device", sa.String(length=40), nullable=False),
        sa.Column("seq", sa.BigInteger(), nullable=False),
        sa.Column("batch", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_device_entries_batch")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_device_entries")),
        sa.UniqueConstraint("device", "seq", name=op.f("uq_device_entries_device_seq")),
    )
    op.create_index(op.f("ix_device_entries_batch"), "device_entries", ["batch"], unique=False)
    op.create_table(
        "device_clocks",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("device", sa.String(length=40), nullable=False),
        sa.Column("behind_ms", sa.BigInteger(), nullable=False),
        sa.Column("times_from", sa.String(length=8), nullable=False),
        sa.Column("measured_at", sa.DateTime(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_device_clocks")),
    )
    op.create_index(op.f("ix_device_clocks_device"), "device_clocks", ["device"], unique=False)


def _add_late_entries() -> None:
    op.create_table(
        "late_entries",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("batch", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=True),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("happened_at", sa.DateTime(), nullable=False),
        sa.Column("entered_at", sa.DateTime(), nullable=False),
        sa.Column("before_the_end", sa.Boolean(), nullable=False),
        sa.Column("deviation", sa.String(length=20), nullable=False),
        sa.Column("voided", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_late_entries_batch")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_late_entries")),
    )
    for column in ("batch", "entry", "deviation"):
        name = op.f(f"ix_late_entries_{column}")
        op.create_index(name, "late_entries", [column], unique=False)


def _add_retargets() -> None:
    op.create_table(
        "retargets",
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
        sa.Column("scaling", sa.String(length=20), nullable=False),
        sa.Column("weighed", sa.String(length=400), nullable=False),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_retargets_batch")),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_retargets_by")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_retargets")),
    )
    for column in ("batch", "corrects", "happened_at"):
        name = op.f(f"ix_retargets_{column}")
        op.create_index(name, "retargets", [column], unique=False)


def downgrade() -> None:
    for table in ("retargets", "late_entries", "device_clocks", "device_entries"):
        op.drop_table(table)
    op.drop_column("batches", "bench_mode")
    op.drop_column("pages", "photo")
    op.drop_column("weighings", "tare")
    op.drop_column("weighings", "gross")
