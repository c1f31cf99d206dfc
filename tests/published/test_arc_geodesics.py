"""Arcs and circles against GeographicLib: corners on the arc, chords within the stated error."""

from itertools import pairwise

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from lubberline.earth import LocalPlane
from lubberline.places import Polygon, distance_nm
from lubberline.places.published._account import Unfit
from lubberline.places.published._arcs import (
    Turn,
    turn_by_angles,
    turn_by_points,
    turn_through,
    whole_circle,
)
from lubberline.places.published._outline import footprints_of

M_PER_NM = 1852.0
CENTERS = [(41.0, -131.0), (0.0, 0.0), (-41.0, 179.99), (65.0, -180.0), (89.8, 30.0), (90.0, 0.0)]


@pytest.mark.parametrize("center", CENTERS)
@pytest.mark.parametrize("radius_nm", [0.05, 1.0, 5.0, 30.0, 300.0])
@pytest.mark.parametrize("angles", [(0.0, 360.0), (350.0, 10.0), (90.0, 45.0)])
def test_chords_leave_the_arc_by_no_more_than_is_stated(
    center: tuple[float, float], radius_nm: float, angles: tuple[float, float]
) -> None:
    corners_deg, error_m = turn_by_angles(center, radius_nm, angles).corners_deg()
    assert error_m <= 5.0 + 1e-6
    for one, other in list(pairwise(corners_deg))[:3]:
        line = Geodesic.WGS84.InverseLine(*one, *other)
        middle = line.Position(line.s13 / 2.0)
        on_m = Geodesic.WGS84.Inverse(*center, *one)["s12"]
        off_m = Geodesic.WGS84.Inverse(*center, middle["lat2"], middle["lon2"])["s12"]
        assert on_m == pytest.approx(radius_nm * M_PER_NM, abs=1e-3)
        assert 0.0 <= on_m - off_m <= error_m + 1e-3


