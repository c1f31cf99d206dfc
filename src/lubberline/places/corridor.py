"""A route and how far to both sides of it: what lies near, for many places at once.

Distances are taken on a sphere, in an azimuthal equidistant map round the middle of the route,
where they come out too long but never short by more than the ellipsoid is flat; the half width
is stretched by both, so that nothing within it is missed. What lies just beyond may be kept.
The date line and the poles are places like any other.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import atan2, hypot
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import BoolArray, FloatArray, IntArray, broadcast, wrap_180_deg
from lubberline.earth import course_and_distance, destination_point
from lubberline.errors import RangeError, ShapeError
from lubberline.places.model import Circle, Footprint

if TYPE_CHECKING:
    from shapely import LineString, Point

NM_PER_RAD: Final = 60.0 * 180.0 / np.pi  # of a sphere with 60 NM to the degree
FLAT_FACTOR: Final = 1.01  # own: lengths on the ellipsoid differ from that sphere by 0.5 %
STEP_NM: Final = 20.0  # own: a geodesic this long is straight in the map to some feet
FARTHEST_NM: Final = 5_000.0  # own: from the middle; a map of more than half the earth is none
LONG_COUNT: Final = 2_000  # own: corners of a shore that is worth cutting
BEYOND_DEG: Final = 1.0
LARGE_DEG: Final = 5.0  # own: a volume taller or wider is kept by its box alone


@dataclass(frozen=True, eq=False, kw_only=True)
class Corridor:
    """Route through places, each joined to the next by a geodesic, and its half width.

    One place alone is a disk. Columns have one shape (n,).
    """

    lat_deg: FloatArray
    lon_deg: FloatArray
    half_width_nm: float

    def __post_init__(self) -> None:
        """At least one place, all of them known, and a width."""
        if self.lat_deg.ndim != 1 or self.lat_deg.shape != self.lon_deg.shape:
            raise ShapeError(f"a route of {self.lat_deg.shape} and {self.lon_deg.shape} places")
        if not (self.lat_deg.size and np.isfinite([self.lat_deg, self.lon_deg]).all()):
            raise RangeError("a route needs at least one place, and no unknown ones")
        if not 0.0 < self.half_width_nm <= FARTHEST_NM:
            raise RangeError(
                f"half_width_nm is {self.half_width_nm:g} NM; expected 0 to {FARTHEST_NM:g} NM"
            )

    @cached_property
    def fine_deg(self) -> FloatArray:
        """The route with places every 20 NM, shape (m, 2)."""
        legs = zip(self.lat_deg, self.lon_deg, self.lat_deg[1:], self.lon_deg[1:], strict=False)
        return np.vstack(
            [*(_leg_deg(*leg) for leg in legs), [[self.lat_deg[-1], self.lon_deg[-1]]]]
        )

    @cached_property
    def box_deg(self) -> FloatArray:
        """South, north, middle and half width in longitude of all that can be near [deg]."""
        reach_deg = self.half_width_nm * FLAT_FACTOR / 60.0
        return grown(box_of(self.fine_deg, closed=False), reach_deg)

    @cached_property
    def _middle_rad(self) -> tuple[float, float]:
        lat_rad, lon_rad = np.radians(self.fine_deg).T
        x = float((np.cos(lat_rad) * np.cos(lon_rad)).sum())
        y = float((np.cos(lat_rad) * np.sin(lon_rad)).sum())
        z = float(np.sin(lat_rad).sum())
        return atan2(z, hypot(x, y)), atan2(y, x)

    @cached_property
    def _steps_nm(self) -> list[tuple[FloatArray, FloatArray]]:
        """Where each step of the route begins in the map, and how far it runs."""
        xy_nm = np.column_stack(self._map_nm(*self.fine_deg.T))
        runs_nm = np.diff(xy_nm, axis=0, append=xy_nm[-1:])
        return list(zip(xy_nm, runs_nm, strict=True))

    @cached_property
    def _line(self) -> "LineString | Point":
        import shapely

        xy_nm = np.array([start for start, run in self._steps_nm if run.any()])
        last_nm = self._steps_nm[-1][0]  # distances from a line without length come out wrong
        line = shapely.linestrings([*xy_nm, last_nm]) if len(xy_nm) else shapely.points(last_nm)
        shapely.prepare(line)
        return line

    @cached_property
    def _reach_ratio(self) -> float:
        """How much longer than in truth a distance near the route may be in the map."""
        away_nm = float(np.hypot(*self._map_nm(*self.fine_deg.T)).max()) + self.half_width_nm
        if away_nm > FARTHEST_NM:
            raise RangeError(
                f"the route reaches {away_nm:,.0f} NM from its middle;"
                f" expected at most {FARTHEST_NM:,.0f} NM: split it"
            )
        return FLAT_FACTOR / float(np.sinc(away_nm / NM_PER_RAD / np.pi))

    def in_box(self, boxes_deg: FloatArray) -> IntArray:
        """Which of the boxes, shape (n, 4), meet the corridor's own."""
        south, north, mid, half = self.box_deg
        level = np.flatnonzero((boxes_deg[:, 0] <= north) & (boxes_deg[:, 1] >= south))
        apart = np.abs(wrap_180_deg(boxes_deg[level, 2] - mid))
        found: IntArray = level[apart <= boxes_deg[level, 3] + half]
        return found

    def near(self, lat_deg: ArrayLike, lon_deg: ArrayLike) -> BoolArray:
        """Which places lie within the half width; an unknown place does not."""
        place = np.stack(self._map_nm(lat_deg, lon_deg))
        from_line = np.full(place.shape[1:], np.inf)
        for start, run in self._steps_nm:
            away = place - start.reshape(2, *[1] * (place.ndim - 1))
            square = max(float(run @ run), 1e-12)  # a step without length: the place itself
            along = np.clip(np.tensordot(run, away, 1) / square, 0.0, 1.0)
            np.fmin(from_line, np.hypot(*(away - np.multiply.outer(run, along))), out=from_line)
        return np.asarray(from_line <= self.half_width_nm * self._reach_ratio)

    def meets(self, footprints: Sequence[Footprint]) -> BoolArray:
        """Which footprints come within the half width; holes count as filled."""
        import shapely

        outer_deg = [
            np.array([[one.lat_deg, one.lon_deg]]) if isinstance(one, Circle) else one.corners_deg
            for one in footprints
        ]
        radius_nm = np.array([getattr(one, "radius_nm", 0.0) for one in footprints])
        if not footprints:
            return np.zeros(0, dtype=bool)
        x_nm, y_nm = self._map_nm(*np.vstack(outer_deg).T)
        of = np.repeat(np.arange(len(outer_deg)), [len(ring) for ring in outer_deg])
        shapes = np.empty(len(footprints), dtype=object)
        round_ = np.array([isinstance(one, Circle) for one in footprints])
        shapes[round_] = shapely.points(x_nm[round_[of]], y_nm[round_[of]])
        straight = ~round_[of]
        rings = shapely.linearrings(x_nm[straight], y_nm[straight], indices=_ranked(of[straight]))
        shapes[~round_] = shapely.polygons(rings)
        reach_nm = (self.half_width_nm + radius_nm) * self._reach_ratio
        found: BoolArray = shapely.dwithin(self._line, shapes, reach_nm)
        return found

    def cut(self, ring_deg: FloatArray) -> list[FloatArray]:
        """The part of a long shore that can matter; new edges lie 60 NM beyond the corridor."""
        south, north, mid, half = grown(self.box_deg, BEYOND_DEG)
        if len(ring_deg) <= LONG_COUNT or half >= 180.0:
            return [ring_deg]
        import shapely

        off_deg = wrap_180_deg(ring_deg[:, 1] - mid)
        if np.abs(np.diff(off_deg)).max() > 180.0:  # it goes round the far side of the earth
            return [ring_deg]
        shore = shapely.Polygon(np.column_stack([off_deg, ring_deg[:, 0]]))
        parts = shapely.get_parts(shapely.clip_by_rect(shore, -half, south, half, north))
        rings = [shapely.get_coordinates(one.exterior)[:-1] for one in parts if one.area]
        return [np.column_stack([xy[:, 1], wrap_180_deg(xy[:, 0] + mid)]) for xy in rings]

    def _map_nm(self, lat_deg: ArrayLike, lon_deg: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """Azimuthal equidistant map of a sphere round the middle of the route [SNYDER1987]_."""
        lat_rad, lon_rad = (np.radians(part) for part in broadcast(lat_deg, lon_deg))
        lat0_rad, lon0_rad = self._middle_rad
        sin, cos = np.sin(lat_rad), np.cos(lat_rad)
        east = cos * np.sin(lon_rad - lon0_rad)
        level = cos * np.cos(lon_rad - lon0_rad)
        north = np.cos(lat0_rad) * sin - np.sin(lat0_rad) * level
        up = np.sin(lat0_rad) * sin + np.cos(lat0_rad) * level
        across = np.hypot(east, north)
        away_nm = np.arctan2(across, up) * NM_PER_RAD
        ratio = away_nm / np.where(across > 0.0, across, 1.0)
        return east * ratio, north * ratio


def box_of(ring_deg: FloatArray, *, closed: bool = True) -> FloatArray:
    """South, north, middle and half width in longitude of a ring or line [deg].

    Edges are geodesics, which bulge toward the pole: the box has room for it. A ring that goes
    round a pole reaches to it.
    """
    lat_deg, lon_deg = ring_deg.T
    steps_deg = wrap_180_deg(np.diff(lon_deg, append=lon_deg[:1] if closed else lon_deg[-1:]))
    east_deg = lon_deg[0] + np.append(0.0, np.cumsum(steps_deg))
    bulge_deg = np.degrees(np.radians(np.abs(steps_deg).max(initial=0.0)) ** 2 / 16.0)
    south_deg, north_deg = lat_deg.min() - bulge_deg, lat_deg.max() + bulge_deg
    half_deg = (east_deg.max() - east_deg.min()) / 2.0
    if closed and abs(east_deg[-1] - east_deg[0]) > 180.0:
        south_deg, north_deg = (south_deg, 90.0) if lat_deg.mean() > 0.0 else (-90.0, north_deg)
        half_deg = 180.0
    middle_deg = float(wrap_180_deg((east_deg.max() + east_deg.min()) / 2.0))
    return np.array([south_deg, north_deg, middle_deg, min(half_deg, 180.0)])


def box_of_footprint(footprint: Footprint) -> FloatArray:
    """As ``box_of``, of what the outer edge encloses."""
    if isinstance(footprint, Circle):
        box_deg = np.array([footprint.lat_deg, footprint.lat_deg, footprint.lon_deg, 0.0])
        return grown(box_deg, footprint.radius_nm * FLAT_FACTOR / 60.0)
    return box_of(footprint.corners_deg)


def grown(box_deg: FloatArray, by_deg: float) -> FloatArray:
    """The box with so many degrees of arc more on all sides; all longitudes where a pole is in."""
    south_deg, north_deg = box_deg[0] - by_deg, box_deg[1] + by_deg
    farthest_deg = max(abs(south_deg), abs(north_deg))
    half_deg = 180.0
    if farthest_deg < 90.0:
        sine = np.sin(np.radians(by_deg)) / np.cos(np.radians(farthest_deg - by_deg))
        half_deg = min(180.0, box_deg[3] + float(np.degrees(np.arcsin(min(1.0, sine)))))
    return np.array([south_deg, north_deg, box_deg[2], half_deg])


def is_large(boxes_deg: FloatArray) -> BoolArray:
    """Which boxes are too large for a flat map of them to be trusted."""
    return np.asarray(
        (boxes_deg[:, 1] - boxes_deg[:, 0] > LARGE_DEG) | (2.0 * boxes_deg[:, 3] > LARGE_DEG)
    )


def _leg_deg(lat1_deg: float, lon1_deg: float, lat2_deg: float, lon2_deg: float) -> FloatArray:
    """Places from the first on, without the last."""
    course_deg, distance_nm = course_and_distance(lat1_deg, lon1_deg, lat2_deg, lon2_deg)
    count = max(1, int(np.ceil(distance_nm / STEP_NM)))
    along_nm = np.arange(count) * float(distance_nm) / count
    course_deg = np.nan_to_num(course_deg)  # the same place twice
    return np.column_stack(destination_point(lat1_deg, lon1_deg, course_deg, along_nm))


def _ranked(of: IntArray) -> IntArray:
    """The same groups numbered 0, 1, 2 without gaps."""
    return np.cumsum(np.diff(of, prepend=of[:1]) > 0)
