"""photos and certificates, and the photo that a recipe's version names"""

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "blobs",
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name=op.f("pk_blobs")),
    )
    op.create_table(
        "attachments",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("media_type", sa.String(length=40), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=12), nullable=False),
        sa.Column("width", sa.Integer(), nullable=True),
        sa.Column("height", sa.Integer(), nullable=True),
        sa.Column("content", sa.String(length=64), nullable=False),
        sa.Column("thumbnail", sa.String(length=64), nullable=True),
        sa.Column("by", sa.String(length=20), nullable=True),
        sa.Column("entered_at", sa.DateTime(), nullable=False),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_attachments_by")),
        sa.ForeignKeyConstraint(["content"], ["blobs.sha256"], name=op.f("fk_attachments_content")),
        sa.ForeignKeyConstraint(
            ["thumbnail"], ["blobs.sha256"], name=op.f("fk_attachments_thumbnail")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_attachments")),
        sa.UniqueConstraint("digest", name=op.f("uq_attachments_digest")),
    )
    op.create_index(op.f("ix_attachments_entered_at"), "attachments", ["entered_at"], unique=False)
    # No batch here: much points at this table, so its column is added in place.
    op.add_column("versions", sa.Column("photo", sa.String(length=71), nullable=True))


def downgrade() -> None:
    op.drop_column("versions", "photo")
    op.drop_index(op.f("ix_attachments_entered_at"), table_name="attachments")
    op.drop_table("attachments")
    op.drop_table("blobs")
