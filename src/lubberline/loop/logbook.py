"""The pilot's whole logbook: lines that were brought in, and flights that recordings show.

A day in one airplane that stands in the logbook counts as it stands there; recordings of that day
in that airplane are then shown but not counted again.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from lubberline.errors import BadFile
from lubberline.fit import local_day, was_night
from lubberline.logbook import COUNTS, Entry, landings_of
from lubberline.loop.course import store_path
from lubberline.pilot import Landings, Recorded

if TYPE_CHECKING:
    from lubberline.store import Observed, StoredEntry, StoredFlight, StoredMovement

_EVER: Final = (
    datetime.fromisoformat("1900-01-01T00:00:00+00:00"),
    datetime.fromisoformat("2200-01-01T00:00:00+00:00"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line: what it says, where it is kept ("line 4", "flight 2"), whether it counts.

    ``reason`` says why a line does not count.
    """

    entry: Entry
    kept_as: str
    counts: bool = True
    reason: str = ""


def logbook_lines(home: Path, pilot: str) -> tuple[Line, ...]:
    """Everything that is kept of a pilot's flying, oldest first, withdrawn lines too."""
    path = store_path(home)
    if not path.is_file():
        return ()
    from lubberline.store import entries_of, flights_between, observed_flights, open_store

    with open_store(path) as store, store.reading() as session:
        written = [_written(one) for one in entries_of(session, pilot=pilot, withdrawn=True)]
        shown = flights_between(session, pilot, *_EVER)
        numbers: dict[int, dict[str, Observed]] = {}
        for one in observed_flights(session):
            numbers.setdefault(one.flight_id, {})[one.observed.key] = one.observed
    in_book = {(one.entry.flown_on, one.entry.call_sign) for one in written if one.counts}
    flown = [_recorded(one, numbers.get(one.flight_id, {}), in_book) for one in shown]
    return tuple(sorted([*written, *flown], key=lambda line: line.entry.flown_on))


def with_logged(
    home: Path, pilot: str, landings: tuple[Landings, ...] | None
) -> tuple[Landings, ...] | None:
    """The landings of the pilot's file and of the logbook together, none counted twice.

    A day that is in both counts as in the one that has more. None where neither says anything;
    a store that cannot be read says nothing.
    """
    if not store_path(home).is_file():
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


def _recorded(
    flight: "StoredFlight", numbers: "dict[str, Observed]", in_book: set[tuple[date, str]]
) -> Line:
    """A kept flight as a line: from moving to standing, or in the air where that is not known."""
    first = flight.movements[0] if flight.movements else None
    on = flight.flown_utc.date() if first is None else local_day(first.lon_deg, first.at_utc)
    hours = {name: one.value for name, one in numbers.items() if name.endswith("_h")}
    total_h = hours.get("block_h", hours.get("airborne_h", 0.0))
    entry = Entry(
        flown_on=on,
        from_id=flight.departure_id,
        to_id=flight.destination_id,
        call_sign=flight.aircraft,
        type_name=flight.type_name,
        category_class=flight.category_class,
        tailwheel=flight.tailwheel,
        total_h=round(total_h, 3),
        pic_h=round(total_h, 3),
        night_h=round(min(hours.get("night_h", 0.0), total_h), 3),
        remark=flight.title,
        **_counts(flight),
    )
    counted = (on, flight.aircraft) not in in_book
    reason = "" if counted else "the logbook has that day in that airplane"
    return Line(entry=entry, kept_as=f"flight {flight.flight_id}", counts=counted, reason=reason)


def _counts(flight: "StoredFlight") -> dict[str, Any]:
    """Take-offs and landings, by night as the rules of recency count it."""
    kinds = [(one.kind, was_night(_as_recorded(one, flight))) for one in flight.movements]
    return {
        "takeoff_count": sum(kind != "landing" for kind, _ in kinds),
        "landing_count": sum(kind != "take-off" for kind, _ in kinds),
        "full_stop_count": sum(kind == "landing" for kind, _ in kinds),
        "night_takeoff_count": sum(kind != "landing" and night for kind, night in kinds),
        "night_full_stop_count": sum(kind == "landing" and night for kind, night in kinds),
    }


def _as_recorded(one: "StoredMovement", flight: "StoredFlight") -> Recorded:
    return Recorded(
        kind=one.kind,
        on=local_day(one.lon_deg, one.at_utc),
        at_utc=one.at_utc,
        lat_deg=one.lat_deg,
        lon_deg=one.lon_deg,
        category_class=flight.category_class,
        tailwheel=flight.tailwheel,
        type_name=flight.type_name,
    )
