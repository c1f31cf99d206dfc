"""What a flight was flown in, own marks, numbers seen, corrections, files as they were, logbook.

Flights that are there have none of it.
"""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables."""
    _make_conditions()
    _make_marks()
    _make_observed()
    _make_corrections()
    _make_contents()
    _make_logbook()


def downgrade() -> None:
    """Drop them."""
    for table in (
        *("logbook_entry", "flight_content", "content"),
        *("correction", "observed", "own_mark", "flight_condition"),
    ):
        op.drop_table(table)


def _text(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.String(), nullable=False) for name in names]


def _number(*names: str) -> list[sa.Column[float]]:
    return [sa.Column(name, sa.Double(), nullable=True) for name in names]


def _flight(table: str) -> list[sa.schema.SchemaItem]:
    return [
        sa.Column("flight_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["flight_id"], ["flight.id"], name=f"fk_{table}_flight_id", ondelete="CASCADE"
        ),
    ]


def _numbered(table: str) -> list[sa.schema.SchemaItem]:
    return [
        sa.Column("id", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=f"pk_{table}"),
    ]


def _make_conditions() -> None:
    op.create_table(
        "flight_condition",
        *_flight("flight_condition"),
        *_number("wind_kt", "crosswind_kt", "gust_kt", "weight_lb", "runway_length_ft"),
        sa.Column("night", sa.Boolean(), nullable=True),
        sa.PrimaryKeyConstraint("flight_id", name="pk_flight_condition"),
    )


def _make_marks() -> None:
    op.create_table(
        "own_mark",
        *_numbered("own_mark"),
        *_flight("own_mark"),
        *_text("key"),
        sa.Column("mark", sa.String(), nullable=True),
        *_number("chance_fraction"),
        sa.Column("made_utc", sa.DateTime(), nullable=False),
        *_text("note"),
        sa.UniqueConstraint("flight_id", "key", name="uq_own_mark_flight_id_key"),
    )


def _make_observed() -> None:
    op.create_table(
        "observed",
        *_numbered("observed"),
        *_flight("observed"),
        *_text("key", "unit"),
        sa.Column("value", sa.Double(), nullable=False),
        sa.Column("sigma", sa.Double(), nullable=False),
        *_number("target"),
        sa.UniqueConstraint("flight_id", "key", name="uq_observed_flight_id_key"),
    )


def _make_corrections() -> None:
    op.create_table(
        "correction",
        *_numbered("correction"),
        *_flight("correction"),
        sa.Column("made_utc", sa.DateTime(), nullable=False),
        *_text("field", "was", "becomes", "reason"),
    )
    op.create_index("ix_correction_flight_id", "correction", ["flight_id"])


def _make_contents() -> None:
    op.create_table(
        "content",
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.Column("packed", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name="pk_content"),
    )
    op.create_table(
        "flight_content",
        *_numbered("flight_content"),
        *_flight("flight_content"),
        *_text("role", "name"),
        sa.Column("sha256", sa.String(64), nullable=False),
        sa.ForeignKeyConstraint(["sha256"], ["content.sha256"], name="fk_flight_content_sha256"),
        sa.UniqueConstraint(
            "flight_id", "role", "name", name="uq_flight_content_flight_id_role_name"
        ),
    )
    op.create_index("ix_flight_content_sha256", "flight_content", ["sha256"])


def _make_logbook() -> None:
    op.create_table(
        "logbook_entry",
        *_numbered("logbook_entry"),
        *_text("pilot"),
        sa.Column("flown_on", sa.Date(), nullable=False),
        sa.Column("row_sha256", sa.String(64), nullable=False),
        *_text("fields", "raw", "source_name"),
        sa.Column("source_row", sa.Integer(), nullable=False),
        sa.Column("added_utc", sa.DateTime(), nullable=False),
        sa.Column("withdrawn_utc", sa.DateTime(), nullable=True),
        *_text("reason"),
        sa.UniqueConstraint("row_sha256", name="uq_logbook_entry_row_sha256"),
    )
    op.create_index("ix_logbook_entry_flown_on", "logbook_entry", ["flown_on"])
