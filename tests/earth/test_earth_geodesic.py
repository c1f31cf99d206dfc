"""What must hold for every line on the ellipsoid and for every flat map."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.arrays import wrap_180_deg
from lubberline.earth import (
    LocalPlane,
    course_and_distance,
    destination_point,
    middle_course_deg,
)
from lubberline.errors import RangeError, ShapeError

LATS = st.floats(-85.0, 85.0)
LONS = st.floats(-180.0, 180.0)
HERE = LocalPlane(41.0, -131.0)


@pytest.mark.parametrize(
    ("function", "sample"),
    [
        (course_and_distance, (41.0, -131.0, 42.0, -130.0)),
        (middle_course_deg, (41.0, -131.0, 42.0, -130.0)),
        (destination_point, (41.0, -131.0, 37.0, 75.0)),
        (HERE.to_plane_nm, (41.5, -130.0)),
        (HERE.to_degrees, (45.0, 30.0)),
    ],
)
def test_every_shape_has_its_answer(
    function: Callable[..., object],
    sample: tuple[float, ...],
    holds_on_every_shape: Callable[..., None],
) -> None:
    holds_on_every_shape(function, *sample)
    with pytest.raises(ShapeError):
        function([sample[0]] * 3, [sample[1]] * 2, *sample[2:])


@given(LATS, LONS, st.floats(0.0, 359.9), st.floats(0.001, 5_000.0))
def test_direct_and_inverse_undo_each_other(
    lat_deg: float, lon_deg: float, true_deg: float, distance_nm: float
) -> None:
    end_lat_deg, end_lon_deg = destination_point(lat_deg, lon_deg, true_deg, distance_nm)
    course_deg, length_nm = course_and_distance(lat_deg, lon_deg, end_lat_deg, end_lon_deg)
    assert length_nm == pytest.approx(distance_nm, abs=1e-7)
    # A direction is known to the size of a place's own rounding, seen from that far away.
    assert abs(wrap_180_deg(course_deg - true_deg)) < 1e-6 + 1e-9 / distance_nm


@given(LATS, LONS, st.floats(0.0, 359.9), st.floats(0.1, 500.0))
def test_the_middle_course_leads_from_the_middle_to_the_end(
    lat_deg: float, lon_deg: float, true_deg: float, distance_nm: float
) -> None:
    end = destination_point(lat_deg, lon_deg, true_deg, distance_nm)
    middle = destination_point(lat_deg, lon_deg, true_deg, distance_nm / 2.0)
    found_deg = middle_course_deg(lat_deg, lon_deg, *end)
    expected_deg, _ = course_and_distance(*middle, *end)
    assert abs(wrap_180_deg(found_deg - expected_deg)) < 1e-6 + 1e-8 / distance_nm


def test_no_course_leads_from_a_place_to_itself() -> None:
    assert np.isnan(middle_course_deg(41.0, -131.0, 41.0, -131.0))


@given(LATS, LONS, LATS, LONS)
def test_the_way_back_is_as_long(
    lat1_deg: float, lon1_deg: float, lat2_deg: float, lon2_deg: float
) -> None:
    _, out_nm = course_and_distance(lat1_deg, lon1_deg, lat2_deg, lon2_deg)
    _, back_nm = course_and_distance(lat2_deg, lon2_deg, lat1_deg, lon1_deg)
    assert out_nm == pytest.approx(float(back_nm), abs=1e-8)


@given(LATS, LONS, st.floats(-1_500.0, 1_500.0), st.floats(-1_500.0, 1_500.0))
def test_the_plane_inverts(lat_deg: float, lon_deg: float, east_nm: float, north_nm: float) -> None:
    plane = LocalPlane(lat_deg, lon_deg)
    again_east_nm, again_north_nm = plane.to_plane_nm(*plane.to_degrees(east_nm, north_nm))
    assert again_east_nm == pytest.approx(east_nm, abs=1e-6)
    assert again_north_nm == pytest.approx(north_nm, abs=1e-6)


def test_lengths_in_the_plane_are_true_to_0_015_percent_within_100_nm() -> None:
    random = np.random.default_rng(7)
    away_nm, bearing_rad = 100.0 * np.sqrt(random.random((2, 5000))), random.random((2, 5000)) * 6.3
    east_nm, north_nm = away_nm * np.sin(bearing_rad), away_nm * np.cos(bearing_rad)
    lat_deg, lon_deg = HERE.to_degrees(east_nm, north_nm)
    _, true_nm = course_and_distance(lat_deg[0], lon_deg[0], lat_deg[1], lon_deg[1])
    plane_nm = np.hypot(east_nm[0] - east_nm[1], north_nm[0] - north_nm[1])
    assert np.abs(plane_nm / true_nm - 1.0).max() < 1.5e-4


@pytest.mark.parametrize("center_deg", [180.0, -180.0, 540.0, 179.9, -179.9])
def test_the_date_line_is_no_border(center_deg: float) -> None:
    plane = LocalPlane(41.0, center_deg)
    east_nm, north_nm = plane.to_plane_nm(41.0, [179.5, -180.5, -179.5, 180.5, 540.0, -540.0])
    assert np.ptp(east_nm) < 46.0
    assert np.abs(north_nm).max() < 0.4
    assert east_nm[0] == pytest.approx(east_nm[1])
    assert east_nm[2] == pytest.approx(east_nm[3])


def test_places_beyond_the_date_line_come_back_wrapped() -> None:
    _, lon_deg = LocalPlane(41.0, 179.9).to_degrees([0.0, 60.0], 0.0)
    assert lon_deg[0] == pytest.approx(179.9)
    assert -180.0 < lon_deg[1] < -178.0
    _, end_deg = destination_point(0.0, 179.5, 90.0, 60.0)
    assert end_deg == pytest.approx(-179.50179, abs=1e-4)


def test_no_course_leads_to_where_one_is() -> None:
    course_deg, distance_nm = course_and_distance(41.0, -131.0, 41.0, [-131.0, 229.0, -130.0])
    assert distance_nm[:2] == pytest.approx([0.0, 0.0])
    assert np.isnan(course_deg).tolist() == [True, True, False]


def test_a_center_read_from_an_array_is_that_center() -> None:
    plane = LocalPlane(np.float64(41.25), np.float64(-131.5))
    np.testing.assert_allclose(plane.to_plane_nm(41.25, -131.5), 0.0, atol=1e-9)


def test_threads_share_a_plane() -> None:
    lat_deg, lon_deg = np.linspace(40.0, 42.0, 2000), np.linspace(-133.0, -129.0, 2000)
    alone = HERE.to_plane_nm(lat_deg, lon_deg)
    with ThreadPoolExecutor(8) as pool:
        for together in pool.map(lambda _: HERE.to_plane_nm(lat_deg, lon_deg), range(40)):
            np.testing.assert_array_equal(together, alone)


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg"), [(90.1, 0.0), (-90.1, 0.0), (0.0, 540.1), (0.0, -540.1)]
)
def test_what_is_no_place_is_refused(lat_deg: float, lon_deg: float) -> None:
    for call in (
        lambda: course_and_distance(lat_deg, lon_deg, 0.0, 0.0),
        lambda: course_and_distance(0.0, 0.0, lat_deg, lon_deg),
        lambda: destination_point(lat_deg, lon_deg, 0.0, 1.0),
        lambda: HERE.to_plane_nm(lat_deg, lon_deg),
        lambda: LocalPlane(lat_deg, lon_deg),
    ):
        with pytest.raises(RangeError, match="expected -"):
            call()


def test_a_map_of_nowhere_is_refused() -> None:
    with pytest.raises(RangeError, match="not a place"):
        LocalPlane(float("nan"), -131.0)
    with pytest.raises(RangeError, match="distance from the center"):
        HERE.to_degrees(8_000.0, 8_000.0)
    with pytest.raises(RangeError, match="distance_nm"):
        destination_point(41.0, -131.0, 0.0, 11_000.0)
    with pytest.raises(RangeError, match="true_deg"):
        destination_point(41.0, -131.0, 1_000.0, 1.0)