@pytest.mark.parametrize("clockwise", [True, False])
@pytest.mark.parametrize(("start_deg", "end_deg"), [(0.0, 90.0), (90.0, 0.0), (350.0, 10.0)])
def test_an_arc_begins_and_ends_where_it_is_said(
    start_deg: float, end_deg: float, clockwise: bool
) -> None:
    turn = turn_by_angles((41.0, -131.0), 10.0, (start_deg, end_deg), clockwise=clockwise)
    corners_deg, _ = turn.corners_deg()
    swept_deg = (end_deg - start_deg if clockwise else start_deg - end_deg) % 360.0
    assert abs(turn.turn_deg) == swept_deg
    for corner, true_deg in ((corners_deg[0], start_deg), (corners_deg[-1], end_deg)):
        place = Geodesic.WGS84.Direct(41.0, -131.0, true_deg, 10.0 * M_PER_NM)
        assert corner == pytest.approx([place["lat2"], place["lon2"]], abs=1e-9)
    middle = corners_deg[len(corners_deg) // 2]
    bearing = Geodesic.WGS84.Inverse(41.0, -131.0, *middle)["azi1"]
    gone = (bearing - start_deg if clockwise else start_deg - bearing) % 360.0
    assert 0.0 < gone < swept_deg


def test_an_arc_over_the_date_line_is_one_arc() -> None:
    turn = turn_by_points((10.0, 180.0), (10.1, 179.9), (10.1, -179.9))
    corners_deg, _ = turn.corners_deg()
    assert 0.0 < turn.turn_deg < 180.0
    assert (np.abs(corners_deg[:, 1]) <= 180.0).all()
    assert corners_deg[-1] == pytest.approx([10.1, -179.9], abs=1e-9)


def test_a_start_that_is_the_end_is_a_whole_turn() -> None:
    assert turn_by_angles((41.0, -131.0), 5.0, (90.0, 90.0)).is_round
    assert turn_by_points((41.0, -131.0), (41.1, -131.0), (41.1, -131.0)).is_round
    assert whole_circle((41.0, -131.0), 5.0).is_round


def test_ends_unlike_far_from_the_center_are_joined_and_the_error_says_so() -> None:
    start, end = (41.1, -131.0), (41.0, -130.87)
    turn = turn_by_points((41.0, -131.0), start, end)
    corners_deg, error_m = turn.corners_deg()
    near_m, far_m = (Geodesic.WGS84.Inverse(41.0, -131.0, *one)["s12"] for one in (end, start))
    assert error_m == pytest.approx((far_m - near_m) / 2.0, abs=5.1)
    assert corners_deg[0] == pytest.approx(start, abs=1e-9)
    assert corners_deg[-1] == pytest.approx(end, abs=1e-9)


@pytest.mark.parametrize("bearings", [(10.0, 100.0, 200.0), (200.0, 100.0, 10.0), (350, 0, 10)])
def test_an_arc_through_three_places_has_their_center(
    bearings: tuple[float, float, float],
) -> None:
    spots = [Geodesic.WGS84.Direct(41.0, -131.0, one, 8.0 * M_PER_NM) for one in bearings]
    turn = turn_through(*((spot["lat2"], spot["lon2"]) for spot in spots))
    away_m = Geodesic.WGS84.Inverse(41.0, -131.0, turn.lat_deg, turn.lon_deg)["s12"]
    assert away_m < 5.0
    assert turn.radius_nm == pytest.approx(8.0, abs=0.003)
    assert (turn.turn_deg > 0.0) == (bearings[0] < bearings[2] or bearings[0] == 350)


@pytest.mark.parametrize(
    "make",
    [
        lambda: turn_by_angles((41.0, -131.0), float("nan"), (0.0, 90.0)),
        lambda: turn_by_angles((41.0, -131.0), 5.0, (float("inf"), 90.0)),
        lambda: turn_by_angles((91.0, -131.0), 5.0, (0.0, 90.0)),
        lambda: turn_by_angles((41.0, -131.0), -5.0, (0.0, 90.0)),
        lambda: turn_by_points((41.0, -131.0), (41.0, -131.0), (41.1, -131.0)),
        lambda: turn_by_points((41.0, -131.0), (41.1, -131.0), (42.1, -131.0)),
        lambda: turn_through((41.0, -131.0), (42.0, -131.0), (43.0, -131.0)),
        lambda: turn_through((41.0, -131.0), (41.0, -131.0), (43.0, -131.0)),
    ],
)
def test_what_is_no_arc_is_unfit(make) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(Unfit):
        make()


@pytest.mark.parametrize(("off_m", "corners"), [(3.0, 0), (20.0, 2), (500.0, 2)])
def test_the_error_of_an_edge_stays_below_ten_meters(off_m: float, corners: int) -> None:
    turn = turn_by_angles((41.0, -131.0), 10.0, (0.0, 90.0))
    off_deg = np.degrees(off_m / (10.0 * M_PER_NM))  # outside the arc, along its circle
    ends = [
        Geodesic.WGS84.Direct(41.0, -131.0, true_deg, 10.0 * M_PER_NM)
        for true_deg in (-off_deg, 90.0 + off_deg)
    ]
    before, after = ((end["lat2"], end["lon2"]) for end in ends)
    (polygon,) = footprints_of([(41.0, -131.0), before, turn, after])
    assert isinstance(polygon, Polygon)
    assert len(polygon.arcs) == 1
    assert polygon.error_m <= 5.0 + 1e-6
    assert len(polygon.corners_deg) == len(turn.corners_deg()[0]) + 1 + corners


def test_ends_that_nearly_meet_are_joined_where_the_edge_would_cross_itself() -> None:
    turn = turn_by_angles((41.0, -131.0), 10.0, (0.0, 90.0))
    end = Geodesic.WGS84.Direct(41.0, -131.0, 0.1, 10.0 * M_PER_NM + 5.0)
    (polygon,) = footprints_of([(41.0, -131.0), (end["lat2"], end["lon2"]), turn])
    assert isinstance(polygon, Polygon)
    assert len(polygon.arcs) == 1
    assert polygon.error_m == pytest.approx(
        np.hypot(10.0 * M_PER_NM * np.radians(0.1), 5.0), rel=0.01
    )


@pytest.mark.parametrize("center", [(90.0, 0.0), (89.9, 30.0), (-90.0, 0.0), (0.0, 180.0)])
def test_two_half_circles_hold_what_lies_in_their_circle(center: tuple[float, float]) -> None:
    halves = [turn_by_angles(center, 30.0, ends) for ends in ((0.0, 180.0), (180.0, 0.0))]
    (polygon,) = footprints_of(halves)
    assert isinstance(polygon, Polygon)
    assert len(polygon.arcs) == 2
    plane = LocalPlane(*center)
    turn = np.radians(np.arange(0.0, 360.0, 7.0))
    for radius_nm, off_nm in ((0.0, -30.0), (29.0, -1.0), (31.0, 1.0)):
        away_nm = distance_nm(polygon, plane, radius_nm * np.cos(turn), radius_nm * np.sin(turn))
        assert away_nm == pytest.approx(off_nm, abs=0.01)


def test_a_turn_has_a_radius_at_both_ends() -> None:
    turn = Turn(lat_deg=41, lon_deg=-131, radius_nm=5, until_nm=5.5, from_true_deg=0, turn_deg=90)
    assert turn.mismatch_nm == 0.5
