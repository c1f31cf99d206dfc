"""What looks wrong in published data: told, never mended."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import isnan
from typing import Final

import numpy as np

from lubberline.earth import course_and_distance
from lubberline.places.merge import is_unanswered
from lubberline.places.model import Aerodrome, Places, Runway, Volume
from lubberline.units import FT_PER_NM

LENGTH_FRACTION: Final = 0.1  # own: ends further off the stated length are a slip of the pen


@dataclass(frozen=True, slots=True, kw_only=True)
class Oddity:
    """One thing about one item; ``what`` is the same for all of its kind."""

    what: str
    item: str
    detail: str = ""

    def __str__(self) -> str:
        """The item, with what there is to add."""
        return f"{self.item} ({self.detail})" if self.detail else self.item


def oddities(places: Places) -> Iterator[Oddity]:
    """Volumes nobody answers for or that cannot be; aerodromes with parts that do not fit."""
    for volume in places.volumes:
        yield from _of_volume(volume)
    for aerodrome in places.aerodromes.values():
        yield from _of_aerodrome(aerodrome)
    yield from _misfits(places)


def _of_volume(volume: Volume) -> Iterator[Oddity]:
    item = f"{volume.id} {volume.name}"
    floor, ceiling = volume.floor, volume.ceiling
    if is_unanswered(volume):
        what = "airspace to be asked for without a frequency"
        yield Oddity(what=what, item=item, detail=f"class {volume.airspace_class}")
    same = (floor.reference == "MSL") == (ceiling.reference == "MSL")
    if ceiling.reference == "SFC" or (same and ceiling.ft <= floor.ft):
        detail = f"{ceiling.ft:g} {ceiling.reference} over {floor.ft:g} {floor.reference}"
        yield Oddity(what="airspace whose ceiling is not above its floor", item=item, detail=detail)
    if volume.schedule is not None and volume.schedule.spans is None:
        what = "airspace with hours that are not understood, taken as always active"
        yield Oddity(what=what, item=item, detail=volume.schedule.text)


def _of_aerodrome(aerodrome: Aerodrome) -> Iterator[Oddity]:
    item = f"{aerodrome.id} {aerodrome.name}"
    if isnan(aerodrome.lat_deg) or isnan(aerodrome.lon_deg):
        yield Oddity(what="aerodrome without a place", item=item)
    if isnan(aerodrome.elev_msl_ft):
        yield Oddity(what="aerodrome without an elevation", item=item)
    if not aerodrome.runways and not aerodrome.kind:
        yield Oddity(what="airport without a runway", item=item)


def _misfits(places: Places) -> Iterator[Oddity]:
    """Runways whose ends lie nearer or farther apart than they are long."""
    strips: list[tuple[Aerodrome, Runway]] = [
        (one, runway) for one in places.aerodromes.values() for runway in one.runways
    ]
    ends = [(r.ends[0], r.ends[1]) for _, r in strips]
    places_deg = np.array([(a.lat_deg, a.lon_deg, b.lat_deg, b.lon_deg) for a, b in ends])
    apart_ft = course_and_distance(*places_deg.reshape(-1, 4).T)[1] * FT_PER_NM
    length_ft = np.array([runway.length_ft for _, runway in strips])
    for n in np.flatnonzero(np.abs(apart_ft - length_ft) > LENGTH_FRACTION * length_ft):
        aerodrome, runway = strips[n]
        yield Oddity(
            what="runway whose ends do not lie its length apart",
            item=f"{aerodrome.id} {'/'.join(end.name for end in runway.ends)}",
            detail=f"{runway.length_ft:,.0f} ft long, ends {apart_ft[n]:,.0f} ft apart",
        )
