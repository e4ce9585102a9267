"""materials and deviations"""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "materials",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=20), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("archived_at", sa.DateTime(), nullable=True),
        sa.Column("folded", sa.String(length=600), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("kind", sa.String(length=16), nullable=False),
        sa.Column("family", sa.String(length=16), nullable=True),
        sa.Column("lots_start_as", sa.String(length=12), nullable=False),
        sa.Column("lot_prefix", sa.String(length=11), nullable=False),
        sa.Column("cas", sa.String(length=12), nullable=True),
        sa.Column("ec", sa.String(length=9), nullable=True),
        sa.Column("formula", sa.String(length=60), nullable=True),
        sa.Column("autoxidising", sa.Boolean(), nullable=True),
        sa.Column("label_name", sa.String(length=200), nullable=True),
        sa.Column("holds_ul", sa.BigInteger(), nullable=True),
        sa.Column("tare_mg", sa.BigInteger(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_materials")),
    )
    op.create_index(op.f("ix_materials_cas"), "materials", ["cas"], unique=False)
    op.create_index(op.f("ix_materials_code"), "materials", ["code"], unique=True)
    op.create_index(op.f("ix_materials_family"), "materials", ["family"], unique=False)
    op.create_index(op.f("ix_materials_kind"), "materials", ["kind"], unique=False)
    op.create_table(
        "deviations",
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
        sa.Column("subject_kind", sa.String(length=12), nullable=False),
        sa.Column("subject", sa.String(length=20), nullable=False),
        sa.Column("code", sa.String(length=40), nullable=False),
        sa.Column("text", sa.String(length=600), nullable=False),
        sa.Column("open", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_deviations_by")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_deviations")),
        sa.UniqueConstraint("number", name=op.f("uq_deviations_number")),
    )
    op.create_index(op.f("ix_deviations_code"), "deviations", ["code"], unique=False)
    op.create_index(op.f("ix_deviations_corrects"), "deviations", ["corrects"], unique=False)
    op.create_index(op.f("ix_deviations_happened_at"), "deviations", ["happened_at"], unique=False)
    op.create_index(op.f("ix_deviations_open"), "deviations", ["open"], unique=False)
    op.create_index(op.f("ix_deviations_subject"), "deviations", ["subject"], unique=False)
    op.create_index(
        op.f("ix_deviations_subject_kind"), "deviations", ["subject_kind"], unique=False
    )
    op.create_table(
        "figures",
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
        sa.Column("subject_kind", sa.String(length=12), nullable=False),
        sa.Column("subject", sa.String(length=20), nullable=False),
        sa.Column("property", sa.String(length=30), nullable=False),
        sa.Column("value", sa.BigInteger(), nullable=False),
        sa.Column("entered_value", sa.String(length=30), nullable=False),
        sa.Column("entered_unit", sa.String(length=20), nullable=False),
        sa.Column("basis", sa.String(length=12), nullable=False),
        sa.Column("source", sa.String(length=300), nullable=True),
        sa.Column("method", sa.String(length=300), nullable=True),
        sa.Column("temperature_c", sa.BigInteger(), nullable=True),
        sa.Column("dated", sa.Date(), nullable=True),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_figures_by")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_figures")),
        sa.UniqueConstraint("number", name=op.f("uq_figures_number")),
    )
    op.create_index(op.f("ix_figures_corrects"), "figures", ["corrects"], unique=False)
    op.create_index(op.f("ix_figures_happened_at"), "figures", ["happened_at"], unique=False)
    op.create_index(
        "ix_figures_subject", "figures", ["subject_kind", "subject", "property"], unique=False
    )
    op.create_table(
        "conclusions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("by", sa.String(length=20), nullable=True),
        sa.Column("happened_at", sa.DateTime(), nullable=False),
        sa.Column("entered_at", sa.DateTime(), nullable=False),
        sa.Column("entered_from", sa.String(length=12), nullable=False),
        sa.Column("about_seconds", sa.Integer(), nullable=True),
        sa.Column("corrects", sa.Integer(), nullable=True),
        sa.Column("void", sa.Boolean(), nullable=False),
        sa.Column("reason", sa.String(length=600), nullable=True),
        sa.Column("deviation", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(length=2000), nullable=False),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_conclusions_by")),
        sa.ForeignKeyConstraint(
            ["deviation"], ["deviations.id"], name=op.f("fk_conclusions_deviation")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_conclusions")),
    )
    op.create_index(op.f("ix_conclusions_corrects"), "conclusions", ["corrects"], unique=False)
    op.create_index(op.f("ix_conclusions_deviation"), "conclusions", ["deviation"], unique=False)
    op.create_index(
        op.f("ix_conclusions_happened_at"), "conclusions", ["happened_at"], unique=False
    )


def downgrade() -> None:
    op.drop_index(op.f("ix_conclusions_happened_at"), table_name="conclusions")
    op.drop_index(op.f("ix_conclusions_deviation"), table_name="conclusions")
    op.drop_index(op.f("ix_conclusions_corrects"), table_name="conclusions")
    op.drop_table("conclusions")
    op.drop_index("ix_figures_subject", table_name="figures")
    op.drop_index(op.f("ix_figures_happened_at"), table_name="figures")
    op.drop_index(op.f("ix_figures_corrects"), table_name="figures")
    op.drop_table("figures")
    op.drop_index(op.f("ix_deviations_subject_kind"), table_name="deviations")
    op.drop_index(op.f("ix_deviations_subject"), table_name="deviations")
    op.drop_index(op.f("ix_deviations_open"), table_name="deviations")
    op.drop_index(op.f("ix_deviations_happened_at"), table_name="deviations")
    op.drop_index(op.f("ix_deviations_corrects"), table_name="deviations")
    op.drop_index(op.f("ix_deviations_code"), table_name="deviations")
    op.drop_table("deviations")
    op.drop_index(op.f("ix_materials_kind"), table_name="materials")
    op.drop_index(op.f("ix_materials_family"), table_name="materials")
    op.drop_index(op.f("ix_materials_code"), table_name="materials")
    op.drop_index(op.f("ix_materials_cas"), table_name="materials")
    op.drop_table("materials")
