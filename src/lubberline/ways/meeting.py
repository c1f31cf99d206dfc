"""How one path meets volumes: inside, nearer than the margins, least distances.

The path's legs are cut wherever they cross the volume's edge, floor, ceiling or the margins
round them, and where they come closest to it. Between two cuts nothing changes, so the middle
of each piece decides it, however thin the volume is. Floors and ceilings above the ground are
linear between samples of the ground; where the ground is not known, they are not.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from itertools import pairwise
from math import inf, nan
from typing import Final, TypeAlias

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.earth import LocalPlane
from lubberline.places import Volume
from lubberline.ways.contact import Cuts, Legs, Outlines, footprint_cuts, legs_near, outlines
from lubberline.ways.model import Moment, Spot
from lubberline.ways.problem import Margins
from lubberline.ways.samples import Samples
from lubberline.ways.tolerance import LATERAL_TOLERANCE_NM, VERTICAL_TOLERANCE_FT

# Own: shallower than this is on the edge, not inside; the tolerances never reach deeper.
EDGE_NM: Final = 0.001
EDGE_FT: Final = 1.0
NEAR_NM: Final = 3.0  # own: legs farther beyond the margin than this are not measured
_AT_ONCE: Final = 10_000  # own: legs times corners that stay near the processor
_FAR_DOWN_FT: Final = -1e6  # own: below any flight
_SAME_FRACTION: Final = 1e-12  # rounding: cuts closer together are one


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """One path and one volume. Distances as in ``Encounter``; ``inside`` and ``near`` are spots.

    ``entry`` and ``leave_min`` are the first entry and the last exit. ``near`` is where the
    path first comes nearer than both margins, ``near_nm`` and ``near_ft`` the least signed
    distances while it is. ``beside`` and ``level`` are when the least distances sideways and
    up or down lie. ``undecided`` is the first spot where unknown ground leaves it open.
    """

    entry: Spot | None
    leave_min: float | None
    near: Spot | None
    near_nm: float
    near_ft: float
    lateral_nm: float
    beside: Moment | None
    vertical_ft: float
    level: Moment | None
    undecided: Spot | None


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Asked:
    """What is asked about v volumes, columns of shape (v,): how near a path may come.

    A floor or ceiling is at ``_ft``, counted from the ground where it ``follows``; a floor on
    the surface has no lower side.
    """

    drawn: Outlines
    lateral_nm: FloatArray
    vertical_ft: FloatArray
    reach_nm: FloatArray
    floor_ft: FloatArray
    floor_follows: BoolArray
    ceiling_ft: FloatArray
    ceiling_follows: BoolArray


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Near:
    """Which legs are near which volumes, n pairs in order of both; heights (2, n).

    ``above_ft`` is how far the leg begins below the floor and above the ceiling, ``rise_ft``
    what that grows by to its end.
    """

    volume_index: IntArray
    leg_index: IntArray
    above_ft: FloatArray
    rise_ft: FloatArray


_Between: TypeAlias = tuple[IntArray, FloatArray, FloatArray]  # pair, start and end fraction


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

    def part(self, rows: slice) -> "_Pieces":
        """Some of them."""
        columns = {one.name: getattr(self, one.name)[..., rows] for one in fields(self)}
        return _Pieces(**columns)


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
    return meet_all([volume], outlines([volume.footprint], plane), path, [margins])[0]


def meet_all(
    volumes: Sequence[Volume], drawn: Outlines, path: Samples, margins: Sequence[Margins]
) -> list[Meeting | None]:
    """As ``meet``, for several volumes as drawn in the plane: quicker than one by one."""
    if not volumes:
        return []
    asked = _asked(volumes, drawn, margins)
    near = _near_legs(asked, path)
    if len(volumes) > 1 and drawn.count[near.volume_index].sum() > _AT_ONCE:
        half = len(volumes) // 2
        return [
            meeting
            for part in (range(half), range(half, len(volumes)))
            for meeting in meet_all(
                [volumes[one] for one in part],
                drawn.part(part),
                path,
                [margins[one] for one in part],
            )
        ]
    if near.leg_index.size == 0:
        return [None] * len(volumes)
    between = _between(asked, path, near)
    pieces = _pieces(asked, path, near, between)
    ends = np.searchsorted(near.volume_index[between[0]], np.arange(len(volumes) + 1)).tolist()
    return [
        None
        if start == stop
        else _judge(pieces.part(slice(start, stop)), path.plane, asked, volume)
        for volume, (start, stop) in enumerate(pairwise(ends))
    ]


def _asked(volumes: Sequence[Volume], drawn: Outlines, margins: Sequence[Margins]) -> _Asked:
    lateral_nm = np.array([one.lateral_nm for one in margins])
    vertical_ft = np.array([one.vertical_ft for one in margins])
    on_surface = [one.floor.reference != "MSL" and one.floor.ft == 0.0 for one in volumes]
    floor_ft = np.array([one.floor.ft for one in volumes])
    return _Asked(
        drawn=drawn,
        lateral_nm=np.maximum(lateral_nm - LATERAL_TOLERANCE_NM, -EDGE_NM),
        vertical_ft=np.maximum(vertical_ft - VERTICAL_TOLERANCE_FT, -EDGE_FT),
        reach_nm=lateral_nm + NEAR_NM,
        floor_ft=np.where(on_surface, _FAR_DOWN_FT, floor_ft),
        floor_follows=np.array([one.floor.reference != "MSL" for one in volumes])
        & ~np.array(on_surface),
        ceiling_ft=np.array([one.ceiling.ft for one in volumes]),
        ceiling_follows=np.array([one.ceiling.reference != "MSL" for one in volumes]),
    )


def _near_legs(asked: _Asked, path: Samples) -> _Near:
    """Legs whose bounding box comes within reach of a footprint's."""
    volume, leg = np.nonzero(legs_near(asked.drawn, path.east_nm, path.north_nm, asked.reach_nm))
    rows = np.stack([leg, leg + 1])
    msl_ft, ground_ft = path.msl_ft[rows], path.ground_ft[rows]
    floor_ft = np.where(asked.floor_follows[volume], ground_ft, 0.0) + asked.floor_ft[volume]
    ceiling_ft = np.where(asked.ceiling_follows[volume], ground_ft, 0.0) + asked.ceiling_ft[volume]
    below_ft, over_ft = floor_ft - msl_ft, msl_ft - ceiling_ft
    above_ft = np.stack([below_ft[0], over_ft[0]])
    return _Near(
        volume_index=volume,
        leg_index=leg,
        above_ft=above_ft,
        rise_ft=np.stack([below_ft[1], over_ft[1]]) - above_ft,
    )


