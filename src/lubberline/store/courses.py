"""The values of one finding over many flights, as rows, for whoever follows them over time.

Rows come straight from the tables: ten thousand flights hold a hundred thousand findings, and
to make an object of each takes ten times as long as to read them.
"""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from lubberline.store.schema import FindingRow, FlightRow, MovementRow


class ValueRow(NamedTuple):
    """A known value with its limit, and the flight it belongs to."""

    flight_id: int
    flown_utc: datetime
    title: str
    label: str
    unit: str
    value: float
    sigma: float
    low: float | None
    high: float | None
    target: float | None


def values_of(
    session: Session, key: str, *, row_limit: int, pilot: str | None = None
) -> list[ValueRow]:
    """The known values of a key on the latest flights, oldest flight first, every one of them.

    ``pilot`` leaves out the flights of others.
    """
    columns = FindingRow.__table__.c
    latest = (
        select(
            *(FlightRow.id, FlightRow.flown_utc, FlightRow.title, columns.label, columns.unit),
            *(columns.value, columns.sigma, columns.low, columns.high, columns.target),
        )
        .join(FlightRow, FlightRow.id == columns.flight_id)
        .where(columns.key == key, columns.value.is_not(None))
        .order_by(FlightRow.flown_utc.desc(), FlightRow.id.desc(), columns.position)
        .limit(row_limit)
    )
    if pilot is not None:
        latest = latest.where(FlightRow.pilot == pilot)
    return [ValueRow(*row) for row in session.execute(latest)][::-1]


def latest_pilot(session: Session) -> str | None:
    """Who flew the newest flight; None in an empty database."""
    newest = select(FlightRow.pilot).order_by(FlightRow.flown_utc.desc(), FlightRow.id.desc())
    return session.scalar(newest.limit(1))


def pilots_of(session: Session) -> list[str]:
    """Everyone who flew a kept flight, by name."""
    return list(session.scalars(select(FlightRow.pilot).distinct().order_by(FlightRow.pilot)))


def spans_of(session: Session, *, pilot: str) -> list[tuple[int, datetime, datetime]]:
    """Each flight of a pilot with its first and last movement; those without are left out."""
    moments = MovementRow.__table__.c
    asked = (
        select(FlightRow.id, func.min(moments.at_utc), func.max(moments.at_utc))
        .join(FlightRow, FlightRow.id == moments.flight_id)
        .where(FlightRow.pilot == pilot)
        .group_by(FlightRow.id)
    )
    return [(number, first, last) for number, first, last in session.execute(asked)]
