"""power and efficiency of a kettle, labour rate of the workshop"""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("equipment", sa.Column("power_w", sa.BigInteger(), nullable=True))
    op.add_column("equipment", sa.Column("efficiency", sa.BigInteger(), nullable=True))
    op.add_column("workshop", sa.Column("labour_rate", sa.BigInteger(), nullable=True))


def downgrade() -> None:
    op.drop_column("workshop", "labour_rate")
    op.drop_column("equipment", "efficiency")
    op.drop_column("equipment", "power_w")
