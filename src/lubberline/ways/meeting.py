"""How one path meets one volume: inside, nearer than the margins, least distances.

The path's legs are cut wherever they cross the volume's edge, floor, ceiling or the margins
round them, and where they come closest to it. Between two cuts nothing changes, so the middle
of each piece decides it, however thin the volume is. Floors and ceilings above the ground are
linear between samples of the ground; where the ground is not known, they are not.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import inf, nan
from typing import Final, TypeAlias

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.earth import LocalPlane
from lubberline.places import Height, Volume, distance_nm
from lubberline.ways.contact import Cuts, Legs, bounding_box_nm, footprint_cuts
from lubberline.ways.model import Spot
from lubberline.ways.problem import Margins
from lubberline.ways.samples import Samples
from lubberline.ways.tolerance import LATERAL_TOLERANCE_NM, VERTICAL_TOLERANCE_FT

# Own: shallower than this is on the edge, not inside; the tolerances never reach deeper.
EDGE_NM: Final = 0.001
EDGE_FT: Final = 1.0
NEAR_NM: Final = 3.0  # own: legs farther beyond the margin than this are not measured
_FAR_DOWN_FT: Final = -1e6  # own: below any flight
_SAME_FRACTION: Final = 1e-12  # rounding: cuts closer together are one


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """One path and one volume. Distances as in ``Encounter``; ``inside`` and ``near`` are spots.

    ``entry`` and ``leave_min`` are the first entry and the last exit. ``near`` is where the
    path first comes nearer than both margins, ``near_nm`` and ``near_ft`` the least signed
    distances while it is. ``beside`` and ``level`` are where the least distances sideways and
    up or down lie. ``undecided`` is the first spot where unknown ground leaves it open.
    """

    entry: Spot | None
    leave_min: float | None
    near: Spot | None
    near_nm: float
    near_ft: float
    lateral_nm: float
    beside: Spot | None
    vertical_ft: float
    level: Spot | None
    undecided: Spot | None


_Between: TypeAlias = tuple[IntArray, FloatArray, FloatArray]  # leg, start and end fraction


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Pieces:
    """Pieces of legs between cuts, in order; columns (3, p) at their start, middle and end.

    ``aside_nm`` is the distance from the footprint, ``above_ft`` that from floor or ceiling,
    both negative inside; ``known`` (p,) says whether the ground is, where it matters.
    """

    after_min: FloatArray
    east_nm: FloatArray
    north_nm: FloatArray
    msl_ft: FloatArray
    aside_nm: FloatArray
    above_ft: FloatArray
    known: BoolArray


def meet(volume: Volume, plane: LocalPlane, path: Samples, margins: Margins) -> Meeting | None:
    """How a path meets a volume; None where all of it is too far away to measure.

    Parameters
    ----------
    volume : Volume
    plane : LocalPlane
    path : Samples
        Sampled where the volume's floor or ceiling follows the ground.
    margins : Margins
        The margins that hold for this volume.
    """
    reach_nm = margins.lateral_nm + NEAR_NM
    near_index = _near_legs(volume, plane, path, reach_nm)
    if near_index.size == 0:
        return None
    lateral_nm = max(margins.lateral_nm - LATERAL_TOLERANCE_NM, -EDGE_NM)
    vertical_ft = max(margins.vertical_ft - VERTICAL_TOLERANCE_FT, -EDGE_FT)
    below_ft = _height_ft(volume.floor, path, surface_ft=_FAR_DOWN_FT) - path.msl_ft
    over_ft = path.msl_ft - _height_ft(volume.ceiling, path)
    levels_nm, levels_ft = {0.0, -EDGE_NM, lateral_nm}, {0.0, -EDGE_FT, vertical_ft}
    cuts = [_footprint_cuts(volume, plane, path, near_index, levels_nm)]
    cuts += [_level_cuts(column, near_index, levels_ft) for column in (below_ft, over_ft)]
    pieces = _pieces(volume, plane, path, _between(near_index, cuts), (below_ft, over_ft))
    meeting = _judge(pieces, plane, lateral_nm=lateral_nm, vertical_ft=vertical_ft)
    # Farther than this is told for all legs or none: some of them were not looked at.
    too_far = meeting.lateral_nm > reach_nm
    return replace(meeting, lateral_nm=inf, beside=None) if too_far else meeting


def _near_legs(volume: Volume, plane: LocalPlane, path: Samples, reach_nm: float) -> IntArray:
    """Legs whose bounding box comes within reach of the footprint's."""
    west, south, east, north = bounding_box_nm(volume.footprint, plane)
    low_east, high_east = _low_high(path.east_nm)
    low_north, high_north = _low_high(path.north_nm)
    beside = np.maximum(low_east - east, west - high_east)
    ahead = np.maximum(low_north - north, south - high_north)
    return np.flatnonzero((beside <= reach_nm) & (ahead <= reach_nm))


