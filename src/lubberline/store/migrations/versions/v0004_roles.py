"""Who the pilot was aboard; flights that are there do not say."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Add the column."""
    op.add_column("flight", sa.Column("role", sa.String(), nullable=True))


def downgrade() -> None:
    """Drop it."""
    op.drop_column("flight", "role")
