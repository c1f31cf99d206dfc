"""Flights in and out of the database, as our own types.

Every function works in the session it is given and leaves the transaction to the caller: a
flight, its findings, its pledge and the recorder's file are kept together or not at all. The
file is known by the hash of its content, so the same recording is never added twice.
"""

import hashlib
import zlib
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from itertools import groupby
from typing import Final

from sqlalchemy import func, select
from sqlalchemy.orm import Session, selectinload

from lubberline.errors import NoSolution
from lubberline.line import Finding, finding_from_record, finding_record, worst_first
from lubberline.store.besides import condition_row, mark_row, observed_row
from lubberline.store.contents import content_row, drop_unused
from lubberline.store.corrections import correction_row
from lubberline.store.model import (
    Added,
    AlreadyThere,
    MeasuredFlight,
    MeasureKey,
    NewFlight,
    StoredFlight,
    StoredMovement,
)
from lubberline.store.schema import FindingRow, FlightRow, MovementRow, PledgeRow, RecordingRow

_LEVEL: Final = 6  # own: higher levels cost three times the time for two percent
_NOT_KEPT: Final = {"verdict", "margin", "workings"}  # derived, or only for who plans


def add_flight(session: Session, flight: NewFlight) -> Added | AlreadyThere:
    """Add a flight with all that belongs to it, unless its recording is there already."""
    sha256 = hashlib.sha256(flight.recording).hexdigest()
    there = session.scalar(select(FlightRow).where(FlightRow.recording_sha256 == sha256))
    if there is not None:
        return AlreadyThere(flight_id=there.id, title=there.title, flown_utc=there.flown_utc)
    row = FlightRow(
        flown_utc=flight.flown_utc,
        title=flight.title,
        departure_id=flight.departure_id,
        destination_id=flight.destination_id,
        aircraft=flight.aircraft,
        pilot=flight.pilot,
        movement_count=flight.movement_count,
        recording=RecordingRow(
            sha256=sha256,
            name=flight.recording_name,
            packed=zlib.compress(flight.recording, _LEVEL),
        ),
        pledge_sha256=_keep_pledge(session, flight.pledge),
        type_name=flight.type_name,
        category_class=flight.category_class,
        tailwheel=flight.tailwheel,
        role=flight.role,
        movements=[
            MovementRow(kind=one.kind, at_utc=one.at_utc, lat_deg=one.lat_deg, lon_deg=one.lon_deg)
            for one in flight.movements
        ],
        findings=[_finding_row(number, each) for number, each in enumerate(flight.findings)],
        condition=condition_row(flight.conditions),
        marks=[mark_row(one) for one in flight.marks],
        observed=[observed_row(one) for one in flight.observed],
        corrections=[correction_row(one) for one in flight.corrections],
        contents=[content_row(session, one) for one in flight.files],
    )
    session.add(row)
    session.flush()
    return Added(flight_id=row.id)


def remove_flight(session: Session, flight_id: int) -> None:
    """Remove a flight with its findings and recording, and its pledge if no other needs it.

    Raises
    ------
    NoSolution
        If there is no such flight.
    """
    row = _row(session, flight_id)
    recording, pledge_sha256 = row.recording, row.pledge_sha256
    session.delete(row)
    session.flush()
    session.delete(recording)
    others = select(FlightRow.id).where(FlightRow.pledge_sha256 == pledge_sha256).limit(1)
    if pledge_sha256 is not None and session.scalar(others) is None:
        session.delete(session.get_one(PledgeRow, pledge_sha256))
    drop_unused(session)
    session.flush()


def list_flights(session: Session, *, limit: int) -> list[StoredFlight]:
    """The latest flights, newest first."""
    newest = (
        select(FlightRow, RecordingRow.name)
        .join(RecordingRow)
        .options(selectinload(FlightRow.movements))
        .order_by(FlightRow.flown_utc.desc(), FlightRow.id.desc())
        .limit(limit)
    )
    return [_stored(row, name) for row, name in session.execute(newest)]


def flights_between(
    session: Session, pilot: str, from_utc: datetime, until_utc: datetime
) -> list[StoredFlight]:
    """A pilot's flights that began in that time, its end not included, oldest first."""
    asked = (
        select(FlightRow, RecordingRow.name)
        .join(RecordingRow)
        .options(selectinload(FlightRow.movements))
        .where(FlightRow.pilot == pilot)
        .where(FlightRow.flown_utc >= from_utc, FlightRow.flown_utc < until_utc)
        .order_by(FlightRow.flown_utc, FlightRow.id)
    )
    return [_stored(row, name) for row, name in session.execute(asked)]


def find_flight(session: Session, flight_id: int) -> StoredFlight:
    """One flight by its number; NoSolution if there is none."""
    row = _row(session, flight_id)
    name = session.scalars(
        select(RecordingRow.name).where(RecordingRow.sha256 == row.recording_sha256)
    ).one()
    return _stored(row, name)


def findings_of(session: Session, flight_id: int) -> list[Finding]:
    """The findings of a flight in the order they were given; NoSolution if there is none."""
    return [_finding(row) for row in _row(session, flight_id).findings]


