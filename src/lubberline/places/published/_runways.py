"""A runway from what is published of its ends: directions that follow, positions that cannot be.

Over the length of a runway the earth is flat to a thousandth, which is more than is asked here.
"""

from collections.abc import Callable
from dataclasses import replace
from math import atan2, cos, degrees, hypot, isnan, nan, radians
from typing import Final

from lubberline.arrays import wrap_180_deg
from lubberline.places.model import Runway, RunwayEnd
from lubberline.places.published._account import Unfit
from lubberline.places.published._table import number, within
from lubberline.units import FT_PER_NM

LENGTH_FRACTION: Final = 0.1  # own, as for a file of places: further off, a position is wrong
LENGTH_SLACK_FT: Final = 200.0  # own: but small strips are surveyed coarsely
LONGEST_FT: Final = 30_000.0  # own: none is as long
NM_PER_DEG: Final = 60.0

Doubt = Callable[[str, str], object]  # item, reason


def length_ft(text: str) -> float:
    """The length of a runway [ft]; unfit without one, for nothing can be said of it then."""
    if not text or number(text) == 0.0:
        raise Unfit("no length")
    return within(text, 1.0, LONGEST_FT, "length in feet")


def settled(strip: Runway, doubt: Doubt) -> Runway:
    """The runway with directions from its positions where none are published.

    Where the ends lie further from each other or nearer than the runway is long, one of the
    two is wrong; the length is the surveyed number, so the positions are taken as unknown.
    """
    first, second = strip.ends
    east_nm, north_nm = _apart_nm(first, second)
    apart_ft = hypot(east_nm, north_nm) * FT_PER_NM
    slack_ft = max(LENGTH_FRACTION * strip.length_ft, LENGTH_SLACK_FT)
    if abs(apart_ft - strip.length_ft) > slack_ft:
        reason = f"{strip.length_ft:.0f} ft long, but its ends lie {apart_ft:.0f} ft apart"
        doubt(f"positions of {first.name}/{second.name}", reason)
        lost = [replace(end, lat_deg=nan, lon_deg=nan) for end in strip.ends]
        return replace(strip, ends=(lost[0], lost[1]))
    if isnan(apart_ft) or apart_ft == 0.0:
        return strip
    course_deg = degrees(atan2(east_nm, north_nm)) % 360.0
    return replace(
        strip, ends=(_led(first, course_deg), _led(second, (course_deg + 180.0) % 360.0))
    )


def _led(end: RunwayEnd, course_deg: float) -> RunwayEnd:
    return replace(end, true_deg=course_deg) if isnan(end.true_deg) else end


def _apart_nm(first: RunwayEnd, second: RunwayEnd) -> tuple[float, float]:
    """How far east and north the second end lies of the first."""
    east_deg = float(wrap_180_deg(second.lon_deg - first.lon_deg))
    middle_deg = (first.lat_deg + second.lat_deg) / 2.0
    return (
        east_deg * NM_PER_DEG * cos(radians(middle_deg)),
        (second.lat_deg - first.lat_deg) * NM_PER_DEG,
    )