def _between(asked: _Asked, path: Samples, near: _Near) -> _Between:
    """Pieces between successive cuts of a leg, in order: pair, start and end fraction."""
    volume, leg, count = near.volume_index, near.leg_index, near.leg_index.size
    levels_nm = np.stack(
        [0.0 * asked.lateral_nm, 0.0 * asked.lateral_nm - EDGE_NM, asked.lateral_nm], axis=1
    )
    legs = Legs(
        east_nm=path.east_nm[leg],
        north_nm=path.north_nm[leg],
        run_east_nm=np.diff(path.east_nm)[leg],
        run_north_nm=np.diff(path.north_nm)[leg],
    )
    cuts = (
        footprint_cuts(asked.drawn, volume, legs, levels_nm),
        _level_cuts(near, asked.vertical_ft[volume]),
    )
    pair = np.concatenate([np.tile(np.arange(count), 2), *(one.leg_index for one in cuts)])
    fraction = np.concatenate([np.repeat([0.0, 1.0], count), *(one.leg_fraction for one in cuts)])
    order = np.lexsort((fraction, pair))
    pair, fraction = pair[order], fraction[order]
    real = (np.diff(pair) == 0) & (np.diff(fraction) > _SAME_FRACTION)
    return pair[:-1][real], fraction[:-1][real], fraction[1:][real]


