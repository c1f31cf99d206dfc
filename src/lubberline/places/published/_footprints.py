"""Footprints from the rings of published polygons.

An edge runs clockwise and a hole the other way; where all run one way, a ring inside another is
a hole in it. A hole outside every edge, and a ring that crosses itself, are mended without giving
up any area, for a piece of airspace lost is worse than one with a seam.
"""

import functools
from collections.abc import Iterable
from itertools import compress
from typing import TYPE_CHECKING

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.places.model import Polygon
from lubberline.places.published._account import Unfit

if TYPE_CHECKING:
    import shapely


def footprints(rings_deg: Iterable[FloatArray]) -> tuple[Polygon, ...]:
    """One footprint for each separate part; rings are (m, 2) of longitude, latitude, closed or not.

    Raises
    ------
    Unfit
        If a ring has no area, or a corner that is no place on earth.
    """
    import shapely

    polygons = [shapely.Polygon(_checked(ring)) for ring in rings_deg]
    if len(polygons) == 1 and polygons[0].is_valid:  # nearly all are so
        return (_polygon(polygons[0]),)
    whole = _covered(polygons)
    found = [one for one in shapely.get_parts(whole) if one.geom_type == "Polygon" and one.area]
    if not found:
        raise Unfit("no area")
    return tuple(_polygon(one) for one in found)


def _covered(polygons: "list[shapely.Polygon]") -> "shapely.Geometry":
    """What rings cover that are given as polygons without holes."""
    import shapely

    is_hole = [one.exterior.is_ccw for one in polygons]
    if sum(is_hole) == len(polygons) - 1 and not is_hole[0]:  # one edge with its holes: most
        whole = shapely.Polygon(polygons[0].exterior, [one.exterior for one in polygons[1:]])
        if whole.is_valid:
            return whole
    valid = [shapely.make_valid(one) for one in polygons]
    if len(set(is_hole)) == 1:
        return functools.reduce(shapely.symmetric_difference, valid)
    shells = [one for one, hole in zip(valid, is_hole, strict=True) if not hole]
    holes = [one for one, hole in zip(valid, is_hole, strict=True) if hole]
    shapely.prepare(shells)
    inside = [shapely.covers(shell, holes) for shell in shells]
    parts = [
        shapely.difference(shell, shapely.union_all(list(compress(holes, cut))))
        for shell, cut in zip(shells, inside, strict=True)
    ]
    astray = [
        hole for hole, cut in zip(holes, zip(*inside, strict=True), strict=True) if not any(cut)
    ]
    return shapely.union_all([*parts, *astray])


def _checked(ring_deg: FloatArray) -> FloatArray:
    if not np.isfinite(ring_deg).all() or (np.abs(ring_deg) > [180.0, 90.0]).any():
        raise Unfit("a corner that is no place on earth")
    if len(ring_deg) < 8 and len(np.unique(ring_deg, axis=0)) < 3:  # a long one is judged by area
        raise Unfit("fewer than three different corners")
    if np.ptp(ring_deg[:, 0]) > 180.0:  # over the date line, not round the earth
        return np.column_stack([ring_deg[:, 0] % 360.0, ring_deg[:, 1]])
    return ring_deg


def _polygon(one: "shapely.Polygon") -> Polygon:
    return Polygon(
        corners_deg=_ring_deg(one.exterior),
        holes_deg=tuple(_ring_deg(hole) for hole in one.interiors),
    )


def _ring_deg(ring: "shapely.LinearRing") -> FloatArray:
    """Corners as latitude, longitude without the repeated last one."""
    import shapely

    corners_deg = np.array(shapely.get_coordinates(ring)[:-1, ::-1])
    corners_deg[:, 1] -= 360.0 * (corners_deg[:, 1] > 180.0)
    return corners_deg
