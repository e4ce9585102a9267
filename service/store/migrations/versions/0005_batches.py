"""batches"""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "batches",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=20), nullable=False),
        sa.Column("recipe", sa.String(length=20), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("material", sa.String(length=20), nullable=False),
        sa.Column("scaling", sa.String(length=20), nullable=False),
        sa.Column("state", sa.String(length=10), nullable=False),
        sa.Column("kettle", sa.String(length=20), nullable=True),
        sa.Column("asked", sa.String(length=80), nullable=False),
        sa.Column("product", sa.String(length=20), nullable=True),
        sa.Column("target_mg", sa.BigInteger(), nullable=False),
        sa.Column("planned_on", sa.Date(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("folded", sa.String(length=600), nullable=False),
        sa.ForeignKeyConstraint(["kettle"], ["equipment.code"], name=op.f("fk_batches_kettle")),
        sa.ForeignKeyConstraint(["material"], ["materials.code"], name=op.f("fk_batches_material")),
        sa.ForeignKeyConstraint(["product"], ["products.code"], name=op.f("fk_batches_product")),
        sa.ForeignKeyConstraint(["recipe"], ["recipes.code"], name=op.f("fk_batches_recipe")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_batches")),
        sa.UniqueConstraint("code", name=op.f("uq_batches_code")),
    )
    op.create_index(op.f("ix_batches_material"), "batches", ["material"], unique=False)
    op.create_index(op.f("ix_batches_recipe"), "batches", ["recipe"], unique=False)
    op.create_index(op.f("ix_batches_state"), "batches", ["state"], unique=False)
    op.create_table(
        "batch_lines",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("batch", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("stage", sa.String(length=12), nullable=False),
        sa.Column("do", sa.String(length=8), nullable=False),
        sa.Column("material", sa.String(length=20), nullable=True),
        sa.Column("target_mg", sa.BigInteger(), nullable=True),
        sa.Column("tolerance_mg", sa.BigInteger(), nullable=True),
        sa.Column("to_c", sa.BigInteger(), nullable=True),
        sa.Column("seconds", sa.Integer(), nullable=True),
        sa.Column("until", sa.String(length=200), nullable=True),
        sa.Column("lots", sa.String(length=400), nullable=False),
        sa.Column("figure", sa.String(length=20), nullable=True),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_batch_lines_batch")),
        sa.ForeignKeyConstraint(
            ["material"], ["materials.code"], name=op.f("fk_batch_lines_material")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_batch_lines")),
        sa.UniqueConstraint("batch", "line", name=op.f("uq_batch_lines_batch_line")),
    )
    op.create_index(op.f("ix_batch_lines_batch"), "batch_lines", ["batch"], unique=False)
    op.create_table(
        "pages",
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
        sa.Column("page", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_pages_batch")),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_pages_by")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pages")),
    )
    op.create_index(op.f("ix_pages_batch"), "pages", ["batch"], unique=False)
    op.create_index(op.f("ix_pages_corrects"), "pages", ["corrects"], unique=False)
    op.create_index(op.f("ix_pages_happened_at"), "pages", ["happened_at"], unique=False)
    op.create_table(
        "transitions",
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
        sa.Column("from_state", sa.String(length=10), nullable=False),
        sa.Column("to_state", sa.String(length=10), nullable=False),
        sa.Column("text", sa.String(length=600), nullable=True),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_transitions_batch")),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_transitions_by")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_transitions")),
    )
    op.create_index(op.f("ix_transitions_batch"), "transitions", ["batch"], unique=False)
    op.create_index(op.f("ix_transitions_corrects"), "transitions", ["corrects"], unique=False)
    op.create_index(
        op.f("ix_transitions_happened_at"), "transitions", ["happened_at"], unique=False
    )
    op.create_table(
        "batch_notes",
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
        sa.Column("text", sa.String(length=2000), nullable=False),
        sa.Column("page", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_batch_notes_batch")),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_batch_notes_by")),
        sa.ForeignKeyConstraint(["page"], ["pages.id"], name=op.f("fk_batch_notes_page")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_batch_notes")),
    )
    op.create_index(op.f("ix_batch_notes_batch"), "batch_notes", ["batch"], unique=False)
    op.create_index(op.f("ix_batch_notes_corrects"), "batch_notes", ["corrects"], unique=False)
    op.create_index(
        op.f("ix_batch_notes_happened_at"), "batch_notes", ["happened_at"], unique=False
    )
    op.create_table(
        "cook_points",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("by", sa.String(length=20), nullable=True),
        sa.Column("happened_at", sa.DateTime(), nullable=False),
        sa.Column("entered_at", sa.DateTime(), nullable=False),
        sa.Column("entered_from", sa.String(length=12), nullable=False),
        sa.Column("about_seconds", sa.Integer(), nullable=True),
        sa.Column("corrects", sa.Integer(), nullable=True),
        sa.Column("void", sa.Boolean(), nullable=False),
        sa.Column("reason", sa.String(length=600), nullable=True),
        sa.Column("kettle", sa.String(length=20), nullable=True),
        sa.Column("batch", sa.Integer(), nullable=True),
        sa.Column("device", sa.String(length=40), nullable=True),
        sa.Column("seq", sa.BigInteger(), nullable=True),
        sa.Column("temperature_c", sa.BigInteger(), nullable=True),
        sa.Column("remark", sa.String(length=200), nullable=True),
        sa.Column("set_aside", sa.String(length=200), nullable=True),
        sa.Column("page", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_cook_points_batch")),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_cook_points_by")),
        sa.ForeignKeyConstraint(["kettle"], ["equipment.code"], name=op.f("fk_cook_points_kettle")),
        sa.ForeignKeyConstraint(["page"], ["pages.id"], name=op.f("fk_cook_points_page")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cook_points")),
        sa.UniqueConstraint("device", "seq", name=op.f("uq_cook_points_device_seq")),
    )
    op.create_index(op.f("ix_cook_points_batch"), "cook_points", ["batch"], unique=False)
    op.create_index(op.f("ix_cook_points_corrects"), "cook_points", ["corrects"], unique=False)
    op.create_index(
        op.f("ix_cook_points_happened_at"), "cook_points", ["happened_at"], unique=False
    )
    op.create_index(op.f("ix_cook_points_kettle"), "cook_points", ["kettle"], unique=False)
    op.create_table(
        "step_entries",
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
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("saw", sa.String(length=600), nullable=False),
        sa.Column("page", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_step_entries_batch")),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_step_entries_by")),
        sa.ForeignKeyConstraint(["page"], ["pages.id"], name=op.f("fk_step_entries_page")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_step_entries")),
    )
    op.create_index(op.f("ix_step_entries_batch"), "step_entries", ["batch"], unique=False)
    op.create_index(op.f("ix_step_entries_corrects"), "step_entries", ["corrects"], unique=False)
    op.create_index(
        op.f("ix_step_entries_happened_at"), "step_entries", ["happened_at"], unique=False
    )
    op.create_table(
        "weighings",
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
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("material", sa.String(length=20), nullable=False),
        sa.Column("lot", sa.Integer(), nullable=False),
        sa.Column("amount_mg", sa.BigInteger(), nullable=False),
        sa.Column("entered_value", sa.String(length=30), nullable=False),
        sa.Column("entered_unit", sa.String(length=20), nullable=False),
        sa.Column("verdict", sa.String(length=8), nullable=False),
        sa.Column("substitute", sa.Boolean(), nullable=False),
        sa.Column("balance", sa.String(length=20), nullable=True),
        sa.Column("checked_by", sa.String(length=20), nullable=True),
        sa.Column("page", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["balance"], ["equipment.code"], name=op.f("fk_weighings_balance")),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_weighings_batch")),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_weighings_by")),
        sa.ForeignKeyConstraint(
            ["checked_by"], ["people.code"], name=op.f("fk_weighings_checked_by")
        ),
        sa.ForeignKeyConstraint(["lot"], ["lots.id"], name=op.f("fk_weighings_lot")),
        sa.ForeignKeyConstraint(
            ["material"], ["materials.code"], name=op.f("fk_weighings_material")
        ),
        sa.ForeignKeyConstraint(["page"], ["pages.id"], name=op.f("fk_weighings_page")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_weighings")),
    )
    op.create_index(op.f("ix_weighings_batch"), "weighings", ["batch"], unique=False)
    op.create_index(op.f("ix_weighings_corrects"), "weighings", ["corrects"], unique=False)
    op.create_index(op.f("ix_weighings_happened_at"), "weighings", ["happened_at"], unique=False)
    op.create_index(op.f("ix_weighings_lot"), "weighings", ["lot"], unique=False)
    op.create_table(
        "yields",
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
        sa.Column("amount_mg", sa.BigInteger(), nullable=False),
        sa.Column("entered_value", sa.String(length=30), nullable=False),
        sa.Column("entered_unit", sa.String(length=20), nullable=False),
        sa.Column("theory_mg", sa.BigInteger(), nullable=False),
        sa.Column("page", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_yields_batch")),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_yields_by")),
        sa.ForeignKeyConstraint(["page"], ["pages.id"], name=op.f("fk_yields_page")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_yields")),
    )
    op.create_index(op.f("ix_yields_batch"), "yields", ["batch"], unique=False)
    op.create_index(op.f("ix_yields_corrects"), "yields", ["corrects"], unique=False)
    op.create_index(op.f("ix_yields_happened_at"), "yields", ["happened_at"], unique=False)


def downgrade() -> None:
    op.drop_index(op.f("ix_yields_happened_at"), table_name="yields")
    op.drop_index(op.f("ix_yields_corrects"), table_name="yields")
    op.drop_index(op.f("ix_yields_batch"), table_name="yields")
    op.drop_table("yields")
    op.drop_index(op.f("ix_weighings_lot"), table_name="weighings")
    op.drop_index(op.f("ix_weighings_happened_at"), table_name="weighings")
    op.drop_index(op.f("ix_weighings_corrects"), table_name="weighings")
    op.drop_index(op.f("ix_weighings_batch"), table_name="weighings")
    op.drop_table("weighings")
    op.drop_index(op.f("ix_step_entries_happened_at"), table_name="step_entries")
    op.drop_index(op.f("ix_step_entries_corrects"), table_name="step_entries")
    op.drop_index(op.f("ix_step_entries_batch"), table_name="step_entries")
    op.drop_table("step_entries")
    op.drop_index(op.f("ix_cook_points_kettle"), table_name="cook_points")
    op.drop_index(op.f("ix_cook_points_happened_at"), table_name="cook_points")
    op.drop_index(op.f("ix_cook_points_corrects"), table_name="cook_points")
    op.drop_index(op.f("ix_cook_points_batch"), table_name="cook_points")
    op.drop_table("cook_points")
    op.drop_index(op.f("ix_batch_notes_happened_at"), table_name="batch_notes")
    op.drop_index(op.f("ix_batch_notes_corrects"), table_name="batch_notes")
    op.drop_index(op.f("ix_batch_notes_batch"), table_name="batch_notes")
    op.drop_table("batch_notes")
    op.drop_index(op.f("ix_transitions_happened_at"), table_name="transitions")
    op.drop_index(op.f("ix_transitions_corrects"), table_name="transitions")
    op.drop_index(op.f("ix_transitions_batch"), table_name="transitions")
    op.drop_table("transitions")
    op.drop_index(op.f("ix_pages_happened_at"), table_name="pages")
    op.drop_index(op.f("ix_pages_corrects"), table_name="pages")
    op.drop_index(op.f("ix_pages_batch"), table_name="pages")
    op.drop_table("pages")
    op.drop_index(op.f("ix_batch_lines_batch"), table_name="batch_lines")
    op.drop_table("batch_lines")
    op.drop_index(op.f("ix_batches_state"), table_name="batches")
    op.drop_index(op.f("ix_batches_recipe"), table_name="batches")
    op.drop_index(op.f("ix_batches_material"), table_name="batches")
    op.drop_table("batches")
