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
TURNED_DEG: Final = 10.0  # own: directions are published to a degree, small strips coarsely
LONGEST_FT: Final = 30_000.0  # own: none is as long
NM_PER_DEG: Final = 60.0

Doubt = Callable[[str, str], object]  # item, reason


def length_ft(text: str) -> float:
    """The length of a runway [ft]; unfit without one, for nothing can be said of it then."""
    if not text or number(text) == 0.0:
        raise Unfit("no length")
    return within(text, 1.0, LONGEST_FT, "length in feet")


def settled(strip: Runway, doubt: Doubt) -> Runway:
    """The runway with its ends where they can be, and directions that agree with them.

    Positions that contradict the length, or are in the wrong order, are taken as unknown. Those
    that agree with the length give a direction where none is published, or another.
    """
    first, second = strip.ends
    east_nm, north_nm = _apart_nm(first, second)
    apart_ft = hypot(east_nm, north_nm) * FT_PER_NM
    if isnan(apart_ft):
        return strip
    course_deg = degrees(atan2(east_nm, north_nm)) % 360.0
    reason = _misplaced(strip, apart_ft, course_deg)
    if reason:
        doubt(f"positions of {first.name}/{second.name}", reason)
        lost = [replace(end, lat_deg=nan, lon_deg=nan) for end in strip.ends]
        return replace(strip, ends=(lost[0], lost[1]))
    if apart_ft == 0.0:
        return strip
    back_deg = (course_deg + 180.0) % 360.0
    return replace(strip, ends=(_led(first, course_deg, doubt), _led(second, back_deg, doubt)))


def _misplaced(strip: Runway, apart_ft: float, course_deg: float) -> str:
    """Why the ends cannot lie where they are said to; "" if they can."""
    if abs(apart_ft - strip.length_ft) > max(LENGTH_FRACTION * strip.length_ft, LENGTH_SLACK_FT):
        return f"{strip.length_ft:.0f} ft long, but its ends lie {apart_ft:.0f} ft apart"
    if _off_deg(strip.ends[0], course_deg) > 180.0 - TURNED_DEG:
        return "its ends lie in the wrong order for their directions"
    return ""


def _led(end: RunwayEnd, leads_deg: float, doubt: Doubt) -> RunwayEnd:
    """The end with the direction it leads to, if none is published or one that cannot be."""
    off_deg = _off_deg(end, leads_deg)
    if off_deg <= TURNED_DEG:
        return end
    if not isnan(off_deg):
        doubt(f"direction of {end.name}", f"{end.true_deg:.0f}°, but it leads {leads_deg:.0f}°")
    return replace(end, true_deg=leads_deg)


def _off_deg(end: RunwayEnd, leads_deg: float) -> float:
    """How far the published direction is turned from the one it leads to; NaN without one."""
    return abs(float(wrap_180_deg(end.true_deg - leads_deg)))


def _apart_nm(first: RunwayEnd, second: RunwayEnd) -> tuple[float, float]:
    """How far east and north the second end lies of the first."""
    east_deg = float(wrap_180_deg(second.lon_deg - first.lon_deg))
    middle_deg = (first.lat_deg + second.lat_deg) / 2.0
    return (
        east_deg * NM_PER_DEG * cos(radians(middle_deg)),
        (second.lat_deg - first.lat_deg) * NM_PER_DEG,
    )
