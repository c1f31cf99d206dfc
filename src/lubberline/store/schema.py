"""The tables, as mapped classes that never leave this room.

A flight belongs to exactly one recording and may be held to a pledge; both are kept as the
bytes they were, in tables of their own keyed by their hash, so that listing flights never
reads them and the same content is never kept twice. A finding is a row with the fields of
``lubberline.line`` that cannot be computed anew.
"""

from datetime import UTC, date, datetime
from typing import Any, Final

from sqlalchemy import DateTime, Dialect, ForeignKey, Index, MetaData, String, UniqueConstraint
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column, relationship
from sqlalchemy.types import TypeDecorator

from lubberline.errors import RangeError
from lubberline.store.model import Mark, Role

SHA256_LENGTH: Final = 64  # hexadecimal digits

# Constraints have names, so that a migration can change them.
NAMES: Final = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}


class UtcDateTime(TypeDecorator[datetime]):
    """An aware time, kept in UTC: what goes in without a zone is refused."""

    impl = DateTime
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """UTC without its zone, which SQLite cannot keep."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise RangeError(f"{value.isoformat()} has no time zone; give UTC")
        return value.astimezone(UTC).replace(tzinfo=None)

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        """The same time with its zone."""
        return value.replace(tzinfo=UTC) if isinstance(value, datetime) else None


class Base(DeclarativeBase):
    """Base of every table."""

    metadata = MetaData(naming_convention=NAMES)


class RecordingRow(Base):
    """The recorder's file as it was, compressed; keyed by the hash of its content."""

    __tablename__ = "recording"

    sha256: Mapped[str] = mapped_column(String(SHA256_LENGTH), primary_key=True)
    name: Mapped[str]
    packed: Mapped[bytes]


class PledgeRow(Base):
    """The canonical bytes of a pledge; several flights may be held to one."""

    __tablename__ = "pledge"

    sha256: Mapped[str] = mapped_column(String(SHA256_LENGTH), primary_key=True)
    canonical: Mapped[bytes]


class FlightRow(Base):
    """One flown flight."""

    __tablename__ = "flight"

    id: Mapped[int] = mapped_column(primary_key=True)
    flown_utc: Mapped[datetime] = mapped_column(UtcDateTime, index=True)
    title: Mapped[str]
    departure_id: Mapped[str]
    destination_id: Mapped[str]
    aircraft: Mapped[str]
    pilot: Mapped[str]
    movement_count: Mapped[int]
    type_name: Mapped[str | None]
    category_class: Mapped[str | None]
    tailwheel: Mapped[bool | None]
    role: Mapped[str | None]
    recording_sha256: Mapped[str] = mapped_column(ForeignKey("recording.sha256"), unique=True)
    pledge_sha256: Mapped[str | None] = mapped_column(ForeignKey("pledge.sha256"), index=True)

    recording: Mapped[RecordingRow] = relationship()
    findings: Mapped[list["FindingRow"]] = relationship(
        order_by="FindingRow.position", cascade="all, delete-orphan", passive_deletes=True
    )
    movements: Mapped[list["MovementRow"]] = relationship(
        order_by="MovementRow.at_utc", cascade="all, delete-orphan", passive_deletes=True
    )
    condition: Mapped["ConditionRow | None"] = relationship(
        cascade="all, delete-orphan", passive_deletes=True
    )
    marks: Mapped[list["MarkRow"]] = relationship(
        order_by="MarkRow.id", cascade="all, delete-orphan", passive_deletes=True
    )
    observed: Mapped[list["ObservedRow"]] = relationship(
        order_by="ObservedRow.id", cascade="all, delete-orphan", passive_deletes=True
    )
    corrections: Mapped[list["CorrectionRow"]] = relationship(
        order_by="CorrectionRow.id", cascade="all, delete-orphan", passive_deletes=True
    )
    contents: Mapped[list["FlightContentRow"]] = relationship(
        order_by="FlightContentRow.id", cascade="all, delete-orphan", passive_deletes=True
    )


class MovementRow(Base):
    """One take-off or landing of a flight; flights of revision 0001 have none."""

    __tablename__ = "movement"

    id: Mapped[int] = mapped_column(primary_key=True)
    flight_id: Mapped[int] = mapped_column(ForeignKey("flight.id", ondelete="CASCADE"), index=True)
    kind: Mapped[str]
    at_utc: Mapped[datetime] = mapped_column(UtcDateTime)
    lat_deg: Mapped[float]
    lon_deg: Mapped[float]


