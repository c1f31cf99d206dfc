"""The places of one flight: the pilot's own folder, and published data along its ways."""

from collections.abc import Callable
from pathlib import Path
from typing import Final, TypeAlias

import numpy as np

from lubberline.earth import course_and_distance
from lubberline.flight._route_schema import PlaceForm
from lubberline.flight._schema import FlightForm
from lubberline.places import (
    Aerodrome,
    Asked,
    Corridor,
    KeptData,
    Places,
    VisualPoint,
    Waypoint,
    asked,
    data_folder,
    merged,
    read_places,
    read_published,
)

BESIDE_NM: Final = 25.0  # own: what a pilot wants to know of beside a way
SEARCH_NM: Final = 60.0  # own: room for ways that are to be found
TERRAIN_NM: Final = 100.0  # own: room to turn away, and to be led astray

Spot: TypeAlias = Aerodrome | VisualPoint | Waypoint


def region_of(form: FlightForm, folder: Path) -> tuple[Places, list[Path]]:
    """The places of a flight, and the files they were read from.

    Raises
    ------
    BadFile
        If a file of the folder is wrong, or a data set is missing or cannot be read any more.
    """
    files = sorted(folder.glob("*.toml"))
    if not form.data_sets:
        return read_places(folder), files
    own = read_places(folder) if files else None
    data = KeptData(data_folder(), read_published)
    sets = asked(data, form.data_sets, form.off_block_utc)
    half_width_nm = BESIDE_NM if form.search is None else SEARCH_NM
    beside = corridor_of(form, _finder(form, own, sets), half_width_nm)
    records = [data.record_path(one.name) for one in data.named(form.data_sets)]
    return (sets.along(beside, own) if beside else merged(own, [])), [*files, *records]


def corridor_of(
    form: FlightForm, find: Callable[[str], Spot | None], half_width_nm: float
) -> Corridor | None:
    """All ways of a flight, there and back, then its alternates, as one route.

    None if no place of it is known.
    """
    there = [[form.departure, *via, form.destination] for via in _vias(form)]
    both = [name for n, names in enumerate(there) for name in names[:: -1 if n % 2 else 1]]
    spots = [one if isinstance(one, tuple) else find(one) for one in [*both, *form.alternates]]
    places_deg = [
        one if isinstance(one, tuple) else (one.lat_deg, one.lon_deg) for one in spots if one
    ]
    if not places_deg:
        return None
    lat_deg, lon_deg = np.array(places_deg, dtype=np.float64).T
    return Corridor(lat_deg=lat_deg, lon_deg=lon_deg, half_width_nm=half_width_nm)


def _vias(form: FlightForm) -> list[tuple[PlaceForm, ...]]:
    wanted = [form.search.via] if form.search is not None else []
    return [*wanted, *(way.via for way in form.way)]


def _finder(form: FlightForm, own: Places | None, sets: Asked) -> Callable[[str], Spot | None]:
    """Finds a place by its name: the pilot's own, else the published one nearest the departure."""

    def spots(name: str) -> list[Spot]:
        mine = own.place(name) if own else None
        return [mine] if mine else list(sets.called(name))

    start = next((one for one in spots(form.departure) if isinstance(one, Aerodrome)), None)

    def away_nm(one: Spot) -> float:
        if start is None:
            return 0.0
        there_deg = (start.lat_deg, start.lon_deg, one.lat_deg, one.lon_deg)
        return float(course_and_distance(*there_deg)[1])

    return lambda name: min(spots(name), key=away_nm, default=None)
