"""What the store's recordings say of a pilot's practice, for rules that ask how recent it is."""

import logging
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Final

from lubberline.errors import BadFile
from lubberline.fit import local_day
from lubberline.logbook import at_the_controls
from lubberline.loop.course import store_path
from lubberline.loop.same_flight import seen_before
from lubberline.pilot import Recorded

if TYPE_CHECKING:
    from lubberline.store import StoredMovement

log = logging.getLogger(__name__)
LOOK_BACK: Final = timedelta(days=400)  # own: what is longer ago is no practice


def recorded_movements(home: Path, pilot: str, before_utc: datetime) -> tuple[Recorded, ...]:
    """Take-offs and landings of the pilot's flights that began before a moment, oldest first.

    Not those of a learner under the pilot's instruction, and none twice where two recordings are of
    one flight. A store that cannot be read gives none and a warning.
    """
    if not store_path(home).exists():
        return ()
    from lubberline.store import flights_between, open_store

    try:
        with open_store(store_path(home)) as store, store.reading() as session:
            flights = flights_between(session, pilot, before_utc - LOOK_BACK, before_utc)
    except BadFile as error:
        log.warning("%s\nrecency rests on the logbook alone", error)
        return ()
    twice = seen_before(flights)
    return tuple(
        as_recorded(
            one,
            category_class=flight.category_class,
            tailwheel=flight.tailwheel,
            type_name=flight.type_name,
        )
        for flight in flights
        if flight.flight_id not in twice and at_the_controls(flight.role)
        for one in flight.movements
        if one.at_utc < before_utc
    )


def as_recorded(
    one: "StoredMovement",
    *,
    category_class: str | None = None,
    tailwheel: bool | None = None,
    type_name: str | None = None,
) -> Recorded:
    """A kept movement for the rules of recency, on its civil day, with what the airplane was."""
    return Recorded(
        kind=one.kind,
        on=local_day(one.lon_deg, one.at_utc),
        at_utc=one.at_utc,
        lat_deg=one.lat_deg,
        lon_deg=one.lon_deg,
        category_class=category_class,
        tailwheel=tailwheel,
        type_name=type_name,
    )
