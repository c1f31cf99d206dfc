"""Heights not above and not below on each stretch, and the volume or ground that makes it so.

Volumes count that the way does not enter and may not, as far beside the track as the margin;
their edge is kept by the margin in height. Ground counts in level flight, with the height above
it that the pilot keeps. Read off samples, to be flown by; what is clear is decided by the checks
of the way.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise
from math import ceil, floor, isnan
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.card.ahead import Track
from lubberline.card.rows import StretchRow, short
from lubberline.fit import times_utc
from lubberline.flight import Plan
from lubberline.places import Height, Volume, distance_nm, in_force
from lubberline.ways import Way, is_permitted, need_of

STEP_MIN: Final = 0.05  # own: between two samples
LEAST_AGL_FT: Final = 500.0  # [14CFR91.119]_


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Samples:
    """Moments on one stretch, and places, heights and ground there."""

    east_nm: FloatArray
    north_nm: FloatArray
    msl_ft: FloatArray
    ground_ft: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bound:
    """A height with what makes it so."""

    ft: float
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stretch:
    """The bounds of one leg; None where there is none, NaN where the ground is not known."""

    to_name: str
    least_ft: float | None
    least_why: str
    most_ft: float | None
    most_why: str


def stretch_rows(plan: Plan, way: Way) -> Iterator[StretchRow]:
    """A row for each stretch that is bounded; neighbors bounded by the same are one."""
    found = list(_each_leg(plan, way))
    for reasons, run in groupby(found, key=lambda one: (one.least_why, one.most_why)):
        stretch = list(run)
        if any(reasons):
            yield StretchRow(
                to=short(stretch[-1].to_name),
                least=_height([one.least_ft for one in stretch], up=True),
                least_why=reasons[0],
                most=_height([one.most_ft for one in stretch], up=False),
                most_why=reasons[1],
            )


def _each_leg(plan: Plan, way: Way) -> Iterator[_Stretch]:
    track, kept_out = Track(way), _kept_out(plan, way)
    ends_min = np.cumsum([0.0, *(leg.time_min for leg in way.legs)])
    for leg, (from_min, to_min) in zip(way.legs, pairwise(ends_min), strict=True):
        samples = _samples(plan, track, float(from_min), float(to_min))
        level = leg.phase == "cruise"
        least, most = _bounds(plan, track, samples, kept_out, level=level)
        yield _Stretch(
            to_name=leg.to_name,
            least_ft=least.ft if least else None,
            least_why=least.why if least else "",
            most_ft=most.ft if most else None,
            most_why=most.why if most else "",
        )


def _kept_out(plan: Plan, way: Way) -> list[Volume]:
    """What the way does not enter and has no permission to."""
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    entered = [one.volume.id for one in way.encounters if one.entered]
    return [
        one
        for one in in_force(plan.places.volumes, takeoff_utc, landing_utc)
        if need_of(one) != "nothing"
        and one.id not in entered
        and not is_permitted(one, way.permissions)
    ]


def _samples(plan: Plan, track: Track, from_min: float, to_min: float) -> _Samples:
    count = max(3, ceil((to_min - from_min) / STEP_MIN) + 1)
    at_min = np.linspace(from_min, to_min, count)
    east_nm, north_nm = track.place_nm(at_min)
    lat_deg, lon_deg = track.plane.to_degrees(east_nm, north_nm)
    return _Samples(
        east_nm=east_nm,
        north_nm=north_nm,
        msl_ft=np.interp(at_min, track.way.path[:, 3], track.way.path[:, 2]),
        ground_ft=plan.terrain.ground_ft(lat_deg, lon_deg),
    )


def _bounds(
    plan: Plan, track: Track, at: _Samples, volumes: Sequence[Volume], *, level: bool
) -> tuple[_Bound | None, _Bound | None]:
    """The highest of what lies below and the lowest of what lies above."""
    own = plan.pilot.own
    below: list[_Bound] = []
    above: list[_Bound] = []
    if level:
        kept_ft = max(LEAST_AGL_FT, own.terrain_clearance_ft or 0.0)
        below.append(_Bound(ft=float(at.ground_ft.max()) + kept_ft, why="ground"))
    for one in volumes:
        margin_nm = own.airspace_lateral_nm
        if one.lateral_margin_nm is not None:
            margin_nm = one.lateral_margin_nm
        near = distance_nm(one.footprint, track.plane, at.east_nm, at.north_nm) <= margin_nm
        why = f"{short(one.name)} ({one.airspace_class})"
        floor_ft, top_ft = (_level_ft(part, at.ground_ft) for part in (one.floor, one.ceiling))
        over, under = near & (floor_ft >= at.msl_ft), near & (top_ft <= at.msl_ft)
        if over.any():
            above.append(_Bound(ft=floor_ft[over].min() - own.airspace_vertical_ft, why=why))
        elif under.any():
            below.append(_Bound(ft=top_ft[under].max() + own.airspace_vertical_ft, why=why))
    return (
        max(below, key=lambda one: np.inf if isnan(one.ft) else one.ft, default=None),
        min(above, key=lambda one: one.ft, default=None),
    )


def _level_ft(height: Height, ground_ft: FloatArray) -> FloatArray:
    """Above mean sea level; NaN over ground that is not known."""
    if height.reference == "MSL":
        return np.full_like(ground_ft, height.ft)
    return ground_ft + (0.0 if height.reference == "SFC" else height.ft)


def _height(bounds_ft: Sequence[float | None], *, up: bool) -> str:
    """The strictest of some bounds, to the safe ten feet; "?" if one of them is not known."""
    known_ft = [one for one in bounds_ft if one is not None]
    if not known_ft:
        return ""
    if any(isnan(one) for one in known_ft):
        return "?"
    tens = round((max(known_ft) if up else min(known_ft)) / 10.0, 6)
    return f"{(ceil(tens) if up else floor(tens)) * 10:,d}"
