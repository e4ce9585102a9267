"""recipes and products"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "recipes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=20), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("archived_at", sa.DateTime(), nullable=True),
        sa.Column("folded", sa.String(length=600), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("makes", sa.String(length=20), nullable=False),
        sa.ForeignKeyConstraint(["makes"], ["materials.code"], name=op.f("fk_recipes_makes")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_recipes")),
    )
    op.create_index(op.f("ix_recipes_code"), "recipes", ["code"], unique=True)
    op.create_index(op.f("ix_recipes_makes"), "recipes", ["makes"], unique=False)
    op.create_table(
        "products",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=20), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("archived_at", sa.DateTime(), nullable=True),
        sa.Column("folded", sa.String(length=600), nullable=False),
        sa.Column("recipe", sa.String(length=20), nullable=False),
        sa.Column("shelf_months", sa.Integer(), nullable=True),
        sa.Column("open_months", sa.Integer(), nullable=True),
        sa.Column("disclosure", sa.String(length=16), nullable=False),
        sa.Column("tell_oil_length", sa.Boolean(), nullable=False),
        sa.Column("markets", sa.String(length=400), nullable=False),
        sa.ForeignKeyConstraint(["recipe"], ["recipes.code"], name=op.f("fk_products_recipe")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_products")),
    )
    op.create_index(op.f("ix_products_code"), "products", ["code"], unique=True)
    op.create_index(op.f("ix_products_recipe"), "products", ["recipe"], unique=False)
    op.create_table(
        "versions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("recipe", sa.String(length=20), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=10), nullable=False),
        sa.Column("created_at", sa.DateTime(), nullable=False),
        sa.Column("created_by", sa.String(length=20), nullable=True),
        sa.Column("approved_at", sa.DateTime(), nullable=True),
        sa.Column("approved_by", sa.String(length=20), nullable=True),
        sa.Column("loss_cook", sa.BigInteger(), nullable=True),
        sa.Column("loss_strain", sa.BigInteger(), nullable=True),
        sa.Column("remark", sa.String(length=2000), nullable=True),
        sa.ForeignKeyConstraint(
            ["approved_by"], ["people.code"], name=op.f("fk_versions_approved_by")
        ),
        sa.ForeignKeyConstraint(
            ["created_by"], ["people.code"], name=op.f("fk_versions_created_by")
        ),
        sa.ForeignKeyConstraint(["recipe"], ["recipes.code"], name=op.f("fk_versions_recipe")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_versions")),
        sa.UniqueConstraint("recipe", "number", name=op.f("uq_versions_recipe_number")),
    )
    op.create_index(op.f("ix_versions_recipe"), "versions", ["recipe"], unique=False)
    op.create_index(op.f("ix_versions_state"), "versions", ["state"], unique=False)
    op.create_table(
        "lines",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("material", sa.String(length=20), nullable=False),
        sa.Column("basis", sa.String(length=8), nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.Column("stage", sa.String(length=12), nullable=False),
        sa.ForeignKeyConstraint(["material"], ["materials.code"], name=op.f("fk_lines_material")),
        sa.ForeignKeyConstraint(["version"], ["versions.id"], name=op.f("fk_lines_version")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lines")),
        sa.UniqueConstraint("version", "line", name=op.f("uq_lines_version_line")),
    )
    op.create_index(op.f("ix_lines_material"), "lines", ["material"], unique=False)
    op.create_index(op.f("ix_lines_version"), "lines", ["version"], unique=False)
    op.create_table(
        "packs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("product", sa.String(length=20), nullable=False),
        sa.Column("pack", sa.String(length=20), nullable=False),
        sa.Column("container", sa.String(length=20), nullable=False),
        sa.Column("closure", sa.String(length=20), nullable=True),
        sa.Column("label", sa.String(length=20), nullable=True),
        sa.Column("nominal_ul", sa.BigInteger(), nullable=False),
        sa.Column("gtin", sa.String(length=14), nullable=True),
        sa.Column("price", sa.BigInteger(), nullable=True),
        sa.ForeignKeyConstraint(["closure"], ["materials.code"], name=op.f("fk_packs_closure")),
        sa.ForeignKeyConstraint(["container"], ["materials.code"], name=op.f("fk_packs_container")),
        sa.ForeignKeyConstraint(["label"], ["materials.code"], name=op.f("fk_packs_label")),
        sa.ForeignKeyConstraint(["product"], ["products.code"], name=op.f("fk_packs_product")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_packs")),
        sa.UniqueConstraint("product", "pack", name=op.f("uq_packs_product_pack")),
    )
    op.create_index(op.f("ix_packs_product"), "packs", ["product"], unique=False)
    op.create_table(
        "product_texts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("product", sa.String(length=20), nullable=False),
        sa.Column("language", sa.String(length=2), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("directions", sa.String(length=2000), nullable=True),
        sa.ForeignKeyConstraint(
            ["product"], ["products.code"], name=op.f("fk_product_texts_product")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_product_texts")),
        sa.UniqueConstraint("product", "language", name=op.f("uq_product_texts_product_language")),
    )
    op.create_index(op.f("ix_product_texts_product"), "product_texts", ["product"], unique=False)
    op.create_table(
        "steps",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("line", sa.Integer(), nullable=False),
        sa.Column("stage", sa.String(length=12), nullable=False),
        sa.Column("do", sa.String(length=8), nullable=False),
        sa.Column("to_c", sa.BigInteger(), nullable=True),
        sa.Column("seconds", sa.Integer(), nullable=True),
        sa.Column("until", sa.String(length=200), nullable=True),
        sa.ForeignKeyConstraint(["version"], ["versions.id"], name=op.f("fk_steps_version")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_steps")),
        sa.UniqueConstraint("version", "line", name=op.f("uq_steps_version_line")),
    )
    op.create_index(op.f("ix_steps_version"), "steps", ["version"], unique=False)


def downgrade() -> None:
    op.drop_index(op.f("ix_steps_version"), table_name="steps")
    op.drop_table("steps")
    op.drop_index(op.f("ix_product_texts_product"), table_name="product_texts")
    op.drop_table("product_texts")
    op.drop_index(op.f("ix_packs_product"), table_name="packs")
    op.drop_table("packs")
    op.drop_index(op.f("ix_lines_version"), table_name="lines")
    op.drop_index(op.f("ix_lines_material"), table_name="lines")
    op.drop_table("lines")
    op.drop_index(op.f("ix_versions_state"), table_name="versions")
    op.drop_index(op.f("ix_versions_recipe"), table_name="versions")
    op.drop_table("versions")
    op.drop_index(op.f("ix_products_recipe"), table_name="products")
    op.drop_index(op.f("ix_products_code"), table_name="products")
    op.drop_table("products")
    op.drop_index(op.f("ix_recipes_makes"), table_name="recipes")
    op.drop_index(op.f("ix_recipes_code"), table_name="recipes")
    op.drop_table("recipes")
