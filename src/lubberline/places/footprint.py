"""How far a place is from the edge of a block of airspace, seen from above.

Distances are taken in a local plane (azimuthal equidistant, straight polygon edges there),
where circles and rings are exact. Negative means inside, zero is the edge.
"""

import itertools
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray, broadcast
from lubberline.earth import LocalPlane, destination_point
from lubberline.errors import RangeError
from lubberline.places.model import Circle, Footprint, Polygon

if TYPE_CHECKING:
    import shapely
    from shapely.geometry.base import BaseGeometry


def distance_nm(
    footprint: Footprint, plane: LocalPlane, east_nm: ArrayLike, north_nm: ArrayLike
) -> FloatArray:
    """Distance to the edge of a footprint, negative inside.

    Parameters
    ----------
    footprint : Circle or Polygon
    plane : LocalPlane
        Where the distance is measured; its center should lie within 100 NM.
    east_nm, north_nm : array_like, broadcast to shape S
        Places in that plane [NM].

    Returns
    -------
    ndarray, shape S
        Distance to the nearest edge [NM], also that of a hole or an inner circle; minus the
        distance inside. NaN where a place is NaN.

    Raises
    ------
    ShapeError
        If the places do not broadcast.
    """
    east_nm, north_nm = broadcast(east_nm, north_nm)
    if isinstance(footprint, Circle):
        return _from_circle_nm(footprint, plane, east_nm, north_nm)
    return _from_polygon_nm(footprint, plane, east_nm, north_nm)


@lru_cache(maxsize=4096)  # a way is checked again and again against the same volumes
def rings_nm(footprint: Footprint, plane: LocalPlane) -> tuple[FloatArray, ...]:
    """Corners (m, 2) of a polygon and of its holes in a plane; of a circle the center (1, 2)."""
    return all_rings_nm((footprint,), plane)[0]


def all_rings_nm(
    footprints: Sequence[Footprint], plane: LocalPlane
) -> tuple[tuple[FloatArray, ...], ...]:
    """As ``rings_nm``, of many footprints at once: much quicker than one after the other."""
    if not footprints:
        return ()
    rings = [_rings_deg(one) for one in footprints]
    corners_deg = np.concatenate([ring for one in rings for ring in one])
    corners_nm = np.column_stack(plane.to_plane_nm(corners_deg[:, 0], corners_deg[:, 1]))
    stops = itertools.accumulate(len(ring) for one in rings for ring in one)
    cut = (corners_nm[start:stop] for start, stop in itertools.pairwise((0, *stops)))
    return tuple(tuple(itertools.islice(cut, len(one))) for one in rings)


def _rings_deg(footprint: Footprint) -> tuple[FloatArray, ...]:
    if isinstance(footprint, Circle):
        return (np.array([[footprint.lat_deg, footprint.lon_deg]]),)
    return (footprint.corners_deg, *footprint.holes_deg)


def outline_deg(footprint: Footprint, count: int = 72) -> tuple[FloatArray, ...]:
    """Closed lines to draw a footprint by: the outer edge first, then inner ones.

    Each has shape (m, 2) of latitude and longitude [deg], its last row equal to its first. A
    circle has ``count`` different corners, all at its radius along the geodesic; a polygon has
    its own.
    """
    if isinstance(footprint, Polygon):
        return tuple(np.vstack([ring, ring[:1]]) for ring in _rings_deg(footprint))
    if count < 3:
        raise RangeError(f"count is {count}; a circle is drawn by at least 3 corners")
    radii_nm = [radius_nm for radius_nm in (footprint.radius_nm, footprint.inner_nm) if radius_nm]
    return tuple(_circle_deg(footprint, radius_nm, count) for radius_nm in radii_nm)


def _from_circle_nm(
    circle: Circle, plane: LocalPlane, east_nm: FloatArray, north_nm: FloatArray
) -> FloatArray:
    center_east_nm, center_north_nm = rings_nm(circle, plane)[0][0]
    from_center_nm: FloatArray = np.hypot(east_nm - center_east_nm, north_nm - center_north_nm)
    outside_nm = from_center_nm - circle.radius_nm
    if circle.inner_nm == 0.0:  # a plain circle has no edge at its center
        return np.asarray(outside_nm)
    return np.maximum(outside_nm, circle.inner_nm - from_center_nm)


def _from_polygon_nm(
    polygon: Polygon, plane: LocalPlane, east_nm: FloatArray, north_nm: FloatArray
) -> FloatArray:
    import shapely

    shape, boundary = _shape(polygon, plane)
    known = np.isfinite(east_nm) & np.isfinite(north_nm)
    places = shapely.points(np.where(known, east_nm, 0.0), np.where(known, north_nm, 0.0))
    to_edge_nm = shapely.distance(boundary, places)
    inside = shapely.contains(shape, places)
    return np.where(known, np.where(inside, -to_edge_nm, to_edge_nm), np.nan)


@lru_cache(maxsize=4096)
def _shape(polygon: Polygon, plane: LocalPlane) -> tuple["shapely.Polygon", "BaseGeometry"]:
    import shapely

    rings = rings_nm(polygon, plane)
    shape = shapely.Polygon(rings[0], rings[1:])
    boundary = shape.boundary
    shapely.prepare([shape, boundary])
    return shape, boundary


def _circle_deg(circle: Circle, radius_nm: float, count: int) -> FloatArray:
    bearings_deg = np.append(np.arange(count) * 360.0 / count, 0.0)
    places_deg = destination_point(circle.lat_deg, circle.lon_deg, bearings_deg, radius_nm)
    return np.column_stack(places_deg)
