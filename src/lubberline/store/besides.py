"""What is kept beside the findings: conditions flown in, own marks, numbers observed."""

from collections.abc import Iterable
from dataclasses import asdict
from datetime import datetime
from typing import Final

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from lubberline.store.model import (
    FlightConditions,
    FlightInConditions,
    MarkedFlight,
    Observed,
    ObservedFlight,
    OwnMark,
)
from lubberline.store.schema import ConditionRow, FlightRow, MarkRow, ObservedRow
from lubberline.units import S_PER_DAY

_CONDITIONS: Final = tuple(FlightConditions.__dataclass_fields__)
_OBSERVED: Final = tuple(Observed.__dataclass_fields__)
_OLDEST_FIRST: Final = (FlightRow.flown_utc, FlightRow.id)


def flights_with_conditions(
    session: Session, *, pilot: str | None = None
) -> list[FlightInConditions]:
    """Every flight, oldest first, with what it was flown in and how long after the last one.

    ``pilot`` leaves out the flights of others.
    """
    columns = [getattr(ConditionRow, name) for name in ("flight_id", *_CONDITIONS)]
    asked = (
        select(
            *(FlightRow.id, FlightRow.flown_utc, FlightRow.title, FlightRow.pilot),
            *(FlightRow.aircraft, FlightRow.type_name, *columns),
        )
        .outerjoin(ConditionRow, ConditionRow.flight_id == FlightRow.id)
        .where(*_of(pilot))
        .order_by(*_OLDEST_FIRST)
    )
    last: dict[str, datetime] = {}
    found = []
    for flight_id, flown_utc, title, who, airplane, type_name, of_flight, *values in map(
        tuple, session.execute(asked)
    ):
        before = last.get(who)
        last[who] = flown_utc
        known = dict(zip(_CONDITIONS, values, strict=True))
        found.append(
            FlightInConditions(
                flight_id=flight_id,
                flown_utc=flown_utc,
                title=title,
                pilot=who,
                aircraft=airplane,
                type_name=type_name,
                since_last_days=_days(before, flown_utc),
                conditions=None if of_flight is None else FlightConditions(**known),
            )
        )
    return found


def own_marks(session: Session, *, pilot: str | None = None) -> list[MarkedFlight]:
    """Every own mark, oldest flight first, each as it was first given."""
    asked = (
        select(MarkRow, FlightRow.flown_utc, FlightRow.pilot)
        .join(FlightRow)
        .where(*_of(pilot))
        .order_by(*_OLDEST_FIRST, MarkRow.id)
    )
    return [
        MarkedFlight(flight_id=row.flight_id, flown_utc=flown_utc, pilot=who, mark=_mark(row))
        for row, flown_utc, who in session.execute(asked)
    ]


def add_marks(session: Session, flight_id: int, marks: Iterable[OwnMark]) -> int:
    """Add marks to a flight; one that was given before stays. How many were new."""
    there = set(session.scalars(select(MarkRow.key).where(MarkRow.flight_id == flight_id)))
    new = [one for one in marks if one.key not in there]
    for one in new:
        row = mark_row(one)
        row.flight_id = flight_id
        session.add(row)
    session.flush()
    return len(new)


def marks_of(session: Session, flight_id: int) -> list[OwnMark]:
    """The own marks of one flight."""
    asked = select(MarkRow).where(MarkRow.flight_id == flight_id).order_by(MarkRow.id)
    return [_mark(row) for row in session.scalars(asked)]


def conditions_of(session: Session, flight_id: int) -> FlightConditions | None:
    """What one flight was flown in; None if that was not kept."""
    row = session.get(ConditionRow, flight_id)
    if row is None:
        return None
    return FlightConditions(**{name: getattr(row, name) for name in _CONDITIONS})


def observed_of(session: Session, flight_id: int) -> list[Observed]:
    """The numbers that one flight showed."""
    asked = select(ObservedRow).where(ObservedRow.flight_id == flight_id)
    return [_observed(row) for row in session.scalars(asked.order_by(ObservedRow.id))]


def observed_flights(session: Session) -> list[ObservedFlight]:
    """Every observed number with the flight that showed it, oldest flight first."""
    numbers = [getattr(ObservedRow, name) for name in _OBSERVED]
    asked = (
        select(FlightRow.id, FlightRow.flown_utc, FlightRow.pilot, FlightRow.aircraft, *numbers)
        .join(ObservedRow, ObservedRow.flight_id == FlightRow.id)
        .order_by(*_OLDEST_FIRST, ObservedRow.id)
    )
    return [
        ObservedFlight(
            flight_id=flight_id,
            flown_utc=flown_utc,
            pilot=pilot,
            aircraft=aircraft,
            observed=Observed(**dict(zip(_OBSERVED, values, strict=True))),
        )
        for flight_id, flown_utc, pilot, aircraft, *values in map(tuple, session.execute(asked))
    ]


def condition_row(conditions: FlightConditions | None) -> ConditionRow | None:
    """The row of a flight's conditions, if there are any."""
    return None if conditions is None else ConditionRow(**asdict(conditions))


def mark_row(mark: OwnMark) -> MarkRow:
    """The row of a mark, not yet bound to a flight."""
    return MarkRow(**asdict(mark))


def observed_row(one: Observed) -> ObservedRow:
    """The row of an observed number, not yet bound to a flight."""
    return ObservedRow(**asdict(one))


def _of(pilot: str | None) -> list[ColumnElement[bool]]:
    return [] if pilot is None else [FlightRow.pilot == pilot]


def _days(before_utc: datetime | None, flown_utc: datetime) -> float | None:
    return None if before_utc is None else (flown_utc - before_utc).total_seconds() / S_PER_DAY


def _mark(row: MarkRow) -> OwnMark:
    return OwnMark(**{name: getattr(row, name) for name in OwnMark.__dataclass_fields__})


def _observed(row: ObservedRow) -> Observed:
    return Observed(**{name: getattr(row, name) for name in Observed.__dataclass_fields__})
