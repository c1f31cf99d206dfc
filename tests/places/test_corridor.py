"""Nothing within the half width is missed: anywhere, over the date line and round the poles."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from places_made import polygon

from lubberline.arrays import FloatArray
from lubberline.earth import course_and_distance, destination_point
from lubberline.errors import RangeError, ShapeError
from lubberline.places import Circle, Corridor, Footprint, Polygon
from lubberline.places.corridor import box_of, box_of_footprint

RANDOM = np.random.default_rng(4)


def corridor(*places_deg: tuple[float, float], half_width_nm: float = 25.0) -> Corridor:
    lat_deg, lon_deg = np.array(places_deg, dtype=float).T
    return Corridor(lat_deg=lat_deg, lon_deg=lon_deg, half_width_nm=half_width_nm)


ROUTES = {
    "plain": [(41.0, -131.0), (42.5, -128.0)],
    "date line": [(51.0, 178.0), (52.0, -178.5)],
    "over the pole": [(89.0, 10.0), (88.5, -175.0)],
    "south pole": [(-89.9, 0.0), (-88.0, 100.0)],
    "equator": [(0.2, -1.0), (-0.3, 2.0), (-0.3, 2.0), (1.0, 3.0)],
    "one place": [(41.0, 180.0)],
    "long": [(10.0, -150.0), (60.0, -20.0)],
}


def beside(route: Corridor, away_nm: float) -> FloatArray:
    """Places so far from a random place of the route, in random directions; (400, 2)."""
    from_deg = route.fine_deg[RANDOM.integers(0, len(route.fine_deg), 400)]
    lat_deg, lon_deg = from_deg.T
    to_deg = destination_point(lat_deg, lon_deg, RANDOM.uniform(0.0, 360.0, 400), away_nm)
    return np.column_stack(to_deg)


@pytest.mark.parametrize("name", ROUTES)
def test_nothing_within_the_half_width_is_missed(name: str) -> None:
    route = corridor(*ROUTES[name])
    places_deg = np.vstack([beside(route, away_nm) for away_nm in (0.0, 10.0, 24.99)])
    assert route.near(*places_deg.T).all()
    boxes = np.column_stack([places_deg[:, [0, 0, 1]], np.zeros(len(places_deg))])
    assert len(route.in_box(boxes)) == len(boxes)


@pytest.mark.parametrize("name", ROUTES)
def test_what_is_clearly_beyond_is_left_out(name: str) -> None:
    route = corridor(*ROUTES[name])
    places_deg = beside(route, 60.0)
    fine_deg = route.fine_deg
    _, apart_nm = course_and_distance(
        *places_deg.T[:, :, None], *fine_deg.T[:, None, :]
    )  # every place to every fine place of the route, which are 20 NM apart
    beyond = apart_nm.min(axis=1) > 45.0
    assert beyond.any()
    assert not route.near(*places_deg[beyond].T).any()


@pytest.mark.parametrize("name", ROUTES)
def test_a_small_volume_is_found_as_its_places_are(name: str) -> None:
    route = corridor(*ROUTES[name])
    for away_nm, found in ((20.0, True), (29.0, True), (200.0, False)):
        at_deg = beside(route, away_nm)[:30]
        _, apart_nm = course_and_distance(*at_deg.T[:, :, None], *route.fine_deg.T[:, None, :])
        chosen = at_deg[(apart_nm.min(axis=1) > 100.0) | (away_nm < 100.0)]
        shapes = [Circle(lat_deg=lat, lon_deg=lon, radius_nm=5.0) for lat, lon in chosen]
        assert (route.meets([*shapes]) == found).all()


def test_a_polygon_round_the_route_is_met_though_no_corner_is_near() -> None:
    route = corridor((41.0, -131.0), half_width_nm=5.0)
    around = Polygon(corners_deg=np.array([[40.0, -132.0], [40.0, -130.0], [42.5, -131.0]]))
    assert route.meets([around, polygon(43.0, -131.0)]).tolist() == [True, False]


def test_shapes_of_both_kinds_keep_their_order() -> None:
    route = corridor((41.0, -131.0))
    near, far = polygon(41.0, -131.0), polygon(44.0, -131.0)
    round_near = Circle(lat_deg=41.0, lon_deg=-131.0, radius_nm=1.0)
    round_far = Circle(lat_deg=44.0, lon_deg=-131.0, radius_nm=1.0)
    shapes: list[Footprint] = [far, round_near, near, round_far, near]
    assert route.meets(shapes).tolist() == [False, True, True, False, True]
    assert route.meets([]).tolist() == []


def test_a_box_holds_the_bulge_of_its_edges() -> None:
    """A geodesic of ten degrees along a parallel runs miles north of it."""
    ring = np.array([[50.0, -10.0], [50.0, 0.0], [45.0, -5.0]])
    north_deg = box_of(ring)[1]
    course_deg, length_nm = course_and_distance(50.0, -10.0, 50.0, 0.0)
    top_deg, _ = destination_point(50.0, -10.0, course_deg, length_nm / 2.0)
    assert 50.1 < float(top_deg) <= north_deg < 50.2


@pytest.mark.parametrize(("lat_deg", "edges"), [(80.0, (80.0, 90.0)), (-80.0, (-90.0, -80.0))])
def test_a_ring_round_a_pole_reaches_it(lat_deg: float, edges: tuple[float, float]) -> None:
    ring = np.column_stack([np.full(36, lat_deg), np.arange(36) * 10.0 - 180.0])
    south_deg, north_deg, _, half_deg = box_of(ring)
    assert (south_deg, north_deg) == pytest.approx(edges, abs=0.2)
    assert half_deg == 180.0


def test_a_ring_over_the_date_line_is_narrow() -> None:
    ring = np.array([[51.0, 179.0], [51.0, -179.0], [52.0, -179.5]])
    assert box_of(ring)[2:] == pytest.approx([-180.0, 1.0])


@settings(max_examples=60, deadline=None)
@given(st.floats(-89.0, 89.0), st.floats(-180.0, 180.0), st.floats(1.0, 200.0))
def test_the_box_of_a_circle_holds_its_edge(lat: float, lon: float, radius_nm: float) -> None:
    box = box_of_footprint(Circle(lat_deg=lat, lon_deg=lon, radius_nm=radius_nm))
    edge_lat, edge_lon = destination_point(lat, lon, np.arange(0.0, 360.0, 5.0), radius_nm)
    off_deg = np.abs((edge_lon - box[2] + 180.0) % 360.0 - 180.0)
    assert ((edge_lat >= box[0]) & (edge_lat <= box[1]) & (off_deg <= box[3] + 1e-9)).all()


def test_an_unknown_place_is_not_near() -> None:
    route = corridor((41.0, -131.0))
    assert route.near([np.nan, 41.0], [-131.0, np.nan]).tolist() == [False, False]


@pytest.mark.parametrize("mid_deg", [-131.0, 179.5, -180.0])
def test_a_long_shore_is_cut_well_beyond_the_corridor(mid_deg: float) -> None:
    """A continent with a jagged edge: the same near the route, short, over the date line, too."""
    turn = np.linspace(0.0, 2.0 * np.pi, 5_000, endpoint=False)
    jagged_deg = 8.0 + 0.2 * np.sin(turn * 700.0)
    lon_deg = (mid_deg + jagged_deg * np.cos(turn) + 180.0) % 360.0 - 180.0
    ring = np.column_stack([41.0 + jagged_deg * np.sin(turn), lon_deg])
    route = corridor((41.0, mid_deg), (48.7, mid_deg), half_width_nm=30.0)
    (piece,) = route.cut(ring)
    assert len(piece) < 1_500
    near = route.near(*ring.T)
    assert near.any()
    kept = {(round(lat, 9), round(lon % 360.0, 6)) for lat, lon in piece}
    assert all((round(lat, 9), round(lon % 360.0, 6)) in kept for lat, lon in ring[near])
    assert route.cut(ring[:100]) == [pytest.approx(ring[:100])]


def test_impossible_routes_are_refused() -> None:
    with pytest.raises(RangeError, match="at least one place"):
        corridor((np.nan, 0.0))
    with pytest.raises(RangeError, match="half_width_nm is 0"):
        corridor((0.0, 0.0), half_width_nm=0.0)
    with pytest.raises(ShapeError):
        Corridor(lat_deg=np.zeros(2), lon_deg=np.zeros(3), half_width_nm=1.0)
    with pytest.raises(RangeError, match="split it"):
        corridor((0.0, 0.0), (0.0, 170.0), (0.0, 179.0)).near(0.0, 0.0)