def _low_high(column: FloatArray) -> tuple[FloatArray, FloatArray]:
    return np.minimum(column[:-1], column[1:]), np.maximum(column[:-1], column[1:])


def _height_ft(height: Height, path: Samples, *, surface_ft: float | None = None) -> FloatArray:
    """A floor or ceiling at each sample [ft MSL]; a floor on the surface has no lower side."""
    if height.reference == "MSL":
        return np.full_like(path.msl_ft, height.ft)
    if height.ft == 0.0 and surface_ft is not None:
        return np.full_like(path.msl_ft, surface_ft)
    return path.ground_ft + height.ft


def _footprint_cuts(
    volume: Volume, plane: LocalPlane, path: Samples, near_index: IntArray, levels_nm: set[float]
) -> Cuts:
    legs = Legs(
        east_nm=path.east_nm[near_index],
        north_nm=path.north_nm[near_index],
        run_east_nm=np.diff(path.east_nm)[near_index],
        run_north_nm=np.diff(path.north_nm)[near_index],
    )
    cuts = footprint_cuts(volume.footprint, plane, legs, levels_nm=tuple(levels_nm))
    return replace(cuts, leg_index=near_index[cuts.leg_index])


def _level_cuts(above_ft: FloatArray, near_index: IntArray, levels_ft: set[float]) -> Cuts:
    """Where a height above a floor or ceiling passes any of the levels."""
    start_ft, rise_ft = above_ft[near_index], np.diff(above_ft)[near_index]
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        fraction = (np.array(sorted(levels_ft))[:, None] - start_ft) / rise_ft
    within = np.nonzero((fraction > 0.0) & (fraction < 1.0))
    return Cuts(leg_index=near_index[within[1]], leg_fraction=fraction[within])


def _between(near_index: IntArray, cuts: list[Cuts]) -> _Between:
    """Pieces between successive cuts of a leg, in order: leg, start and end fraction."""
    ends = np.repeat([0.0, 1.0], near_index.size)
    leg_index = np.concatenate([near_index, near_index, *(cut.leg_index for cut in cuts)])
    leg_fraction = np.concatenate([ends, *(cut.leg_fraction for cut in cuts)])
    order = np.lexsort((leg_fraction, leg_index))
    leg_index, leg_fraction = leg_index[order], leg_fraction[order]
    real = (np.diff(leg_index) == 0) & (np.diff(leg_fraction) > _SAME_FRACTION)
    return leg_index[:-1][real], leg_fraction[:-1][real], leg_fraction[1:][real]


def _pieces(
    volume: Volume,
    plane: LocalPlane,
    path: Samples,
    between: _Between,
    from_floor_and_ceiling_ft: tuple[FloatArray, FloatArray],
) -> _Pieces:
    leg_index, start, end = between
    fraction = np.stack([start, (start + end) / 2.0, end])

    def along(column: FloatArray) -> FloatArray:
        return column[leg_index] + fraction * (column[leg_index + 1] - column[leg_index])

    below_ft, over_ft = (along(column) for column in from_floor_and_ceiling_ft)
    east_nm, north_nm = along(path.east_nm), along(path.north_nm)
    return _Pieces(
        after_min=along(path.after_min),
        east_nm=east_nm,
        north_nm=north_nm,
        msl_ft=along(path.msl_ft),
        aside_nm=distance_nm(volume.footprint, plane, east_nm, north_nm),
        # What is known of the two is a least value of the greater.
        above_ft=np.nan_to_num(np.fmax(below_ft, over_ft), nan=_FAR_DOWN_FT),
        known=~(np.isnan(below_ft) | np.isnan(over_ft))[1],
    )


