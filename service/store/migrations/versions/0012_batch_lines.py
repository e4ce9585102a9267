"""batch lines: what is added as needed, and how fast it is heated"""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("batch_lines", sa.Column("condition", sa.String(length=200), nullable=True))
    op.add_column("batch_lines", sa.Column("ramp_k_min", sa.BigInteger(), nullable=True))


def downgrade() -> None:
    op.drop_column("batch_lines", "ramp_k_min")
    op.drop_column("batch_lines", "condition")