def _level_cuts(near: _Near, vertical_ft: FloatArray) -> Cuts:
    """Where heights off floor and ceiling pass the edge and the margin."""
    levels_ft = np.stack([0.0 * vertical_ft, 0.0 * vertical_ft - EDGE_FT, vertical_ft])[:, None]
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        fraction = (levels_ft - near.above_ft) / near.rise_ft
        within = np.nonzero((fraction > 0.0) & (fraction < 1.0))
    return Cuts(leg_index=within[2], leg_fraction=fraction[within])


def _pieces(asked: _Asked, path: Samples, near: _Near, between: _Between) -> _Pieces:
    pair, start, end = between
    fraction, leg = np.stack([start, (start + end) / 2.0, end]), near.leg_index[pair]
    rows = np.stack([path.after_min, path.east_nm, path.north_nm, path.msl_ft])
    first = np.concatenate([rows[:, leg], near.above_ft[:, pair]])
    run = np.concatenate([rows[:, leg + 1] - rows[:, leg], near.rise_ft[:, pair]])
    along = first[:, None] + fraction * run[:, None]
    after_min, east_nm, north_nm, msl_ft, below_ft, over_ft = along
    which = np.tile(near.volume_index[pair], 3)
    aside_nm = asked.drawn.distance_nm(which, east_nm.ravel(), north_nm.ravel())
    return _Pieces(
        after_min=after_min,
        east_nm=east_nm,
        north_nm=north_nm,
        msl_ft=msl_ft,
        aside_nm=aside_nm.reshape(fraction.shape),
        # What is known of the two is a least value of the greater.
        above_ft=np.nan_to_num(np.fmax(below_ft, over_ft), nan=_FAR_DOWN_FT),
        known=~np.isnan(below_ft[1] + over_ft[1]),
    )


def _judge(pieces: _Pieces, plane: LocalPlane, asked: _Asked, volume: int) -> Meeting:
    aside_nm, above_ft, known = pieces.aside_nm, pieces.above_ft, pieces.known
    beside = aside_nm[1] < asked.lateral_nm[volume]
    level = above_ft[1] < asked.vertical_ft[volume]
    both = beside & level
    near, undecided = both & known, both & ~known
    entry, leave = _first_entry_last_exit(pieces)
    least_nm, beside_place = _least(aside_nm, level)
    least_ft, level_place = _least(above_ft, beside)
    if (beside & ~known).any():
        least_ft, level_place = nan, None
    entered = entry is not None
    lateral_nm = 0.0 if entered else max(least_nm, 0.0)
    if lateral_nm > asked.reach_nm[volume]:
        # Farther than this is told for all legs or none: some of them were not looked at.
        lateral_nm, beside_place = inf, None
    places = [(0, entry) if entry is not None else None, _first(near), _first(undecided)]
    entry_spot, near_spot, undecided_spot = _spots(pieces, plane, places)
    return Meeting(
        entry=entry_spot,
        leave_min=None if leave is None else float(pieces.after_min[2, leave]),
        near=near_spot,
        near_nm=_least(aside_nm, near)[0],
        near_ft=_least(above_ft, near)[0],
        lateral_nm=lateral_nm,
        beside=_moment(pieces, beside_place),
        vertical_ft=0.0 if entered else max(least_ft, 0.0),
        level=_moment(pieces, level_place),
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


def _moment(pieces: _Pieces, place: _Place | None) -> Moment | None:
    if place is None:
        return None
    return Moment(after_min=float(pieces.after_min[place]), msl_ft=float(pieces.msl_ft[place]))


def _spots(pieces: _Pieces, plane: LocalPlane, places: list[_Place | None]) -> list[Spot | None]:
    """Spots of places on pieces, all turned into degrees in one call."""
    told = tuple(zip(*(place for place in places if place is not None), strict=True))
    if not told:
        return [None] * len(places)
    lat_deg, lon_deg = plane.to_degrees(pieces.east_nm[told], pieces.north_nm[told])
    columns = (pieces.after_min[told], lat_deg, lon_deg, pieces.msl_ft[told])
    names = ("after_min", "lat_deg", "lon_deg", "msl_ft")
    rows = zip(*(column.tolist() for column in columns), strict=True)
    return [
        None if place is None else Spot(**dict(zip(names, next(rows), strict=True)))
        for place in places
    ]
