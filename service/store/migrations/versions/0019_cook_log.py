"""cook logs: files of a logger, and the points that each of them brought"""

import sqlalchemy as sa
from alembic import op

revision = "0019"
down_revision = "0018"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "cook_logs",
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
        sa.Column("sha256", sa.String(length=64), nullable=False),
        sa.Column("read_as", sa.String(length=1200), nullable=False),
        sa.Column("rows", sa.Integer(), nullable=False),
        sa.Column("stored", sa.Integer(), nullable=False),
        sa.Column("known", sa.Integer(), nullable=False),
        sa.Column("set_aside", sa.Integer(), nullable=False),
        sa.Column("first_at", sa.DateTime(), nullable=True),
        sa.Column("last_at", sa.DateTime(), nullable=True),
        sa.Column("times_from", sa.String(length=8), nullable=False),
        sa.Column("behind_ms", sa.BigInteger(), nullable=True),
        sa.ForeignKeyConstraint(["batch"], ["batches.id"], name=op.f("fk_cook_logs_batch")),
        sa.ForeignKeyConstraint(["by"], ["people.code"], name=op.f("fk_cook_logs_by")),
        sa.ForeignKeyConstraint(["kettle"], ["equipment.code"], name=op.f("fk_cook_logs_kettle")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cook_logs")),
    )
    for column in ("batch", "corrects", "happened_at", "kettle"):
        op.create_index(op.f(f"ix_cook_logs_{column}"), "cook_logs", [column], unique=False)
    # Nothing points at the points, so the table may be made anew to hold the constraint.
    with op.batch_alter_table("cook_points") as points:
        points.add_column(sa.Column("log", sa.Integer(), nullable=True))
        points.create_foreign_key(op.f("fk_cook_points_log"), "cook_logs", ["log"], ["id"])
        points.create_index(op.f("ix_cook_points_log"), ["log"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("cook_points") as points:
        points.drop_index(op.f("ix_cook_points_log"))
        points.drop_constraint(op.f("fk_cook_points_log"), type_="foreignkey")
        points.drop_column("log")
    op.drop_table("cook_logs")
