"""Footprints from outlines of corners and arcs.

Arcs are kept exactly beside the corners that stand for them. An edge that crosses itself is
mended without giving up area, and then has corners only.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil, cos, radians, sqrt, tan
from typing import TYPE_CHECKING, Any, Final, TypeAlias

import numpy as np

from lubberline.arrays import FloatArray, wrap_180_deg
from lubberline.earth import LocalPlane, course_and_distance
from lubberline.places.model import Arc, Circle, Footprint, Polygon
from lubberline.places.published._account import Unfit
from lubberline.places.published._arcs import ERROR_M, Place, Turn, step_deg, whole_circle
from lubberline.units import M_PER_NM

if TYPE_CHECKING:
    from shapely import Geometry, LinearRing
    from shapely import Polygon as ShapelyPolygon

JOIN_NM: Final = 0.03  # own: two seconds of arc; ends so near may be one corner where they must
ROUNDING_NM: Final = 0.05  # own: ends of an arc that agree so far were rounded, no more
MOST_CORNERS: Final = 500_000  # own
SLIVER_FRACTION: Final = 1e-9  # own: of an area; smaller parts come from rounding
EARTH_M: Final = 6_371_000.0  # mean radius, for how far lines leave each other
STEEPEST_DEG: Final = 89.0  # own: nearer to a pole a parallel is no line to follow
SMALL_LON_DEG: Final = 90.0  # within this and away from the poles degrees are a plane
SMALL_LAT_DEG: Final = 80.0

Piece: TypeAlias = Place | Turn


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """One ring: corners (m, 2), not closed, the arcs among them, and the error [m]."""

    corners_deg: FloatArray
    arcs: tuple[Arc, ...]
    error_m: float


def footprints_of(outer: Sequence[Piece], holes: Sequence[Sequence[Piece]] = ()) -> list[Footprint]:
    """What an outline and its holes cover: one footprint, or several if it crossed itself.

    Raises
    ------
    Unfit
        If it has no area, or says what cannot be.
    """
    circle = _circle_of(outer, holes)
    if circle is not None:
        return [circle]
    edges = [edge_of(one) for one in (outer, *holes)]
    flat = _Flat(edges[0].corners_deg)
    if not flat.whole(edges).is_valid:  # ends that nearly meet may make it cross itself
        edges = [edge_of(one, join_nm=JOIN_NM) for one in (outer, *holes)]
    if flat.whole(edges).is_valid:
        return [_polygon(edges)]
    found = flat.footprints(flat.shape(edges), max(edge.error_m for edge in edges))
    if not found:
        raise Unfit("no area")
    return found


def straight_in_degrees(places: Sequence[Place]) -> Iterator[Place]:
    """Places with as many between them as a line that is straight in degrees needs.

    Where it leaves the shortest line by more than ``ERROR_M``: by L² tan(latitude) / 8 R.
    """
    corners = 0
    for (lat_deg, lon_deg), (to_lat_deg, to_lon_deg) in pairwise(places):
        yield lat_deg, lon_deg
        east_deg = (to_lon_deg - lon_deg + 180.0) % 360.0 - 180.0
        steepest = radians(min(max(abs(lat_deg), abs(to_lat_deg)), STEEPEST_DEG))
        along = radians(east_deg) * cos(radians(min(abs(lat_deg), abs(to_lat_deg))))
        count = ceil(sqrt(along**2 * tan(steepest) / 8.0 * EARTH_M / ERROR_M))
        corners = _within_bounds(corners + max(count, 1))
        for step in range(1, count):
            share = step / count
            east = lon_deg + share * east_deg
            yield lat_deg + share * (to_lat_deg - lat_deg), (east + 180.0) % 360.0 - 180.0
    yield from places[-1:]


def edge_of(pieces: Sequence[Piece], *, join_nm: float = ERROR_M / M_PER_NM) -> Edge:
    """Corners of an outline one after another, each only once; first and last need not meet.

    Where an arc ends no farther than ``join_nm`` from a corner, the two are one. An arc from a
    place to itself says nothing among other pieces and is passed over.
    """
    _within_bounds(len(pieces))
    traced = _Traced(join_nm)
    for piece in pieces:
        if not isinstance(piece, Turn):
            traced.corner(piece)
        elif not piece.is_round or len(pieces) == 1:
            traced.arc(piece)
        elif not piece.ends_meet:
            raise Unfit("a whole circle among other pieces of an edge")
    return traced.edge()


def _within_bounds(corners: int) -> int:
    if corners > MOST_CORNERS:
        raise Unfit(f"over {MOST_CORNERS:,} corners")
    return corners


class _Traced:
    """An edge while it is followed."""

    def __init__(self, join_nm: float) -> None:
        self._join_nm = join_nm
        self._corners: list[Place] = []
        self._arcs: list[Arc] = []
        self._error_m = 0.0
        self._after_arc = False

    def corner(self, place: Place) -> None:
        """The next corner; where an arc ends nearly there, its end is this."""
        if not (abs(place[0]) <= 90.0 and abs(place[1]) <= 180.0):
            raise Unfit("a corner that is not on earth")
        if self._after_arc and self._meets(place):
            self._corners[-1] = place
        elif not self._corners or self._corners[-1] != place:
            self._corners.append(place)
        self._after_arc = False

    def arc(self, turn: Turn) -> None:
        """The next arc; where it begins nearly at the last corner, it begins there."""
        found_deg, error_m = turn.corners_deg()
        places = [(float(lat_deg), float(lon_deg)) for lat_deg, lon_deg in found_deg]
        self._error_m = max(self._error_m, error_m)
        if self._corners and self._meets(places[0]):
            places[0] = self._corners.pop()
        first = len(self._corners)
        self._corners += places
        _within_bounds(len(self._corners))
        self._after_arc = True
        if turn.mismatch_nm <= ROUNDING_NM:
            self._arcs.append(
                Arc(
                    ring=0,
                    first=first,
                    last=len(self._corners) - 1,
                    lat_deg=turn.lat_deg,
                    lon_deg=turn.lon_deg,
                    radius_nm=turn.radius_nm,
                    clockwise=turn.turn_deg > 0.0,
                )
            )

    def edge(self) -> Edge:
        """What was followed; its last corner is another than its first, but for an arc's end."""
        if len(set(self._corners)) < 3:
            raise Unfit("fewer than three different corners")
        if self._after_arc and self._meets(self._corners[0]):
            self._corners[-1] = self._corners[0]
        elif self._corners[-1] == self._corners[0]:
            del self._corners[-1]
        return Edge(np.array(self._corners), tuple(self._arcs), self._error_m)

    def _meets(self, place: Place) -> bool:
        """Whether the last corner is so near as to be the same; how near is part of the error."""
        gap_nm = float(course_and_distance(*self._corners[-1], *place)[1])
        meets = gap_nm <= self._join_nm
        if meets:
            self._error_m = max(self._error_m, gap_nm * M_PER_NM)
        return meets


