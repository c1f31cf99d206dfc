"""Signed distances to circles, rings and polygons, by geometry that can be done by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane
from lubberline.errors import RangeError, ShapeError
from lubberline.places import Circle, Footprint, Polygon, distance_nm, outline_deg

PLANE = LocalPlane(41.0, -131.0)
DISK = Circle(lat_deg=41.0, lon_deg=-131.0, radius_nm=10.0)
RING = Circle(lat_deg=41.0, lon_deg=-131.0, radius_nm=10.0, inner_nm=4.0)


def square_deg(half_nm: float) -> FloatArray:
    sides_nm = half_nm * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    return np.column_stack(PLANE.to_degrees(sides_nm[:, 0], sides_nm[:, 1]))


SQUARE = Polygon(corners_deg=square_deg(6.0))
FRAME = Polygon(corners_deg=square_deg(6.0), holes_deg=(square_deg(2.0),))


@pytest.mark.parametrize(
    ("footprint", "east_nm", "north_nm", "expected_nm"),
    [
        (DISK, 0.0, 0.0, -10.0),
        (DISK, 3.0, -4.0, -5.0),
        (DISK, 0.0, 10.0, 0.0),
        (DISK, -9.0, 12.0, 5.0),
        (RING, 0.0, 0.0, 4.0),
        (RING, 0.0, 3.0, 1.0),
        (RING, 4.0, 0.0, 0.0),
        (RING, 0.0, -5.0, -1.0),
        (RING, 7.0, 0.0, -3.0),
        (RING, 0.0, 12.0, 2.0),
        (SQUARE, 0.0, 0.0, -6.0),
        (SQUARE, 5.0, 1.0, -1.0),
        (SQUARE, 6.0, 0.0, 0.0),
        (SQUARE, 9.0, 10.0, 5.0),
        (FRAME, 0.0, 0.0, 2.0),
        (FRAME, 0.0, 3.0, -1.0),
        (FRAME, 0.0, 2.0, 0.0),
        (FRAME, 0.0, -8.0, 2.0),
    ],
)
def test_distance_is_negative_inside_and_zero_on_the_edge(
    footprint: Footprint, east_nm: float, north_nm: float, expected_nm: float
) -> None:
    found_nm = distance_nm(footprint, PLANE, east_nm, north_nm)
    assert found_nm.shape == ()
    assert float(found_nm) == pytest.approx(expected_nm, abs=1e-8)


@pytest.mark.parametrize("footprint", [DISK, RING, SQUARE, FRAME])
def test_shapes_broadcast_and_the_unknown_stays_unknown(footprint: Footprint) -> None:
    column = np.array([[0.0], [np.nan], [20.0]])
    found_nm = distance_nm(footprint, PLANE, column, [0.0, 1.0])
    assert found_nm.shape == (3, 2)
    assert np.isnan(found_nm[1]).all()
    assert np.isfinite(found_nm[[0, 2]]).all()
    assert distance_nm(footprint, PLANE, [], []).shape == (0,)
    with pytest.raises(ShapeError):
        distance_nm(footprint, PLANE, [0.0, 1.0], [0.0, 1.0, 2.0])


@given(
    st.sampled_from([DISK, RING, SQUARE, FRAME]),
    *(st.floats(-30, 30) for _ in range(4)),
)
def test_distance_never_grows_faster_than_the_way(
    footprint: Footprint, east_nm: float, north_nm: float, east2_nm: float, north2_nm: float
) -> None:
    first, second = distance_nm(footprint, PLANE, [east_nm, east2_nm], [north_nm, north2_nm])
    way_nm = float(np.hypot(east2_nm - east_nm, north2_nm - north_nm))
    assert abs(first - second) <= way_nm + 1e-6


def test_a_polygon_across_the_date_line_has_an_inside() -> None:
    corners = np.array([[41.0, 179.9], [41.0, -179.9], [41.2, -179.9], [41.2, 179.9]])
    plane = LocalPlane(41.1, 180.0)
    found_nm = distance_nm(Polygon(corners_deg=corners), plane, 0.0, 0.0)
    assert -6.0 < float(found_nm) < -4.0


def test_outlines_are_closed_and_lie_on_the_edges() -> None:
    for footprint, lengths in ((DISK, [73]), (RING, [73, 73]), (SQUARE, [5]), (FRAME, [5, 5])):
        rings_deg = outline_deg(footprint)
        assert [len(ring) for ring in rings_deg] == lengths
        for ring in rings_deg:
            np.testing.assert_array_equal(ring[0], ring[-1])
            places_nm = PLANE.to_plane_nm(ring[:, 0], ring[:, 1])
            np.testing.assert_allclose(distance_nm(footprint, PLANE, *places_nm), 0.0, atol=1e-6)


def test_two_corners_draw_no_circle() -> None:
    with pytest.raises(RangeError, match="count is 2"):
        outline_deg(DISK, 2)
