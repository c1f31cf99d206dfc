"""The pilot's whole logbook: lines that were brought in, and flights that recordings show.

A day in one airplane that was written into the logbook counts as it stands there; recordings of
that day in that airplane are then shown but not counted again. A row that was taken from a
recording stands for that flight alone. Of two recordings of one flight the first counts.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from lubberline.errors import BadFile
from lubberline.fit import local_day, was_night
from lubberline.logbook import COUNTS, Entry, at_the_controls, landings_of, role_hours
from lubberline.loop.course import store_path
from lubberline.loop.practice import as_recorded
from lubberline.loop.same_flight import overlap, seen_before, span_of, taken_span
from lubberline.pilot import Landings

if TYPE_CHECKING:
    from lubberline.store import Observed, StoredEntry, StoredFlight, StoredMovement

_EVER: Final = (
    datetime.fromisoformat("1900-01-01T00:00:00+00:00"),
    datetime.fromisoformat("2200-01-01T00:00:00+00:00"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line: what it says, where it is kept ("line 4", "flight 2"), whether it counts.

    ``reason`` says why a line does not count, ``no_role`` that nobody said who the pilot was
    aboard: it counts as in command.
    """

    entry: Entry
    kept_as: str
    counts: bool = True
    reason: str = ""
    no_role: bool = False


def logbook_lines(home: Path, pilot: str) -> tuple[Line, ...]:
    """Everything that is kept of a pilot's flying, oldest first, withdrawn lines too."""
    path = store_path(home)
    if not path.exists():
        return ()
    from lubberline.store import entries_of, flights_between, observed_flights, open_store

    with open_store(path) as store, store.reading() as session:
        stored = entries_of(session, pilot=pilot, withdrawn=True)
        shown = flights_between(session, pilot, *_EVER)
        numbers: dict[int, dict[str, Observed]] = {}
        for one in observed_flights(session):
            numbers.setdefault(one.flight_id, {})[one.observed.key] = one.observed
    why_not = _why_not(shown, [one for one in stored if one.withdrawn_utc is None])
    flown = [
        _recorded(one, numbers.get(one.flight_id, {}), why_not.get(one.flight_id, ""))
        for one in shown
    ]
    written = [_written(one) for one in stored]
    return tuple(sorted([*written, *flown], key=lambda line: line.entry.flown_on))


def with_logged(
    home: Path, pilot: str, landings: tuple[Landings, ...] | None
) -> tuple[Landings, ...] | None:
    """The landings of the pilot's file and of the logbook together, none counted twice.

    A day that is in both counts as in the one that has more. None where neither says anything;
    a store that cannot be read says nothing.
    """
    if not store_path(home).exists():
        return landings
    from lubberline.store import entries_of, open_store

    try:
        with open_store(store_path(home)) as store, store.reading() as session:
            logged = landings_of(one.entry for one in entries_of(session, pilot=pilot))
    except BadFile:
        return landings
    if not logged:
        return landings
    return merged(landings or (), logged)


def merged(first: Iterable[Landings], second: Iterable[Landings]) -> tuple[Landings, ...]:
    """Landings by day, class and type; of two lines for the same, the larger count of each kind."""
    found: dict[tuple[date, str, bool, str], Landings] = {}
    for one in (*first, *second):
        key = (one.on, one.category_class, one.tailwheel, one.type_name or "")
        there = found.get(key)
        if there is not None:
            most: dict[str, Any] = {
                name: max(getattr(there, name), getattr(one, name)) for name in COUNTS
            }
            one = replace(there, **most)
        found[key] = one
    return tuple(found[key] for key in sorted(found))


def _written(stored: "StoredEntry") -> Line:
    withdrawn = stored.withdrawn_utc is not None
    return Line(
        entry=stored.entry,
        kept_as=f"line {stored.entry_id}",
        counts=not withdrawn,
        reason=f"withdrawn: {stored.reason}" if withdrawn else "",
    )


def _why_not(flights: "Sequence[StoredFlight]", entries: "Iterable[StoredEntry]") -> dict[int, str]:
    """For each kept flight that does not count: that it is written down, or kept twice."""
    taken, in_book = [], set()
    for one in entries:
        span = taken_span(one)
        if span is None:
            in_book.add((one.entry.flown_on, one.entry.call_sign))
        else:
            taken.append((span, one))
    why = {}
    for number, twin in seen_before(flights).items():
        why[number] = f"flight {twin} is of the same time"
    for flight in flights:
        if (_day(flight), flight.aircraft) in in_book:
            why[flight.flight_id] = "the logbook has that day in that airplane"
        span = span_of(flight)
        row = next((one for other, one in taken if span is not None and overlap(span, other)), None)
        if row is not None:
            why[flight.flight_id] = f"taken into the logbook as line {row.entry_id}"
    return why


def _day(flight: "StoredFlight") -> date:
    """The civil day where it first moved."""
    first = flight.movements[0] if flight.movements else None
    return flight.flown_utc.date() if first is None else local_day(first.lon_deg, first.at_utc)


def _recorded(flight: "StoredFlight", numbers: "dict[str, Observed]", reason: str) -> Line:
    """A kept flight as a line: from moving to standing, or in the air where that is not known."""
    hours = {name: one.value for name, one in numbers.items() if name.endswith("_h")}
    total_h = hours.get("block_h", hours.get("airborne_h", 0.0))
    entry = Entry(
        flown_on=_day(flight),
        from_id=flight.departure_id,
        to_id=flight.destination_id,
        call_sign=flight.aircraft,
        type_name=flight.type_name,
        category_class=flight.category_class,
        tailwheel=flight.tailwheel,
        total_h=round(total_h, 3),
        night_h=round(min(hours.get("night_h", 0.0), total_h), 3),
        cross_country_h=round(total_h, 3) if _cross_country(flight) else 0.0,
        remark=flight.title,
        **role_hours(flight.role, round(total_h, 3)),
        **counts_of(flight.movements, flight.role),
    )
    return Line(
        entry=entry,
        kept_as=f"flight {flight.flight_id}",
        counts=not reason,
        reason=reason,
        no_role=flight.role is None,
    )


def _cross_country(flight: "StoredFlight") -> bool:
    """Whether it landed elsewhere than where it took off."""
    from lubberline.flown import farthest_landing_nm, is_elsewhere  # no card waits for it

    up = next((one for one in flight.movements if one.kind == "take-off"), None)
    down = [one for one in flight.movements if one.kind != "take-off"]
    farthest_nm = farthest_landing_nm(up, down)
    return farthest_nm is not None and is_elsewhere(farthest_nm)


def counts_of(movements: "Sequence[StoredMovement]", role: str | None) -> dict[str, Any]:
    """Take-offs and landings of the pilot's own, by night as the rules of recency count it."""
    own = movements if at_the_controls(role) else ()
    kinds = [(one.kind, was_night(as_recorded(one))) for one in own]
    return {
        "takeoff_count": sum(kind != "landing" for kind, _ in kinds),
        "landing_count": sum(kind != "take-off" for kind, _ in kinds),
        "full_stop_count": sum(kind == "landing" for kind, _ in kinds),
        "night_takeoff_count": sum(kind != "landing" and night for kind, night in kinds),
        "night_full_stop_count": sum(kind == "landing" and night for kind, night in kinds),
    }