class FindingRow(Base):
    """One finding of a flight, in the order in which it was given."""

    __tablename__ = "finding"
    __table_args__ = (Index(None, "key", "flight_id"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    flight_id: Mapped[int] = mapped_column(ForeignKey("flight.id", ondelete="CASCADE"), index=True)
    position: Mapped[int]
    key: Mapped[str]
    label: Mapped[str]
    unit: Mapped[str]
    basis: Mapped[str]
    source: Mapped[str]
    low: Mapped[float | None]
    high: Mapped[float | None]
    target: Mapped[float | None]
    buffer: Mapped[float]
    tolerance: Mapped[float | None]
    value: Mapped[float | None]
    sigma: Mapped[float]
    where: Mapped[str]
    note: Mapped[str]
    missing: Mapped[str]


class ConditionRow(Base):
    """What a flight was flown in; a column is None where it is not known."""

    __tablename__ = "flight_condition"

    flight_id: Mapped[int] = mapped_column(
        ForeignKey("flight.id", ondelete="CASCADE"), primary_key=True
    )
    wind_kt: Mapped[float | None]
    crosswind_kt: Mapped[float | None]
    gust_kt: Mapped[float | None]
    weight_lb: Mapped[float | None]
    runway_length_ft: Mapped[float | None]
    night: Mapped[bool | None]


class MarkRow(Base):
    """The pilot's own word on one phase or finding of a flight."""

    __tablename__ = "own_mark"
    __table_args__ = (UniqueConstraint("flight_id", "key"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    flight_id: Mapped[int] = mapped_column(ForeignKey("flight.id", ondelete="CASCADE"))
    key: Mapped[str]
    mark: Mapped[Mark | None] = mapped_column(String)
    chance_fraction: Mapped[float | None]
    made_utc: Mapped[datetime] = mapped_column(UtcDateTime)
    note: Mapped[str]


class ObservedRow(Base):
    """One number of airplane or pilot as a flight showed it, beside the target one."""

    __tablename__ = "observed"
    __table_args__ = (UniqueConstraint("flight_id", "key"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    flight_id: Mapped[int] = mapped_column(ForeignKey("flight.id", ondelete="CASCADE"))
    key: Mapped[str]
    unit: Mapped[str]
    value: Mapped[float]
    sigma: Mapped[float]
    target: Mapped[float | None]


class CorrectionRow(Base):
    """What was changed about a flight by hand, and what it was before."""

    __tablename__ = "correction"

    id: Mapped[int] = mapped_column(primary_key=True)
    flight_id: Mapped[int] = mapped_column(ForeignKey("flight.id", ondelete="CASCADE"), index=True)
    made_utc: Mapped[datetime] = mapped_column(UtcDateTime)
    field: Mapped[str]
    was: Mapped[str]
    becomes: Mapped[str]
    reason: Mapped[str]


class ContentRow(Base):
    """A file as it was, compressed; keyed by the hash of its content."""

    __tablename__ = "content"

    sha256: Mapped[str] = mapped_column(String(SHA256_LENGTH), primary_key=True)
    packed: Mapped[bytes]


class FlightContentRow(Base):
    """What a kept file is to a flight: "airplane", "pilot", "samples"."""

    __tablename__ = "flight_content"
    __table_args__ = (UniqueConstraint("flight_id", "role", "name"),)

    id: Mapped[int] = mapped_column(primary_key=True)
    flight_id: Mapped[int] = mapped_column(ForeignKey("flight.id", ondelete="CASCADE"))
    role: Mapped[Role] = mapped_column(String)
    name: Mapped[str]
    sha256: Mapped[str] = mapped_column(ForeignKey("content.sha256"), index=True)


class EntryRow(Base):
    """One row of a logbook that was brought in, and the row as it stood there.

    A withdrawn entry stays, with the time and the reason; it counts no longer.
    """

    __tablename__ = "logbook_entry"

    id: Mapped[int] = mapped_column(primary_key=True)
    pilot: Mapped[str]
    flown_on: Mapped[date] = mapped_column(index=True)
    row_sha256: Mapped[str] = mapped_column(String(SHA256_LENGTH), unique=True)
    fields: Mapped[str]
    raw: Mapped[str]
    source_name: Mapped[str]
    source_row: Mapped[int]
    added_utc: Mapped[datetime] = mapped_column(UtcDateTime)
    withdrawn_utc: Mapped[datetime | None] = mapped_column(UtcDateTime)
    reason: Mapped[str]
