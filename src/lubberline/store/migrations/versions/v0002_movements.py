"""Take-offs and landings of each flight, and what its airplane counts as for the rules."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table and the columns; flights that are there have neither."""
    op.add_column("flight", sa.Column("type_name", sa.String(), nullable=True))
    op.add_column("flight", sa.Column("category_class", sa.String(), nullable=True))
    op.add_column("flight", sa.Column("tailwheel", sa.Boolean(), nullable=True))
    op.create_table(
        "movement",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("flight_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("at_utc", sa.DateTime(), nullable=False),
        sa.Column("lat_deg", sa.Double(), nullable=False),
        sa.Column("lon_deg", sa.Double(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_movement"),
        sa.ForeignKeyConstraint(
            ["flight_id"], ["flight.id"], name="fk_movement_flight_id", ondelete="CASCADE"
        ),
    )
    op.create_index("ix_movement_flight_id", "movement", ["flight_id"])


def downgrade() -> None:
    """Drop them."""
    op.drop_table("movement")
    for column in ("type_name", "category_class", "tailwheel"):
        op.drop_column("flight", column)
