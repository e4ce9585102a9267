"""hazards, list prices and the metal of a material; figures of a version"""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "hazards",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("material", sa.String(length=20), nullable=False),
        sa.Column("code", sa.String(length=8), nullable=False),
        sa.Column("category", sa.String(length=40), nullable=True),
        sa.Column("scl_percent", sa.BigInteger(), nullable=True),
        sa.Column("m_factor", sa.Integer(), nullable=True),
        sa.Column("notes", sa.String(length=400), nullable=False),
        sa.Column("basis", sa.String(length=12), nullable=False),
        sa.Column("source", sa.String(length=200), nullable=False),
        sa.Column("dated", sa.Date(), nullable=True),
        sa.ForeignKeyConstraint(["material"], ["materials.code"], name=op.f("fk_hazards_material")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_hazards")),
    )
    op.create_index(op.f("ix_hazards_material"), "hazards", ["material"], unique=False)
    # No batch here: SQLite adds and drops columns in place, and much points at this table.
    op.add_column("materials", sa.Column("metal", sa.String(length=2), nullable=True))
    op.add_column("materials", sa.Column("price", sa.BigInteger(), nullable=True))
    op.add_column("materials", sa.Column("price_per", sa.String(length=5), nullable=True))
    op.add_column("materials", sa.Column("price_source", sa.String(length=200), nullable=True))
    op.add_column("materials", sa.Column("price_on", sa.Date(), nullable=True))
    op.add_column(
        "materials",
        sa.Column("hazards_known", sa.Boolean(), nullable=False, server_default=sa.false()),
    )
    with op.batch_alter_table("figures") as figures:
        figures.alter_column("subject", existing_type=sa.String(20), type_=sa.String(30))


def downgrade() -> None:
    with op.batch_alter_table("figures") as figures:
        figures.alter_column("subject", existing_type=sa.String(30), type_=sa.String(20))
    for column in (
        "hazards_known",
        "price_on",
        "price_source",
        "price_per",
        "price",
        "metal",
    ):
        op.drop_column("materials", column)
    op.drop_index(op.f("ix_hazards_material"), table_name="hazards")
    op.drop_table("hazards")
