"""Finds the places that weather texts name: the flight's own, else those of its data sets.

A radio aid or station may lie far beyond the flight's corridor, so the data sets are asked for it
by name, once. Of several the one nearest the departure is meant.
"""

from collections.abc import Callable
from functools import cache

from lubberline.earth import course_and_distance
from lubberline.flight._schema import FlightForm
from lubberline.places import Asked, KeptData, Places, asked, data_folder, read_published


def locator(form: FlightForm, places: Places) -> Callable[[str], tuple[float, float] | None]:
    """A function that finds a place of a name in degrees; None if nobody knows it."""

    @cache
    def sets() -> Asked | None:
        data = KeptData(data_folder(), read_published)
        return asked(data, form.data_sets, form.off_block_utc) if form.data_sets else None

    @cache
    def locate(name: str) -> tuple[float, float] | None:
        here = places.place(name)
        if here is not None:
            return here.lat_deg, here.lon_deg
        known = sets()
        found = [(one.lat_deg, one.lon_deg) for one in known.called(name)] if known else []
        start = places.place(form.departure)
        if start is None or len(found) < 2:
            return found[0] if found else None
        return min(
            found, key=lambda spot: course_and_distance(start.lat_deg, start.lon_deg, *spot)[1]
        )

    return locate
