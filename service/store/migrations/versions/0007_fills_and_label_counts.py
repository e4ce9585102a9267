"""fills and label counts"""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "fills",
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
        sa.Column("bulk", sa.Integer(), nullable=False),
        sa.Column("pack", sa.String(length=20), nullable=False),
        sa.Column("container_lot", sa.Integer(), nullable=False),
        sa.Column("closure_lot", sa.Integer(), nullable=True),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("tare_mg", sa.BigInteger(), nullable=False),
        sa.Column("nominal_mg", sa.BigInteger(), nullable=False),
        sa.Column("filled_mg", sa.BigInteger(), nullable=False),
        sa.Column("density", sa.BigInteger(), nullable=False),
        sa.Column("density_from", sa.String(length=20), nullable=False),
        sa.Column("verdict", sa.String(length=12), nullable=False),
        sa.ForeignKeyConstraint(["bulk"], ["lots.id"], name=op.f("fk_fills_bulk")),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_fills_by")),
        sa.ForeignKeyConstraint(["closure_lot"], ["lots.id"], name=op.f("fk_fills_closure_lot")),
        sa.ForeignKeyConstraint(
            ["container_lot"], ["lots.id"], name=op.f("fk_fills_container_lot")
        ),
        sa.ForeignKeyConstraint(["lot"], ["lots.id"], name=op.f("fk_fills_lot")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fills")),
        sa.UniqueConstraint("lot", name=op.f("uq_fills_lot")),
    )
    op.create_index(op.f("ix_fills_bulk"), "fills", ["bulk"], unique=False)
    op.create_index(op.f("ix_fills_corrects"), "fills", ["corrects"], unique=False)
    op.create_index(op.f("ix_fills_happened_at"), "fills", ["happened_at"], unique=False)
    op.create_table(
        "labellings",
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
        sa.Column("document", sa.Integer(), nullable=False),
        sa.Column("printed", sa.Integer(), nullable=False),
        sa.Column("used", sa.Integer(), nullable=False),
        sa.Column("spoiled", sa.Integer(), nullable=False),
        sa.Column("label_lot", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_labellings_by")),
        sa.ForeignKeyConstraint(
            ["document"], ["documents.id"], name=op.f("fk_labellings_document")
        ),
        sa.ForeignKeyConstraint(["label_lot"], ["lots.id"], name=op.f("fk_labellings_label_lot")),
        sa.ForeignKeyConstraint(["lot"], ["lots.id"], name=op.f("fk_labellings_lot")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_labellings")),
    )
    op.create_index(op.f("ix_labellings_corrects"), "labellings", ["corrects"], unique=False)
    op.create_index(op.f("ix_labellings_happened_at"), "labellings", ["happened_at"], unique=False)
    op.create_index(op.f("ix_labellings_lot"), "labellings", ["lot"], unique=False)
    op.create_table(
        "fill_weights",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fill", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("gross_mg", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["fill"], ["fills.id"], name=op.f("fk_fill_weights_fill")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fill_weights")),
        sa.UniqueConstraint("fill", "position", name=op.f("uq_fill_weights_fill_position")),
    )
    op.create_index(op.f("ix_fill_weights_fill"), "fill_weights", ["fill"], unique=False)


def downgrade() -> None:
    op.drop_index(op.f("ix_fill_weights_fill"), table_name="fill_weights")
    op.drop_table("fill_weights")
    op.drop_index(op.f("ix_labellings_lot"), table_name="labellings")
    op.drop_index(op.f("ix_labellings_happened_at"), table_name="labellings")
    op.drop_index(op.f("ix_labellings_corrects"), table_name="labellings")
    op.drop_table("labellings")
    op.drop_index(op.f("ix_fills_happened_at"), table_name="fills")
    op.drop_index(op.f("ix_fills_corrects"), table_name="fills")
    op.drop_index(op.f("ix_fills_bulk"), table_name="fills")
    op.drop_table("fills")
