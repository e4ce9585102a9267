"""stock"""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "receipts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("by", sa.String(length=20), nullable=True),
        sa.Column("happened_at", sa.DateTime(), nullable=False),
        sa.Column("entered_at", sa.DateTime(), nullable=False),
        sa.Column("entered_from", sa.String(length=12), nullable=False),
        sa.Column("about_seconds", sa.Integer(), nullable=True),
        sa.Column("corrects", sa.Integer(), nullable=True),
        sa.Column("void", sa.Boolean(), nullable=False),
        sa.Column("reason", sa.String(length=600), nullable=True),
        sa.Column("number", sa.String(length=20), nullable=False),
        sa.Column("supplier", sa.String(length=200), nullable=False),
        sa.Column("document", sa.String(length=80), nullable=True),
        sa.Column("received_on", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_receipts_by")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_receipts")),
        sa.UniqueConstraint("number", name=op.f("uq_receipts_number")),
    )
    op.create_index(op.f("ix_receipts_corrects"), "receipts", ["corrects"], unique=False)
    op.create_index(op.f("ix_receipts_happened_at"), "receipts", ["happened_at"], unique=False)
    op.create_index(op.f("ix_receipts_supplier"), "receipts", ["supplier"], unique=False)
    op.create_table(
        "lots",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(length=20), nullable=False),
        sa.Column("compact", sa.String(length=20), nullable=False),
        sa.Column("kind", sa.String(length=10), nullable=False),
        sa.Column("material", sa.String(length=20), nullable=False),
        sa.Column("measure", sa.String(length=6), nullable=False),
        sa.Column("quality", sa.String(length=12), nullable=False),
        sa.Column("condition", sa.String(length=300), nullable=True),
        sa.Column("product", sa.String(length=20), nullable=True),
        sa.Column("pack", sa.String(length=20), nullable=True),
        sa.Column("container", sa.String(length=20), nullable=True),
        sa.Column("nominal_ul", sa.BigInteger(), nullable=True),
        sa.Column("receipt", sa.Integer(), nullable=True),
        sa.Column("supplier", sa.String(length=200), nullable=True),
        sa.Column("supplier_lot", sa.String(length=60), nullable=True),
        sa.Column("price", sa.BigInteger(), nullable=True),
        sa.Column("amount_in", sa.BigInteger(), nullable=False),
        sa.Column("made_on", sa.Date(), nullable=True),
        sa.Column("expires_on", sa.Date(), nullable=True),
        sa.Column("retest_on", sa.Date(), nullable=True),
        sa.Column("ready_on", sa.Date(), nullable=True),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("folded", sa.String(length=600), nullable=False),
        sa.ForeignKeyConstraint(["container"], ["materials.code"], name=op.f("fk_lots_container")),
        sa.ForeignKeyConstraint(["material"], ["materials.code"], name=op.f("fk_lots_material")),
        sa.ForeignKeyConstraint(["product"], ["products.code"], name=op.f("fk_lots_product")),
        sa.ForeignKeyConstraint(["receipt"], ["receipts.id"], name=op.f("fk_lots_receipt")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lots")),
        sa.UniqueConstraint("compact", name=op.f("uq_lots_compact")),
        sa.UniqueConstraint("number", name=op.f("uq_lots_number")),
    )
    op.create_index(op.f("ix_lots_kind"), "lots", ["kind"], unique=False)
    op.create_index(op.f("ix_lots_material"), "lots", ["material"], unique=False)
    op.create_index(op.f("ix_lots_quality"), "lots", ["quality"], unique=False)
    op.create_index(op.f("ix_lots_receipt"), "lots", ["receipt"], unique=False)
    op.create_table(
        "edges",
        sa.Column("parent", sa.Integer(), nullable=False),
        sa.Column("child", sa.Integer(), nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["child"], ["lots.id"], name=op.f("fk_edges_child")),
        sa.ForeignKeyConstraint(["parent"], ["lots.id"], name=op.f("fk_edges_parent")),
        sa.PrimaryKeyConstraint("parent", "child", name=op.f("pk_edges")),
        sqlite_with_rowid=False,
    )
    op.create_index("ix_edges_child", "edges", ["child", "parent"], unique=False)
    op.create_table(
        "movements",
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
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.Column("cause", sa.String(length=12), nullable=False),
        sa.Column("cause_ref", sa.String(length=40), nullable=True),
        sa.Column("entered_value", sa.String(length=30), nullable=True),
        sa.Column("entered_unit", sa.String(length=20), nullable=True),
        sa.Column("density", sa.BigInteger(), nullable=True),
        sa.Column("override_reason", sa.String(length=300), nullable=True),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_movements_by")),
        sa.ForeignKeyConstraint(["lot"], ["lots.id"], name=op.f("fk_movements_lot")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_movements")),
    )
    op.create_index(op.f("ix_movements_cause"), "movements", ["cause"], unique=False)
    op.create_index(op.f("ix_movements_cause_ref"), "movements", ["cause_ref"], unique=False)
    op.create_index(op.f("ix_movements_corrects"), "movements", ["corrects"], unique=False)
    op.create_index(op.f("ix_movements_happened_at"), "movements", ["happened_at"], unique=False)
    op.create_index(op.f("ix_movements_lot"), "movements", ["lot"], unique=False)


def downgrade() -> None:
    op.drop_index(op.f("ix_movements_lot"), table_name="movements")
    op.drop_index(op.f("ix_movements_happened_at"), table_name="movements")
    op.drop_index(op.f("ix_movements_corrects"), table_name="movements")
    op.drop_index(op.f("ix_movements_cause_ref"), table_name="movements")
    op.drop_index(op.f("ix_movements_cause"), table_name="movements")
    op.drop_table("movements")
    op.drop_index("ix_edges_child", table_name="edges")
    op.drop_table("edges")
    op.drop_index(op.f("ix_lots_receipt"), table_name="lots")
    op.drop_index(op.f("ix_lots_quality"), table_name="lots")
    op.drop_index(op.f("ix_lots_material"), table_name="lots")
    op.drop_index(op.f("ix_lots_kind"), table_name="lots")
    op.drop_table("lots")
    op.drop_index(op.f("ix_receipts_supplier"), table_name="receipts")
    op.drop_index(op.f("ix_receipts_happened_at"), table_name="receipts")
    op.drop_index(op.f("ix_receipts_corrects"), table_name="receipts")
    op.drop_table("receipts")
