"""release and sheets"""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "acts",
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
        sa.Column("lot", sa.Integer(), nullable=False),
        sa.Column("act", sa.String(length=10), nullable=False),
        sa.Column("condition", sa.String(length=300), nullable=True),
        sa.Column("waiver", sa.String(length=600), nullable=True),
        sa.Column("label", sa.Integer(), nullable=True),
        sa.Column("sheet", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_acts_by")),
        sa.ForeignKeyConstraint(["label"], ["documents.id"], name=op.f("fk_acts_label")),
        sa.ForeignKeyConstraint(["lot"], ["lots.id"], name=op.f("fk_acts_lot")),
        sa.ForeignKeyConstraint(["sheet"], ["documents.id"], name=op.f("fk_acts_sheet")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_acts")),
        sa.UniqueConstraint("number", name=op.f("uq_acts_number")),
    )
    op.create_index(op.f("ix_acts_corrects"), "acts", ["corrects"], unique=False)
    op.create_index(op.f("ix_acts_happened_at"), "acts", ["happened_at"], unique=False)
    op.create_index(op.f("ix_acts_lot"), "acts", ["lot"], unique=False)
    op.create_table(
        "published",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(length=20), nullable=False),
        sa.Column("compact", sa.String(length=20), nullable=False),
        sa.Column("lot", sa.Integer(), nullable=False),
        sa.Column("bulk", sa.String(length=20), nullable=False),
        sa.Column("product", sa.String(length=20), nullable=False),
        sa.Column("pack", sa.String(length=20), nullable=False),
        sa.Column("document", sa.Integer(), nullable=False),
        sa.Column("sold_from", sa.Date(), nullable=False),
        sa.Column("checked_on", sa.Date(), nullable=False),
        sa.ForeignKeyConstraint(["document"], ["documents.id"], name=op.f("fk_published_document")),
        sa.ForeignKeyConstraint(["lot"], ["lots.id"], name=op.f("fk_published_lot")),
        sa.ForeignKeyConstraint(["product"], ["products.code"], name=op.f("fk_published_product")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_published")),
        sa.UniqueConstraint("compact", name=op.f("uq_published_compact")),
        sa.UniqueConstraint("lot", name=op.f("uq_published_lot")),
        sa.UniqueConstraint("number", name=op.f("uq_published_number")),
    )
    op.create_index(op.f("ix_published_bulk"), "published", ["bulk"], unique=False)
    op.create_index(op.f("ix_published_product"), "published", ["product"], unique=False)


def downgrade() -> None:
    op.drop_index(op.f("ix_published_product"), table_name="published")
    op.drop_index(op.f("ix_published_bulk"), table_name="published")
    op.drop_table("published")
    op.drop_index(op.f("ix_acts_lot"), table_name="acts")
    op.drop_index(op.f("ix_acts_happened_at"), table_name="acts")
    op.drop_index(op.f("ix_acts_corrects"), table_name="acts")
    op.drop_table("acts")
