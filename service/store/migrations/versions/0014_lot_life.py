"""lot life: certificates' files, what is seen of lots, incoming acceptance, top-ups"""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None


def upgrade() -> None:
    # No batch here: much points at these tables, so their columns are added in place.
    op.add_column("lots", sa.Column("certificate", sa.String(length=71), nullable=True))
    op.add_column("acts", sa.Column("retest_on", sa.Date(), nullable=True))
    op.add_column(
        "materials",
        sa.Column("accept_with", sa.String(length=400), nullable=False, server_default=""),
    )
    _make_life()
    _make_top_ups()


def _recorded(*columns: sa.Column) -> tuple[sa.Column, ...]:
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
        *columns,
    )


def _points(table: str, column: str, to: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint([column], [to], name=op.f(f"fk_{table}_{column}"))


def _indexed(table: str, *columns: str) -> None:
    for column in columns:
        op.create_index(op.f(f"ix_{table}_{column}"), table, [column], unique=False)


def _make_life() -> None:
    op.create_table(
        "life_entries",
        *_recorded(
            sa.Column("lot", sa.Integer(), nullable=False),
            sa.Column("opened", sa.Boolean(), nullable=False),
            sa.Column("saw", sa.String(length=600), nullable=True),
            sa.Column("skin", sa.Integer(), nullable=True),
            sa.Column("photo", sa.String(length=71), nullable=True),
            sa.Column("certificate", sa.String(length=71), nullable=True),
        ),
        _points("life_entries", "by", "people.code"),
        _points("life_entries", "lot", "lots.id"),
        _points("life_entries", "skin", "movements.id"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_life_entries")),
    )
    _indexed("life_entries", "corrects", "happened_at", "lot")
    op.create_table(
        "life_vessels",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("entry", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("vessel", sa.String(length=80), nullable=False),
        sa.Column("equipment", sa.String(length=20), nullable=True),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        _points("life_vessels", "entry", "life_entries.id"),
        _points("life_vessels", "equipment", "equipment.code"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_life_vessels")),
    )
    _indexed("life_vessels", "entry")


def _make_top_ups() -> None:
    op.create_table(
        "top_ups",
        *_recorded(
            sa.Column("heel", sa.Integer(), nullable=False),
            sa.Column("made", sa.Integer(), nullable=False),
            sa.Column("movement", sa.Integer(), nullable=False),
            sa.Column("figures", sa.String(length=400), nullable=False),
        ),
        _points("top_ups", "by", "people.code"),
        _points("top_ups", "heel", "lots.id"),
        _points("top_ups", "made", "lots.id"),
        _points("top_ups", "movement", "movements.id"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_top_ups")),
    )
    _indexed("top_ups", "corrects", "happened_at", "heel", "made")
    op.create_table(
        "top_up_parts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("top_up", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("lot", sa.Integer(), nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.Column("what", sa.String(length=14), nullable=False),
        sa.Column("movement", sa.Integer(), nullable=False),
        sa.Column("booked_back", sa.Integer(), nullable=True),
        _points("top_up_parts", "top_up", "top_ups.id"),
        _points("top_up_parts", "lot", "lots.id"),
        _points("top_up_parts", "movement", "movements.id"),
        _points("top_up_parts", "booked_back", "movements.id"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_top_up_parts")),
    )
    _indexed("top_up_parts", "top_up", "lot")


def downgrade() -> None:
    for table in ("top_up_parts", "top_ups", "life_vessels", "life_entries"):
        op.drop_table(table)
    op.drop_column("materials", "accept_with")
    op.drop_column("acts", "retest_on")
    op.drop_column("lots", "certificate")