def recording_of(session: Session, flight_id: int) -> bytes:
    """The recorder's file, byte for byte as it was added.

    Raises
    ------
    NoSolution
        If there is no such flight, or what was kept no longer has the hash it had.
    """
    row = _row(session, flight_id).recording
    try:
        content = zlib.decompress(row.packed)
    except zlib.error:
        content = b""
    if hashlib.sha256(content).hexdigest() != row.sha256:
        raise NoSolution(
            f"the kept recording of flight {flight_id} ({row.name}) is damaged;"
            " restore the database from a copy, or add the original file again"
        )
    return content


def pledge_of(session: Session, flight_id: int) -> bytes | None:
    """The canonical bytes of the pledge a flight was held to; None if it had none."""
    sha256 = _row(session, flight_id).pledge_sha256
    return None if sha256 is None else session.get_one(PledgeRow, sha256).canonical


def measures(
    session: Session,
    key: str,
    *,
    limit: int,
    pilot: str | None = None,
) -> list[MeasuredFlight]:
    """The known values of one key over the latest flights, oldest first, one per flight.

    Where a flight has several findings with the key, the worst stands for it, or the largest if
    the key had no limit. ``pilot`` leaves out the flights of others.

    Raises
    ------
    NoSolution
        If the values were stored in different units.
    """
    latest = (
        select(FlightRow.id)
        .where(FlightRow.findings.any((FindingRow.key == key) & FindingRow.value.is_not(None)))
        .order_by(FlightRow.flown_utc.desc(), FlightRow.id.desc())
        .limit(limit)
    )
    if pilot is not None:
        latest = latest.where(FlightRow.pilot == pilot)
    known = (
        select(FlightRow, FindingRow)
        .join(FindingRow)
        .where(FlightRow.id.in_(latest), FindingRow.key == key, FindingRow.value.is_not(None))
        .order_by(FlightRow.flown_utc, FlightRow.id, FindingRow.position)
    )
    return list(_worst_per_flight(key, session.execute(known).all()))


def measure_keys(session: Session) -> list[MeasureKey]:
    """Every key with a known value, most flights first, under its latest words."""
    last = func.max(FindingRow.id)
    flights = func.count(FindingRow.flight_id.distinct())
    tallies = (
        select(last.label("last_id"), flights.label("flights"))
        .where(FindingRow.value.is_not(None))
        .group_by(FindingRow.key)
        .subquery()
    )
    rows = (
        select(FindingRow, tallies.c.flights)
        .join(tallies, FindingRow.id == tallies.c.last_id)
        .order_by(tallies.c.flights.desc(), FindingRow.key)
    )
    return [
        MeasureKey(key=row.key, label=row.label, unit=row.unit, flight_count=count)
        for row, count in session.execute(rows)
    ]


def _keep_pledge(session: Session, canonical: bytes | None) -> str | None:
    """The hash of the pledge, which is kept once however many flights are held to it."""
    if canonical is None:
        return None
    sha256 = hashlib.sha256(canonical).hexdigest()
    if session.get(PledgeRow, sha256) is None:
        session.add(PledgeRow(sha256=sha256, canonical=canonical))
        session.flush()
    return sha256


def _row(session: Session, flight_id: int) -> FlightRow:
    row = session.get(FlightRow, flight_id)
    if row is None:
        raise NoSolution(f"there is no flight {flight_id} in the store")
    return row


def _stored(row: FlightRow, recording_name: str) -> StoredFlight:
    return StoredFlight(
        flight_id=row.id,
        flown_utc=row.flown_utc,
        title=row.title,
        departure_id=row.departure_id,
        destination_id=row.destination_id,
        aircraft=row.aircraft,
        pilot=row.pilot,
        movement_count=row.movement_count,
        recording_name=recording_name,
        recording_sha256=row.recording_sha256,
        pledge_sha256=row.pledge_sha256,
        type_name=row.type_name,
        category_class=row.category_class,
        tailwheel=row.tailwheel,
        role=row.role,
        movements=tuple(
            StoredMovement(
                kind=one.kind, at_utc=one.at_utc, lat_deg=one.lat_deg, lon_deg=one.lon_deg
            )
            for one in row.movements
        ),
    )


def _finding_row(position: int, finding: Finding) -> FindingRow:
    record = finding_record(finding)
    kept = {name: value for name, value in record.items() if name not in _NOT_KEPT}
    return FindingRow(position=position, **kept)


def _finding(row: FindingRow) -> Finding:
    columns = FindingRow.__table__.columns.keys()
    return finding_from_record({name: getattr(row, name) for name in columns})


def _worst_per_flight(
    key: str, rows: Sequence[tuple[FlightRow, FindingRow]]
) -> Iterator[MeasuredFlight]:
    units = sorted({finding.unit for _, finding in rows})
    if len(units) > 1:
        raise NoSolution(f"{key} was stored in different units ({', '.join(units)})")
    for _, group in groupby(rows, key=lambda row: row[0].id):
        pairs = list(group)
        worst = _worst(_finding(finding) for _, finding in pairs)
        if worst.value is not None:
            flight = pairs[0][0]
            yield MeasuredFlight(
                flight.flown_utc, flight.title, worst.value, worst.sigma, flight.id
            )


def _worst(findings: Iterable[Finding]) -> Finding:
    """The worst by its limit; where no limit says what is worse, the largest."""
    listed = worst_first(findings)
    if listed[0].margin is not None:
        return listed[0]
    return max(listed, key=lambda finding: abs(finding.value or 0.0))