def combined(first: Footprint, others: Sequence[Footprint], operation: str) -> list[Footprint]:
    """What is left of a footprint after "difference" from or "intersection" with others.

    Where anything is cut, corners only are left.
    """
    import shapely

    edges = [_edges(one) for one in (first, *others)]
    flat = _Flat(edges[0][0].corners_deg)
    shapes = [flat.shape(one) for one in edges]
    area = _area(getattr(shapely, operation), shapes[0], _area(shapely.union_all, shapes[1:]))
    if shapely.equals(area, shapes[0]):
        return [first]
    return flat.footprints(area, max(edge.error_m for one in edges for edge in one))


def airway_of(places: Sequence[Place], width_nm: float) -> list[Footprint]:
    """A band of a width along a line of places, cut off square at both ends."""
    import shapely

    if not width_nm > 0.0:
        raise Unfit("an airway without width (V W=)")
    if len(set(places)) < 2:
        raise Unfit("an airway with fewer than two places")
    flat = _Flat(edge := np.array(places), as_map=True)
    quarter = ceil(90.0 / step_deg(width_nm / 2.0))
    band = shapely.buffer(
        shapely.LineString(flat.flat(edge)), width_nm / 2.0, quad_segs=quarter, cap_style="flat"
    )
    return flat.footprints(band, ERROR_M)


def _edges(footprint: Footprint) -> list[Edge]:
    if isinstance(footprint, Circle):
        radii_nm = [one for one in (footprint.radius_nm, footprint.inner_nm) if one]
        center = (footprint.lat_deg, footprint.lon_deg)
        return [edge_of([whole_circle(center, radius_nm)]) for radius_nm in radii_nm]
    rings = (footprint.corners_deg, *footprint.holes_deg)
    return [Edge(ring, (), footprint.error_m) for ring in rings]


