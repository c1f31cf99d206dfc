"""What bounds the height at each sample of a way, above and below, and what makes it so.

A volume that the way may not enter bounds it wherever the track is within the margin beside it:
by its floor less the margin in height if the way is under it, by its ceiling and the margin if
over it; so does what the pilot wishes. A volume that the way only passes, with leave because of
the margin alone, bounds by its bare edge: without the leave it still may not be entered. The
ground bounds by the height over it that is asked for, which falls to nothing at the two fields.
Sampled, to be read and drawn; what is clear is decided by the checker alone.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.places import Height, Volume, distance_nm
from lubberline.ways.airspace import is_permitted
from lubberline.ways.along import Along
from lubberline.ways.heights import ramp
from lubberline.ways.problem import Margins, WaysProblem
from lubberline.ways.tolerance import VERTICAL_TOLERANCE_FT

NOTHING: Final = -1
GROUND: Final = -2
_NO_MARGINS: Final = Margins(lateral_nm=0.0, vertical_ft=0.0)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Bounds:
    """Heights and what makes them so at each sample: a place in ``closed``, or a constant.

    Infinite where nothing bounds, NaN where a floor, ceiling or ground is not known.
    ``ground_ft`` is the least height over the ground, ``share_ratio`` how much of what is asked
    for above it holds there: all of it away from the fields.
    """

    closed: tuple[Volume, ...]
    above_ft: FloatArray
    above_index: IntArray
    below_ft: FloatArray
    below_index: IntArray
    ground_ft: FloatArray
    share_ratio: FloatArray


def bounds_along(problem: WaysProblem, along: Along) -> Bounds:
    """What bounds the height of a way with its own permissions."""
    shut = (v for v in problem.volumes if not is_permitted(v, along.way.permissions))
    passed = tuple(_passed(problem, along))
    closed = (*shut, *problem.wished, *passed)
    share_ratio, ground_ft = ramp(
        problem, *problem.plane.to_plane_nm(along.lat_deg, along.lon_deg), along.ground_ft
    )
    above_ft, below_ft = np.full_like(ground_ft, inf), np.full_like(ground_ft, -inf)
    above_index, below_index = (np.full(ground_ft.size, NOTHING) for _ in range(2))
    for n, one in enumerate(closed):
        margins = _NO_MARGINS if one in passed else problem.margins
        near = _near(margins, along, one)
        if not near.any():
            continue
        low_ft = _edge_ft(one.floor, along.ground_ft, surface_ft=-inf) - margins.vertical_ft
        high_ft = _edge_ft(one.ceiling, along.ground_ft) + margins.vertical_ft
        under = along.msl_ft <= low_ft + VERTICAL_TOLERANCE_FT
        over = along.msl_ft >= high_ft - VERTICAL_TOLERANCE_FT
        # An edge over unknown ground may be on either side, unless the other one is known.
        under |= np.isnan(low_ft) & ~over
        over |= np.isnan(high_ft) & ~under
        for rows, edge_ft, bound_ft, index, tighter in (
            (near & under, low_ft, above_ft, above_index, low_ft < above_ft),
            (near & over, high_ft, below_ft, below_index, high_ft > below_ft),
        ):
            rows &= ~np.isnan(bound_ft) & (tighter | np.isnan(edge_ft))
            bound_ft[rows], index[rows] = edge_ft[rows], n
    return Bounds(
        closed=closed,
        above_ft=above_ft,
        above_index=above_index,
        below_ft=below_ft,
        below_index=below_index,
        ground_ft=ground_ft + problem.rules.min_agl_ft * share_ratio,
        share_ratio=share_ratio,
    )


def _passed(problem: WaysProblem, along: Along) -> Iterator[Volume]:
    """Volumes not entered, whose permission is for the margin alone: they bound by their edge."""
    ids = {
        one.volume.id
        for one in along.way.encounters
        if one.within_margins and not one.entered and one.needs != "nothing"
    }
    for volume in problem.volumes:
        if volume.id in ids and is_permitted(volume, along.way.permissions):
            yield volume


def _near(margins: Margins, along: Along, volume: Volume) -> BoolArray:
    """Samples within a volume's outline or the margin beside it."""
    margin_nm = volume.lateral_margin_nm
    if margin_nm is None or margins is _NO_MARGINS:
        margin_nm = margins.lateral_nm
    away_nm = distance_nm(volume.footprint, along.plane, along.east_nm, along.north_nm)
    return np.asarray(away_nm <= margin_nm)


def _edge_ft(
    height: Height, ground_ft: FloatArray, *, surface_ft: float | None = None
) -> FloatArray:
    """A floor or ceiling above mean sea level; a floor on the surface has nothing below it."""
    if height.reference == "MSL":
        return np.full_like(ground_ft, height.ft)
    if height.ft == 0.0 and surface_ft is not None:
        return np.full_like(ground_ft, surface_ft)
    return ground_ft + height.ft
