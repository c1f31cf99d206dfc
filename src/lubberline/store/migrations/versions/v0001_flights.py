"""Flights with their recordings, pledges and findings.

A step never uses the mapped classes: those say how the tables are now, this says how they
were made.
"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "recording",
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("packed", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name="pk_recording"),
    )
    op.create_table(
        "pledge",
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.Column("canonical", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name="pk_pledge"),
    )
    _make_flights()
    _make_findings()


def downgrade() -> None:
    """Drop the tables."""
    for table in ("finding", "flight", "pledge", "recording"):
        op.drop_table(table)


def _make_flights() -> None:
    op.create_table(
        "flight",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("flown_utc", sa.DateTime(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("departure_id", sa.String(), nullable=False),
        sa.Column("destination_id", sa.String(), nullable=False),
        sa.Column("aircraft", sa.String(), nullable=False),
        sa.Column("pilot", sa.String(), nullable=False),
        sa.Column("movement_count", sa.Integer(), nullable=False),
        sa.Column("recording_sha256", sa.String(64), nullable=False),
        sa.Column("pledge_sha256", sa.String(64), nullable=True),
        sa.PrimaryKeyConstraint("id", name="pk_flight"),
        sa.ForeignKeyConstraint(
            ["recording_sha256"], ["recording.sha256"], name="fk_flight_recording_sha256"
        ),
        sa.ForeignKeyConstraint(
            ["pledge_sha256"], ["pledge.sha256"], name="fk_flight_pledge_sha256"
        ),
        sa.UniqueConstraint("recording_sha256", name="uq_flight_recording_sha256"),
    )
    op.create_index("ix_flight_flown_utc", "flight", ["flown_utc"])
    op.create_index("ix_flight_pledge_sha256", "flight", ["pledge_sha256"])


def _make_findings() -> None:
    words = ("key", "label", "unit", "basis", "source")
    open_numbers = ("low", "high", "target", "tolerance", "value")
    op.create_table(
        "finding",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("flight_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        *(sa.Column(name, sa.String(), nullable=False) for name in words),
        *(sa.Column(name, sa.Double(), nullable=True) for name in open_numbers),
        sa.Column("buffer", sa.Double(), nullable=False),
        sa.Column("sigma", sa.Double(), nullable=False),
        *(sa.Column(name, sa.String(), nullable=False) for name in ("where", "note", "missing")),
        sa.PrimaryKeyConstraint("id", name="pk_finding"),
        sa.ForeignKeyConstraint(
            ["flight_id"], ["flight.id"], name="fk_finding_flight_id", ondelete="CASCADE"
        ),
    )
    op.create_index("ix_finding_flight_id", "finding", ["flight_id"])
    op.create_index("ix_finding_key_flight_id", "finding", ["key", "flight_id"])
