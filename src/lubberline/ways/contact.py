"""How straight legs and places lie to footprints: closed formulas, many footprints at once.

A leg is a line, and the places at a distance from an edge lie on circles round its ends and on
two lines beside it. The fractions found are all that can matter, and a few that do not: whoever
cuts a leg at them decides each piece by its middle. Fractions of closest approach to corners
and centers are among them, so that between two fractions the distance has no minimum.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.earth import LocalPlane
from lubberline.places import Circle, Footprint, Volume, all_rings_nm

_SLACK_NM = 1e-9  # rounding: a foot on the very end of an edge belongs to it


class Legs(NamedTuple):
    """Straight legs in a plane: where they begin and how far they go; columns of shape (n,)."""

    east_nm: FloatArray
    north_nm: FloatArray
    run_east_nm: FloatArray
    run_north_nm: FloatArray


class Cuts(NamedTuple):
    """Places on legs: which leg, and what fraction of it lies before; columns of shape (c,)."""

    leg_index: IntArray
    leg_fraction: FloatArray


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Outlines:
    """The corners of v footprints in a plane, q in all, one footprint after the other.

    ``corner_nm`` and ``onward_nm`` (2, q) are the corners and the next one of its ring to each;
    a circle has its center, twice. ``count`` are each footprint's corners and ``first`` its
    first; ``radius_nm`` and ``inner_nm`` are NaN for a polygon.
    """

    corner_nm: FloatArray
    onward_nm: FloatArray
    first: IntArray
    count: IntArray
    radius_nm: FloatArray
    inner_nm: FloatArray

    @property
    def box_nm(self) -> FloatArray:
        """West, south, east and north end of each, (v, 4)."""
        if not self.count.size:
            return np.zeros((0, 4))
        reach_nm = np.nan_to_num(self.radius_nm)
        low = np.minimum.reduceat(self.corner_nm, self.first, axis=1) - reach_nm
        high = np.maximum.reduceat(self.corner_nm, self.first, axis=1) + reach_nm
        return np.concatenate([low, high]).T

    def part(self, which: Sequence[int]) -> "Outlines":
        """Some of them."""
        places = np.array(which, dtype=np.int64)
        _, corner = self.with_corners(places)
        count = self.count[places]
        return Outlines(
            corner_nm=self.corner_nm[:, corner],
            onward_nm=self.onward_nm[:, corner],
            first=np.cumsum(count) - count,
            count=count,
            radius_nm=self.radius_nm[places],
            inner_nm=self.inner_nm[places],
        )

    def with_corners(self, which: IntArray) -> tuple[IntArray, IntArray]:
        """Each of some questions with each corner of the footprint it asks: question, corner."""
        count = self.count[which]
        question = np.repeat(np.arange(which.size), count)
        start = self.first[which] - (np.cumsum(count) - count)
        return question, np.arange(question.size) + start[question]

    def distance_nm(self, which: IntArray, east_nm: FloatArray, north_nm: FloatArray) -> FloatArray:
        """Distance of places from the edge of one footprint each, negative inside; (n,)."""
        place, corner = self.with_corners(which)
        corner_nm, onward_nm = self.corner_nm[:, corner], self.onward_nm[:, corner]
        run_east, run_north = onward_nm - corner_nm
        east_nm, north_nm = east_nm[place], north_nm[place]
        from_east, from_north = east_nm - corner_nm[0], north_nm - corner_nm[1]
        with np.errstate(invalid="ignore", divide="ignore"):  # a center is no edge
            share = (from_east * run_east + from_north * run_north) / (run_east**2 + run_north**2)
            share = np.fmin(np.fmax(share, 0.0), 1.0)
            is_east = from_east < from_north * (run_east / run_north)
        off_east, off_north = from_east - share * run_east, from_north - share * run_north
        start = np.cumsum(self.count[which]) - self.count[which]
        away_nm = np.sqrt(np.minimum.reduceat(off_east**2 + off_north**2, start))
        # Both edges at a corner compare with that very corner: its height is crossed once or not.
        crossed = ((north_nm < corner_nm[1]) != (north_nm < onward_nm[1])) & is_east
        inside = np.logical_xor.reduceat(crossed, start)
        radius_nm, inner_nm = self.radius_nm[which], self.inner_nm[which]
        from_ring_nm = np.fmax(away_nm - radius_nm, inner_nm - away_nm)
        return np.where(np.isnan(radius_nm), np.where(inside, -away_nm, away_nm), from_ring_nm)


def outlines(footprints: Sequence[Footprint], plane: LocalPlane) -> Outlines:
    """The outlines of footprints, turned into the plane in one call."""
    rings = all_rings_nm(footprints, plane)
    corners = [ring for one in rings for ring in one] or [np.zeros((0, 2))]
    onward = [np.concatenate([ring[1:], ring[:1]]) for ring in corners]
    count = np.array([sum(map(len, one)) for one in rings], dtype=np.int64)
    radii = [
        (one.radius_nm, one.inner_nm or np.nan) if isinstance(one, Circle) else (np.nan, np.nan)
        for one in footprints
    ]
    radius_nm, inner_nm = np.array(radii).reshape(-1, 2).T
    return Outlines(
        corner_nm=np.concatenate(corners).T,
        onward_nm=np.concatenate(onward).T,
        first=np.cumsum(count) - count,
        count=count,
        radius_nm=radius_nm,
        inner_nm=inner_nm,
    )


@lru_cache(maxsize=16)
def volume_outlines(volumes: tuple[Volume, ...], plane: LocalPlane) -> Outlines:
    """The outlines of volumes; a problem's are asked for with every way."""
    return outlines([one.footprint for one in volumes], plane)