def _judge(pieces: _Pieces, plane: LocalPlane, *, lateral_nm: float, vertical_ft: float) -> Meeting:
    aside_nm, above_ft, known = pieces.aside_nm, pieces.above_ft, pieces.known
    beside, level = aside_nm[1] < lateral_nm, above_ft[1] < vertical_ft
    near, undecided = beside & level & known, beside & level & ~known
    entry, leave = _first_entry_last_exit(pieces)
    least_nm, beside_place = _least(aside_nm, level)
    least_ft, level_place = _least(above_ft, beside)
    if (beside & ~known).any():
        least_ft, level_place = nan, None
    entered = entry is not None
    entry_spot, near_spot, beside_spot, level_spot, undecided_spot = _spots(
        pieces,
        plane,
        [
            (0, entry) if entry is not None else None,
            _first(near),
            beside_place,
            level_place,
            _first(undecided),
        ],
    )
    return Meeting(
        entry=entry_spot,
        leave_min=None if leave is None else float(pieces.after_min[2, leave]),
        near=near_spot,
        near_nm=_least(aside_nm, near)[0],
        near_ft=_least(above_ft, near)[0],
        lateral_nm=0.0 if entered else max(least_nm, 0.0),
        beside=beside_spot,
        vertical_ft=0.0 if entered else max(least_ft, 0.0),
        level=level_spot,
        undecided=undecided_spot,
    )


def _first_entry_last_exit(pieces: _Pieces) -> tuple[int | None, int | None]:
    """The piece that the first stay inside begins with, and the one that the last ends with.

    A stay counts when it is deeper than the edge somewhere; it lasts from edge to edge.
    """
    aside_nm, above_ft = pieces.aside_nm[1], pieces.above_ft[1]
    inside = (aside_nm < 0.0) & (above_ft < 0.0) & pieces.known
    deep = np.flatnonzero((aside_nm < -EDGE_NM) & (above_ft < -EDGE_FT) & pieces.known)
    if deep.size == 0:
        return None, None
    outside = np.flatnonzero(~inside)
    before, after = outside[outside < deep[0]], outside[outside > deep[-1]]
    entry = int(before[-1]) + 1 if before.size else 0
    leave = int(after[0]) - 1 if after.size else inside.size - 1
    return entry, leave


_Place = tuple[int, int]  # 0 start, 1 middle, 2 end; and the piece


def _least(column: FloatArray, taken: BoolArray) -> tuple[float, _Place | None]:
    """Least value at start, middle or end of the pieces taken; infinite if none is."""
    if not taken.any():
        return inf, None
    among = np.where(taken, column, inf)
    part, piece = np.unravel_index(int(np.argmin(among)), among.shape)
    return float(among[part, piece]), (int(part), int(piece))


def _first(taken: BoolArray) -> _Place | None:
    """The start of the first piece taken."""
    return (0, int(np.argmax(taken))) if taken.any() else None


def _spots(
    pieces: _Pieces, plane: LocalPlane, places: list[_Place | None]
) -> Iterator[Spot | None]:
    """Spots of places on pieces, all turned into degrees in one call."""
    known = tuple(np.array([place or (0, 0) for place in places]).T)
    lat_deg, lon_deg = plane.to_degrees(pieces.east_nm[known], pieces.north_nm[known])
    columns = (pieces.after_min[known], lat_deg, lon_deg, pieces.msl_ft[known])
    for place, row in zip(
        places, zip(*(one.tolist() for one in columns), strict=True), strict=True
    ):
        after_min, lat, lon, msl_ft = row
        yield (
            None
            if place is None
            else Spot(after_min=after_min, lat_deg=lat, lon_deg=lon, msl_ft=msl_ft)
        )
