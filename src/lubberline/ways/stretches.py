"""Heights not above and not below on each stretch of a way, and what makes it so.

A stretch is as long as the same volume or shelf bounds it above, and the same volume or the
ground below. Volumes bound a way that must not enter them, as far beside the track as the
margin; the margin in height is taken off. Ground bounds level flight away from the fields, with
the height above it that is asked for. Sampled, to be read and flown by; what is clear is decided
by the checker alone.
"""

from dataclasses import dataclass
from math import inf
from typing import Final, NamedTuple

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.places import Height, Volume, distance_nm
from lubberline.ways.airspace import is_permitted
from lubberline.ways.along import Along
from lubberline.ways.problem import WaysProblem
from lubberline.ways.tolerance import VERTICAL_TOLERANCE_FT

SHORT_MIN: Final = 0.5  # own: shorter stretches join the one before
_NOTHING: Final = -1
_GROUND: Final = -2


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A piece of a way with its bounds; None is open, or not known where ``why`` names a cause.

    ``from_where`` and ``to_where`` are the words for its ends.
    """

    from_min: float
    to_min: float
    from_where: str
    to_where: str
    not_above_ft: float | None
    above_why: str
    not_below_ft: float | None
    below_why: str


class _Bounds(NamedTuple):
    """Heights and what makes them so, at each sample."""

    above_ft: FloatArray
    above_index: IntArray
    below_ft: FloatArray
    below_index: IntArray


def stretches(problem: WaysProblem, along: Along) -> tuple[Stretch, ...]:
    """All of a way in stretches, in order."""
    way = along.way
    closed = [one for one in problem.volumes if not is_permitted(one, way.permissions)]
    bounds = _bounds(problem, along, closed)
    found = [
        _stretch(along, bounds, closed, rows)
        for rows in _runs(along, bounds.above_index, bounds.below_index)
    ]
    return tuple(found)


def _bounds(problem: WaysProblem, along: Along, closed: list[Volume]) -> _Bounds:
    count = along.msl_ft.size
    above_ft, below_ft = np.full(count, inf), np.full(count, -inf)
    above, below = (np.full(count, _NOTHING) for _ in range(2))
    ground_ft = along.ground_ft + problem.rules.min_agl_ft
    level = _is_level(along) & _away_from_fields(problem, along)
    below_ft[level], below[level] = ground_ft[level], _GROUND
    slack_ft, room_ft = VERTICAL_TOLERANCE_FT, problem.margins.vertical_ft
    for n, one in enumerate(closed):
        margin_nm = one.lateral_margin_nm
        margin_nm = problem.margins.lateral_nm if margin_nm is None else margin_nm
        near = distance_nm(one.footprint, along.plane, along.east_nm, along.north_nm) <= margin_nm
        if not near.any():
            continue
        low_ft = _level_ft(one.floor, along.ground_ft) - room_ft
        high_ft = _level_ft(one.ceiling, along.ground_ft) + room_ft
        under = near & (along.msl_ft <= low_ft + slack_ft) & (low_ft < above_ft)
        over = near & (along.msl_ft >= high_ft - slack_ft) & ~(high_ft <= below_ft)
        above_ft[under], above[under] = low_ft[under], n
        below_ft[over], below[over] = high_ft[over], n
    return _Bounds(above_ft, above, below_ft, below)


def _is_level(along: Along) -> BoolArray:
    """Samples in level flight."""
    flat = np.abs(np.diff(along.msl_ft)) < 1.0
    return np.asarray(np.append(flat, False) | np.append(False, flat))


def _away_from_fields(problem: WaysProblem, along: Along) -> BoolArray:
    away = np.ones(along.msl_ft.size, dtype=bool)
    for end in (problem.departure, problem.destination):
        away &= along.away_nm(end.lat_deg, end.lon_deg) >= problem.rules.aerodrome_radius_nm
    return away


def _level_ft(height: Height, ground_ft: FloatArray) -> FloatArray:
    """Above mean sea level; NaN over ground that is not known, which bounds nothing here."""
    if height.reference == "MSL":
        return np.full_like(ground_ft, height.ft)
    return ground_ft + (0.0 if height.reference == "SFC" else height.ft)


def _runs(along: Along, above: IntArray, below: IntArray) -> list[slice]:
    """Samples with the same causes together; what is too short goes to its neighbor."""
    edges = np.flatnonzero((np.diff(above) != 0) | (np.diff(below) != 0)) + 1
    starts = [0, *edges.tolist()]
    kept = [0]
    for n, start in enumerate(starts[1:], 1):
        end = starts[n + 1] if n + 1 < len(starts) else along.after_min.size - 1
        if along.after_min[end] - along.after_min[start] >= SHORT_MIN:
            kept.append(start)
    return [slice(a, b) for a, b in zip(kept, [*kept[1:], along.after_min.size], strict=True)]


def _stretch(along: Along, bounds: _Bounds, closed: list[Volume], rows: slice) -> Stretch:
    """The tightest of each bound within a run, and its cause."""
    top = rows.start + int(np.argmin(bounds.above_ft[rows]))
    low = rows.start + int(np.argmax(bounds.below_ft[rows]))  # the first that is not known
    from_min = float(along.after_min[rows.start])
    to_min = float(along.after_min[min(rows.stop, along.after_min.size - 1)])
    return Stretch(
        from_min=from_min,
        to_min=to_min,
        from_where=along.words(from_min),
        to_where=along.words(to_min),
        not_above_ft=_finite(bounds.above_ft[top]),
        above_why=_why(int(bounds.above_index[top]), closed, "under"),
        not_below_ft=_finite(bounds.below_ft[low]),
        below_why=_why(int(bounds.below_index[low]), closed, "over"),
    )


def _finite(ft: float) -> float | None:
    return float(ft) if np.isfinite(ft) else None


def _why(index: int, closed: list[Volume], side: str) -> str:
    if index == _NOTHING:
        return ""
    if index == _GROUND:
        return "ground"
    one = closed[index]
    edge = one.floor if side == "under" else one.ceiling
    return f"{side} {one.name} ({one.airspace_class}), {edge.ft:,.0f} {edge.reference}"
