"""The sun in the eyes on the last legs: where it stands against the course flown there.

What dazzles is our own guess: within 30 degrees of the nose and up to 30 above the horizon.
Haze, a dirty windshield and water below make it worse, clouds take it away.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from lubberline.arrays import wrap_180_deg
from lubberline.earth import sun_position
from lubberline.ways.along import Along

LAST_MIN: Final = 10.0  # own: the legs flown in these last minutes
DAZZLE_DEG: Final = 30.0  # own: off the nose, and above the horizon
SET_DEG: Final = -0.833  # the upper rim is gone: [USNO-RST]_


@dataclass(frozen=True, slots=True, kw_only=True)
class SunAhead:
    """The sun at the middle of one leg; ``off_course_deg`` is positive to the right."""

    leg: str
    at_utc: datetime
    true_deg: float
    azimuth_deg: float
    elevation_deg: float
    off_course_deg: float

    @property
    def in_eyes(self) -> bool:
        """Whether it stands where it dazzles."""
        low = SET_DEG < self.elevation_deg <= DAZZLE_DEG
        return low and abs(self.off_course_deg) <= DAZZLE_DEG


def sun_ahead(
    along: Along, takeoff_utc: datetime, *, final: tuple[str, float] | None = None
) -> tuple[SunAhead, ...]:
    """The sun on the legs of the last ten minutes, and on the final approach.

    Parameters
    ----------
    along : Along
    takeoff_utc : datetime
    final : tuple of str and float
        Runway end and its true direction [deg], where one is known.
    """
    found, start_min, end_min = [], 0.0, float(along.after_min[-1])
    for leg in along.way.legs:
        middle_min = start_min + leg.time_min / 2.0
        start_min += leg.time_min
        if start_min > end_min - LAST_MIN and not leg.is_circling:
            middle_min = max(middle_min, end_min - LAST_MIN)
            found.append(_sun(along, takeoff_utc, f"to {leg.to_name}", leg.true_deg, middle_min))
    if final is not None:
        name, true_deg = final
        found.append(_sun(along, takeoff_utc, f"final, runway {name}", true_deg, end_min))
    return tuple(found)


def _sun(
    along: Along, takeoff_utc: datetime, leg: str, true_deg: float, after_min: float
) -> SunAhead:
    spot, at_utc = along.spot(after_min), takeoff_utc + timedelta(minutes=after_min)
    azimuth_deg, elevation_deg = sun_position(spot.lat_deg, spot.lon_deg, at_utc)
    return SunAhead(
        leg=leg,
        at_utc=at_utc,
        true_deg=true_deg,
        azimuth_deg=float(azimuth_deg),
        elevation_deg=float(elevation_deg),
        off_course_deg=float(wrap_180_deg(float(azimuth_deg) - true_deg)),
    )
