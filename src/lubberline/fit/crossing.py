"""Where and when a way meets a piece of sky that holds between heights and times.

The way is sampled every ``SAMPLE_NM``. Heights above ground need the ground's height: where that
is not known, nor a height or time told, the meeting is possible but not sure. A flight level is
taken as pressure height with the departure's setting, else as height above the sea.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import inf, isnan
from typing import Final, TypeAlias

import numpy as np

from lubberline.air import indicated_altitude_ft
from lubberline.arrays import BoolArray, FloatArray
from lubberline.earth import LocalPlane
from lubberline.fit.setting import times_utc
from lubberline.flight import Plan
from lubberline.places import Circle, Footprint, Polygon, distance_nm
from lubberline.ways import Way, along_way
from lubberline.weather import Level, altimeter_at

Span: TypeAlias = tuple[datetime | None, datetime | None]
SAMPLE_NM: Final = 0.2  # own: a corner cut by less is not found


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Passing:
    """A way in samples: columns of one length; ``ground_ft`` NaN where not known."""

    at_s: FloatArray
    east_nm: FloatArray
    north_nm: FloatArray
    msl_ft: FloatArray
    ground_ft: FloatArray
    plane: LocalPlane
    setting_inhg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """How near a way comes while heights and times fit; ``sure`` is False where any is unknown.

    ``away_nm`` is 0 inside. The first and last moment and the heights then are of the stretch
    inside, or of the nearest place.
    """

    away_nm: float
    sure: bool
    from_utc: datetime
    until_utc: datetime
    low_ft: float
    high_ft: float

    @property
    def words(self) -> str:
        """When, how high, and how far away."""
        low_ft, high_ft = self.low_ft, self.high_ft
        heights = (
            f"{low_ft:,.0f}" if high_ft - low_ft < 50.0 else f"{low_ft:,.0f} to {high_ft:,.0f}"
        )
        times = f"{self.from_utc:%H:%M} to {self.until_utc:%H:%MZ}"
        if self.away_nm > 0.0:
            return f"{self.away_nm:.0f} NM away at {self.from_utc:%H:%MZ}, {heights} ft"
        return f"{times} at {heights} ft"


def passing(plan: Plan, way: Way) -> Passing:
    """A way in samples."""
    along = along_way(way, plan.terrain, every_nm=SAMPLE_NM)
    return Passing(
        at_s=times_utc(plan, way)[0].timestamp() + along.after_min * 60.0,
        east_nm=along.east_nm,
        north_nm=along.north_nm,
        msl_ft=along.msl_ft,
        ground_ft=along.ground_ft,
        plane=along.plane,
        setting_inhg=altimeter_at(plan.weather, plan.flight.departure_id),
    )


def circle(lat_deg: float, lon_deg: float, radius_nm: float) -> Circle:
    """A round footprint."""
    return Circle(lat_deg=lat_deg, lon_deg=lon_deg, radius_nm=radius_nm)


def outline(corners_deg: FloatArray) -> Polygon:
    """A footprint of corners in their order; where its edges cross, all that lies between them."""
    import shapely

    shape = shapely.Polygon(corners_deg)
    if shape.is_valid:
        return Polygon(corners_deg=corners_deg)
    hull = shapely.convex_hull(shapely.MultiPoint(corners_deg))
    ring = hull if hull.geom_type == "Polygon" else hull.buffer(1e-6)
    return Polygon(corners_deg=np.asarray(shapely.get_coordinates(ring)[:-1]))


def meeting(
    way: Passing,
    footprint: Footprint,
    *,
    low: Level | None,
    high: Level | None,
    spans: Sequence[Span],
) -> Meeting | None:
    """How near the way comes to it while heights and times fit; None if they never do.

    A span of time that is open has None for its end; a height that is not known is None.
    """
    in_time = np.zeros(way.at_s.shape, dtype=bool)
    for start, end in spans:
        start_s = -inf if start is None else start.timestamp()
        end_s = inf if end is None else end.timestamp()
        in_time |= (way.at_s >= start_s) & (way.at_s <= end_s)
    below_ft, above_ft = _margins_ft(way, low, high)
    possible = in_time & ~(below_ft < 0.0) & ~(above_ft < 0.0)
    if not possible.any():
        return None
    away_nm = np.maximum(distance_nm(footprint, way.plane, way.east_nm, way.north_nm), 0.0)
    least_nm = float(away_nm[possible].min())
    there = possible & (away_nm <= max(least_nm, 0.0))
    known = there & ~np.isnan(below_ft) & ~np.isnan(above_ft)
    return _meeting(way, there, least_nm, bool(known.any()))


def _meeting(way: Passing, there: BoolArray, least_nm: float, sure: bool) -> Meeting:
    rows = np.flatnonzero(there)
    epoch = datetime.fromisoformat("1970-01-01T00:00Z")
    first, last = (epoch + timedelta(seconds=float(way.at_s[n])) for n in (rows[0], rows[-1]))
    return Meeting(
        away_nm=least_nm,
        sure=sure,
        from_utc=first,
        until_utc=last,
        low_ft=float(way.msl_ft[rows].min()),
        high_ft=float(way.msl_ft[rows].max()),
    )


def _margins_ft(
    way: Passing, low: Level | None, high: Level | None
) -> tuple[FloatArray, FloatArray]:
    """Height over the lower end and room to the upper one; NaN where not known."""
    nowhere = np.full_like(way.msl_ft, np.nan)
    over_ft = nowhere if low is None else way.msl_ft - _msl_ft(way, low)
    room_ft = nowhere if high is None else _msl_ft(way, high) - way.msl_ft
    return over_ft, room_ft


def _msl_ft(way: Passing, level: Level) -> FloatArray:
    """A level above the sea along the way. The ground itself lies under everything."""
    if level.reference == "AGL":
        return np.full_like(way.msl_ft, -inf) if level.ft == 0.0 else way.ground_ft + level.ft
    if level.reference == "FL" and way.setting_inhg is not None and not isnan(level.ft):
        return np.full_like(way.msl_ft, float(indicated_altitude_ft(level.ft, way.setting_inhg)))
    return np.full_like(way.msl_ft, level.ft)