def _circle_of(outer: Sequence[Piece], holes: Sequence[Sequence[Piece]]) -> Circle | None:
    """The circle, or ring between two, that an outline is; None if it is another shape."""
    turns = [pieces[0] for pieces in (outer, *holes) if len(pieces) == 1]
    rounds = [turn for turn in turns if isinstance(turn, Turn) and turn.is_round]
    if len(rounds) != 1 + len(holes) or len(holes) > 1:
        return None
    circle = rounds[0].circle()
    if len(rounds) == 1:
        return circle
    inner = rounds[1]
    same = (inner.lat_deg, inner.lon_deg) == (circle.lat_deg, circle.lon_deg)
    fits = same and inner.radius_nm < circle.radius_nm
    return replace(circle, inner_nm=inner.radius_nm) if fits else None


def _polygon(edges: Sequence[Edge]) -> Polygon:
    return Polygon(
        corners_deg=edges[0].corners_deg,
        holes_deg=tuple(edge.corners_deg for edge in edges[1:]),
        arcs=tuple(replace(arc, ring=ring) for ring, edge in enumerate(edges) for arc in edge.arcs),
        error_m=max(edge.error_m for edge in edges),
    )


def _area(operation: Callable[..., "Geometry"], *operands: Any) -> "Geometry":
    """The polygons that an operation gives, without the lines and points beside them."""
    import shapely

    try:
        parts = shapely.get_parts(shapely.get_parts(operation(*operands)))
        return shapely.union_all([part for part in parts if part.geom_type == "Polygon"])
    except shapely.GEOSException as exc:
        raise Unfit(f"shapes that cannot be computed: {exc}") from exc


class _Flat:
    """A plane to compute in: degrees near one longitude, or a map where those would mislead."""

    def __init__(self, corners_deg: FloatArray, *, as_map: bool = False) -> None:
        self._lon_deg = float(corners_deg[0, 1])
        east_deg = wrap_180_deg(corners_deg[:, 1] - self._lon_deg)
        far = np.abs(east_deg).max() > SMALL_LON_DEG
        polar = np.abs(corners_deg[:, 0]).max() > SMALL_LAT_DEG
        self._map = (
            LocalPlane(float(corners_deg[0, 0]), self._lon_deg) if as_map or far or polar else None
        )

    def whole(self, edges: Sequence[Edge]) -> "ShapelyPolygon":
        """The area inside the first edge and outside the others, valid or not."""
        import shapely

        rings = [self.flat(edge.corners_deg) for edge in edges]
        return shapely.Polygon(rings[0], rings[1:])

    def shape(self, edges: Sequence[Edge]) -> "Geometry":
        """The same, mended."""
        import shapely

        if (whole := self.whole(edges)).is_valid:
            return whole
        solid = [_area(shapely.make_valid, self.whole([edge])) for edge in edges]
        return _area(shapely.difference, solid[0], _area(shapely.union_all, solid[1:]))

    def flat(self, corners_deg: FloatArray) -> FloatArray:
        """Corners in the plane."""
        lat_deg, lon_deg = corners_deg.T
        if self._map is not None:
            return np.column_stack(self._map.to_plane_nm(lat_deg, lon_deg))
        return np.column_stack([wrap_180_deg(lon_deg - self._lon_deg), lat_deg])

    def footprints(self, area: "Geometry", error_m: float) -> list[Footprint]:
        """Each part of an area in the plane, with corners only."""
        import shapely

        least = SLIVER_FRACTION * shapely.area(area)
        return [
            Polygon(
                corners_deg=self._ring_deg(part.exterior),
                holes_deg=tuple(self._ring_deg(hole) for hole in part.interiors),
                error_m=error_m,
            )
            for part in shapely.get_parts(area)
            if part.area > least
        ]

    def _ring_deg(self, ring: "LinearRing") -> FloatArray:
        import shapely

        east, north = shapely.get_coordinates(ring)[:-1].T
        if self._map is not None:
            return np.column_stack(self._map.to_degrees(east, north))
        return np.column_stack([north, wrap_180_deg(east + self._lon_deg)])