def legs_near(
    drawn: Outlines, east_nm: FloatArray, north_nm: FloatArray, reach_nm: FloatArray
) -> BoolArray:
    """Which legs of a path's rows (m,) come within reach of which bounding boxes; (v, m - 1)."""
    low_nm, high_nm = drawn.box_nm.T.reshape(2, 2, -1, 1)
    places_nm = np.stack([east_nm, north_nm])[:, None]
    start_nm, end_nm = places_nm[..., :-1], places_nm[..., 1:]
    after_nm = np.minimum(start_nm, end_nm) - high_nm
    before_nm = low_nm - np.maximum(start_nm, end_nm)
    return np.asarray((np.maximum(after_nm, before_nm) <= reach_nm[:, None]).all(axis=0))


def footprint_cuts(drawn: Outlines, which: IntArray, legs: Legs, levels_nm: FloatArray) -> Cuts:
    """Where legs come to any of some distances from a footprint each, or closest to its corners.

    Parameters
    ----------
    drawn : Outlines, of v footprints
    which : ndarray, shape (n,)
        The footprint that each leg is held against.
    legs : Legs, of n legs
    levels_nm : ndarray, shape (v, f)
        Distances from the edge of each footprint [NM], negative inside.
    """
    leg, corner = drawn.with_corners(which)
    from_east, from_north = (
        np.stack([legs.east_nm, legs.north_nm])[:, leg] - (drawn.corner_nm[:, corner])
    )
    run_east, run_north = legs.run_east_nm[leg], legs.run_north_nm[leg]
    seen = Legs(from_east, from_north, run_east, run_north)
    edge_nm = drawn.onward_nm[:, corner] - drawn.corner_nm[:, corner]
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        fraction = np.concatenate(
            [
                _round_fractions(seen, _radii_nm(drawn, levels_nm)[:, which[leg]]),
                _beside_fractions(seen, edge_nm, levels_nm.T[:, which[leg]]),
            ]
        )
        place = np.nonzero((fraction > 0.0) & (fraction < 1.0))
    return Cuts(leg_index=leg[place[1]], leg_fraction=fraction[place])


def _radii_nm(drawn: Outlines, levels_nm: FloatArray) -> FloatArray:
    """Radii of the circles round corners or centers that matter, (r, v); NaN where none."""
    levels_nm = levels_nm.T
    outer_nm = np.where(np.isnan(drawn.radius_nm), np.abs(levels_nm), drawn.radius_nm + levels_nm)
    inner_nm = drawn.inner_nm - levels_nm
    radii_nm = np.concatenate([outer_nm, inner_nm]) if (inner_nm > 0.0).any() else outer_nm
    return np.where(radii_nm > 0.0, radii_nm, np.nan)


def _round_fractions(seen: Legs, radii_nm: FloatArray) -> FloatArray:
    """Where legs seen from points come closest, and where they cross circles; (f, n)."""
    from_east, from_north, run_east, run_north = seen
    square = run_east**2 + run_north**2
    foot = -(from_east * run_east + from_north * run_north) / square
    across_square = (from_east * run_north - from_north * run_east) ** 2 / square
    half = np.sqrt((radii_nm**2 - across_square) / square)
    return np.concatenate([foot[None], foot - half, foot + half])


def _beside_fractions(seen: Legs, edge_nm: FloatArray, levels_nm: FloatArray) -> FloatArray:
    """Where legs seen from corners cross the edges there and the lines beside them; (f, n)."""
    from_east, from_north, run_east, run_north = seen
    length_nm = np.hypot(*edge_nm)
    east_ratio, north_ratio = edge_nm / length_nm
    across = from_east * north_ratio - from_north * east_ratio
    run_across = run_east * north_ratio - run_north * east_ratio
    along = from_east * east_ratio + from_north * north_ratio
    run_along = run_east * east_ratio + run_north * north_ratio
    fraction = (np.concatenate([levels_nm, -levels_nm]) - across) / run_across
    foot_nm = along + fraction * run_along
    beside = (foot_nm >= -_SLACK_NM) & (foot_nm <= length_nm + _SLACK_NM)
    return np.where(beside, fraction, np.nan)
