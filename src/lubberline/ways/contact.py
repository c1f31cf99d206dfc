"""Where straight legs come to a given distance from the edge of a footprint.

Closed formulas: a leg is a line, and the places at a distance from an edge lie on circles round
its ends and on two lines beside it. The fractions found are all that can matter, and a few that
do not: whoever cuts a leg at them decides each piece by its middle. Fractions of closest
approach to corners and centers are among them, so that between two fractions the distance has
no minimum.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from lubberline.arrays import FloatArray, IntArray
from lubberline.earth import LocalPlane
from lubberline.places import Circle, Footprint, Polygon, Volume, all_rings_nm, rings_nm

_SLACK_NM = 1e-9  # rounding: a foot on the very end of an edge belongs to it


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Legs:
    """Straight legs in a plane: where they begin and how far they go; columns of shape (n,)."""

    east_nm: FloatArray
    north_nm: FloatArray
    run_east_nm: FloatArray
    run_north_nm: FloatArray


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Cuts:
    """Places on legs: which leg, and what fraction of it lies before; columns of shape (c,)."""

    leg_index: IntArray
    leg_fraction: FloatArray


def bounding_box_nm(footprint: Footprint, plane: LocalPlane) -> tuple[float, float, float, float]:
    """West, south, east and north end of a footprint in the plane [NM]."""
    return _box_nm(footprint, rings_nm(footprint, plane)[0])


@lru_cache(maxsize=16)
def boxes_nm(volumes: tuple[Volume, ...], plane: LocalPlane) -> FloatArray:
    """Bounding boxes of many volumes, (v, 4)."""
    footprints = [one.footprint for one in volumes]
    rings = all_rings_nm(footprints, plane)
    return np.array([_box_nm(*one) for one in zip(footprints, (r[0] for r in rings), strict=True)])


def _box_nm(footprint: Footprint, ring_nm: FloatArray) -> tuple[float, float, float, float]:
    reach_nm = footprint.radius_nm if isinstance(footprint, Circle) else 0.0
    east_nm, north_nm = ring_nm.T.tolist()
    return (
        min(east_nm) - reach_nm,
        min(north_nm) - reach_nm,
        max(east_nm) + reach_nm,
        max(north_nm) + reach_nm,
    )


def footprint_cuts(
    footprint: Footprint, plane: LocalPlane, legs: Legs, *, levels_nm: tuple[float, ...]
) -> Cuts:
    """Where legs come to a distance of any of the levels, or closest to a corner or center.

    Parameters
    ----------
    footprint : Circle or Polygon
    plane : LocalPlane
        The plane that the legs are straight in.
    legs : Legs
    levels_nm : tuple of float
        Distances from the edge [NM], negative inside.
    """
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        if isinstance(footprint, Circle):
            found = _circle_fractions(footprint, plane, legs, levels_nm)
        else:
            found = _polygon_fractions(footprint, plane, legs, levels_nm)
    leg_index, leg_fraction = [], []
    for fraction in found:
        place = np.nonzero((fraction > 0.0) & (fraction < 1.0))
        leg_index.append(place[0])
        leg_fraction.append(fraction[place])
    return Cuts(leg_index=np.concatenate(leg_index), leg_fraction=np.concatenate(leg_fraction))


def _circle_fractions(
    circle: Circle, plane: LocalPlane, legs: Legs, levels_nm: tuple[float, ...]
) -> list[FloatArray]:
    center_east_nm, center_north_nm = rings_nm(circle, plane)[0].T
    radii_nm = [circle.radius_nm + level_nm for level_nm in levels_nm]
    if circle.inner_nm > 0.0:
        radii_nm += [circle.inner_nm - level_nm for level_nm in levels_nm]
    wanted_nm = tuple(radius_nm for radius_nm in radii_nm if radius_nm > 0.0)
    return _round_fractions(legs, center_east_nm, center_north_nm, wanted_nm)


def _polygon_fractions(
    polygon: Polygon, plane: LocalPlane, legs: Legs, levels_nm: tuple[float, ...]
) -> list[FloatArray]:
    distances_nm = tuple({abs(level_nm) for level_nm in levels_nm})
    round_nm = tuple(distance_nm for distance_nm in distances_nm if distance_nm > 0.0)
    return [
        fraction
        for ring_nm in rings_nm(polygon, plane)
        for fraction in (
            *_round_fractions(legs, ring_nm[:, 0], ring_nm[:, 1], round_nm),
            *_beside_fractions(legs, ring_nm[:, 0], ring_nm[:, 1], distances_nm),
        )
    ]


def _round_fractions(
    legs: Legs, east_nm: FloatArray, north_nm: FloatArray, radii_nm: tuple[float, ...]
) -> list[FloatArray]:
    """Where legs come closest to points, and where they cross circles round them; (n, m)."""
    run_east, run_north = legs.run_east_nm[:, None], legs.run_north_nm[:, None]
    from_east = legs.east_nm[:, None] - np.atleast_1d(east_nm)
    from_north = legs.north_nm[:, None] - np.atleast_1d(north_nm)
    square = run_east**2 + run_north**2
    foot = -(from_east * run_east + from_north * run_north) / square
    across_square = (from_east * run_north - from_north * run_east) ** 2 / square
    found = [foot]
    for radius_nm in radii_nm:
        half = np.sqrt((radius_nm**2 - across_square) / square)
        found += [foot - half, foot + half]
    return found


def _beside_fractions(
    legs: Legs, east_nm: FloatArray, north_nm: FloatArray, distances_nm: tuple[float, ...]
) -> list[FloatArray]:
    """Where legs cross the edges of a ring and the lines beside them; (n, m)."""
    edge_east, edge_north = np.roll(east_nm, -1) - east_nm, np.roll(north_nm, -1) - north_nm
    length_nm = np.hypot(edge_east, edge_north)
    east_ratio, north_ratio = edge_east / length_nm, edge_north / length_nm
    from_east = legs.east_nm[:, None] - east_nm
    from_north = legs.north_nm[:, None] - north_nm
    run_east, run_north = legs.run_east_nm[:, None], legs.run_north_nm[:, None]
    across = from_east * north_ratio - from_north * east_ratio
    run_across = run_east * north_ratio - run_north * east_ratio
    along = from_east * east_ratio + from_north * north_ratio
    run_along = run_east * east_ratio + run_north * north_ratio
    found = []
    for distance_nm in distances_nm:
        for side_nm in {distance_nm, -distance_nm}:
            fraction = (side_nm - across) / run_across
            foot_nm = along + fraction * run_along
            beside = (foot_nm >= -_SLACK_NM) & (foot_nm <= length_nm + _SLACK_NM)
            found.append(np.where(beside, fraction, np.nan))
    return found
