"""stock takes; how a material is bought again; why a batch was planned short"""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "stock_takes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(length=20), nullable=False),
        sa.Column("covers", sa.String(length=300), nullable=False),
        sa.Column("remark", sa.String(length=600), nullable=True),
        sa.Column("by", sa.String(length=20), nullable=True),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_stock_takes_by")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock_takes")),
        sa.UniqueConstraint("number", name=op.f("uq_stock_takes_number")),
    )
    op.create_table(
        "stock_take_lines",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("take", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("lot", sa.Integer(), nullable=False),
        sa.Column("found", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["take"], ["stock_takes.id"], name=op.f("fk_stock_take_lines_take")
        ),
        sa.ForeignKeyConstraint(["lot"], ["lots.id"], name=op.f("fk_stock_take_lines_lot")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock_take_lines")),
        sa.UniqueConstraint("take", "line", name=op.f("uq_stock_take_lines_take_line")),
    )
    op.create_index(op.f("ix_stock_take_lines_take"), "stock_take_lines", ["take"], unique=False)
    op.create_table(
        "stock_take_pages",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("take", sa.Integer(), nullable=False),
        sa.Column("page", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("photo", sa.String(length=71), nullable=True),
        sa.Column("counted_at", sa.DateTime(), nullable=False),
        sa.Column("by", sa.String(length=20), nullable=True),
        sa.Column("entered_at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_stock_take_pages_by")),
        sa.ForeignKeyConstraint(
            ["take"], ["stock_takes.id"], name=op.f("fk_stock_take_pages_take")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock_take_pages")),
    )
    op.create_index(op.f("ix_stock_take_pages_take"), "stock_take_pages", ["take"], unique=False)
    op.create_table(
        "stock_counts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("by", sa.String(length=20), nullable=True),
        sa.Column("happened_at", sa.DateTime(), nullable=False),
        sa.Column("entered_at", sa.DateTime(), nullable=False),
        sa.Column("entered_from", sa.String(length=12), nullable=False),
        sa.Column("about_seconds", sa.Integer(), nullable=True),
        sa.Column("corrects", sa.Integer(), nullable=True),
        sa.Column("void", sa.Boolean(), nullable=False),
        sa.Column("reason", sa.String(length=600), nullable=True),
        sa.Column("take", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("page", sa.Integer(), nullable=False),
        sa.Column("lot", sa.Integer(), nullable=False),
        sa.Column("counted", sa.BigInteger(), nullable=False),
        sa.Column("entered_value", sa.String(length=30), nullable=False),
        sa.Column("entered_unit", sa.String(length=20), nullable=False),
        sa.Column("density", sa.BigInteger(), nullable=True),
        sa.Column("ledger", sa.BigInteger(), nullable=False),
        sa.Column("movement", sa.Integer(), nullable=True),
        sa.Column("remark", sa.String(length=200), nullable=True),
        sa.Column("concluded", sa.String(length=400), nullable=False),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_stock_counts_by")),
        sa.ForeignKeyConstraint(["lot"], ["lots.id"], name=op.f("fk_stock_counts_lot")),
        sa.ForeignKeyConstraint(
            ["movement"], ["movements.id"], name=op.f("fk_stock_counts_movement")
        ),
        sa.ForeignKeyConstraint(
            ["page"], ["stock_take_pages.id"], name=op.f("fk_stock_counts_page")
        ),
        sa.ForeignKeyConstraint(["take"], ["stock_takes.id"], name=op.f("fk_stock_counts_take")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_stock_counts")),
    )
    for column in ("corrects", "happened_at", "lot", "take"):
        op.create_index(op.f(f"ix_stock_counts_{column}"), "stock_counts", [column], unique=False)
    # No batch here: SQLite adds and drops columns in place, and much points at these tables.
    op.add_column("materials", sa.Column("order_from", sa.String(length=80), nullable=True))
    op.add_column("materials", sa.Column("lead_days", sa.Integer(), nullable=True))
    op.add_column("materials", sa.Column("order_at", sa.BigInteger(), nullable=True))
    op.add_column("materials", sa.Column("order_amount", sa.BigInteger(), nullable=True))
    op.add_column("batches", sa.Column("override_reason", sa.String(length=300), nullable=True))


def downgrade() -> None:
    op.drop_column("batches", "override_reason")
    for column in ("order_amount", "order_at", "lead_days", "order_from"):
        op.drop_column("materials", column)
    for column in ("take", "lot", "happened_at", "corrects"):
        op.drop_index(op.f(f"ix_stock_counts_{column}"), table_name="stock_counts")
    op.drop_table("stock_counts")
    op.drop_index(op.f("ix_stock_take_pages_take"), table_name="stock_take_pages")
    op.drop_table("stock_take_pages")
    op.drop_index(op.f("ix_stock_take_lines_take"), table_name="stock_take_lines")
    op.drop_table("stock_take_lines")
    op.drop_table("stock_takes")
