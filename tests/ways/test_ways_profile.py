from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ways_cases import HERON, aloft, end, point, problem

from lubberline.errors import NoSolution, RangeError
from lubberline.ways import WaysProblem
from lubberline.ways.motion import fly
from lubberline.ways.profile import Profile, lay_profile
from lubberline.ways.track import make_track


def laid(stated: WaysProblem, cruise_ft: float, *via: tuple[float, float]) -> Profile:
    places = [point(f"V{k}", *corner) for k, corner in enumerate(via, start=1)]
    return lay_profile(stated, make_track(stated, places), cruise_msl_ft=cruise_ft)


def named(profile: Profile) -> dict[str, tuple[float, float]]:
    rows = zip(profile.names, profile.along_nm, profile.msl_ft, strict=True)
    return {
        name: (round(float(along), 6), round(float(msl), 6)) for name, along, msl in rows if name
    }


def test_without_wind_every_change_lies_where_the_rates_put_it() -> None:
    # 500 ft/min at 90 kt up and 120 kt down; 1,000 ft of pattern take 4 NM, level from 5 NM.
    assert named(laid(problem(), 4_000.0)) == {
        "QAAA": (0.0, 0.0),
        "top of climb": (12.0, 4_000.0),
        "start down": (40.0 - 5.0 - 12.0, 4_000.0),
        "pattern height": (35.0, 1_000.0),
        "leave pattern height": (36.0, 1_000.0),
        "QZZZ": (40.0, 0.0),
    }


def test_a_descent_longer_than_the_level_off_distance_has_no_level_piece() -> None:
    slow = problem(motion=replace(HERON, descent_fpm=250.0))  # pattern height lies 8 NM out
    assert named(laid(slow, 2_000.0)) == {
        "QAAA": (0.0, 0.0),
        "top of climb": (6.0, 2_000.0),
        "start down": (24.0, 2_000.0),
        "QZZZ": (40.0, 0.0),
    }


def test_a_tailwind_moves_top_of_climb_on_and_start_down_back() -> None:
    windy = problem(wind=aloft((0.0, 270.0, 30.0)))
    rows = named(laid(windy, 3_000.0))
    assert rows["top of climb"][0] == pytest.approx(6.0 * 120.0 / 60.0)
    assert rows["start down"][0] == pytest.approx(35.0 - 4.0 * 150.0 / 60.0)


def test_a_short_way_has_a_lower_top_where_climb_and_descent_meet() -> None:
    stated = problem(half_nm=10.0)
    # Up 1,000 ft in 3 NM, down as much in 4 NM: 1000 s / 3 = 1000 + 250 (15 - s).
    assert named(laid(stated, 9_000.0)) == {
        "QAAA": (0.0, 0.0),
        "top of climb": (round(4_750.0 / (1_000 / 3 + 250), 6), round(4_750 / 1.75, 6)),
        "pattern height": (15.0, 1_000.0),
        "leave pattern height": (16.0, 1_000.0),
        "QZZZ": (20.0, 0.0),
    }


def test_a_very_short_way_goes_up_to_pattern_height_or_less() -> None:
    assert named(laid(problem(half_nm=4.0), 3_000.0))["top of climb"] == (3.0, 1_000.0)
    top = named(laid(problem(half_nm=2.0), 3_000.0))["top of climb"]
    assert top == (round(4.0 * 3 / 7, 6), round(4_000.0 / 7, 6))


def test_a_cruise_below_pattern_height_stays_there() -> None:
    assert named(laid(problem(), 800.0)) == {
        "QAAA": (0.0, 0.0),
        "top of climb": (2.4, 800.0),
        "start down": (36.8, 800.0),
        "QZZZ": (40.0, 0.0),
    }


def test_what_cannot_be_descended_on_the_way_is_circled_over_the_destination() -> None:
    high = problem(half_nm=5.0, departure=end("QAAA", -5.0, 0.0, 4_000.0))
    profile = laid(high, 5_000.0)
    assert named(profile)["over QZZZ"] == (10.0, 1_500.0)  # 10 NM at 250 ft a mile
    assert named(profile)["QZZZ"] == (10.0, 0.0)
    assert profile.names[-2:] == ("over QZZZ", "QZZZ")


def test_a_level_piece_at_pattern_height_is_given_up_before_circling() -> None:
    high = problem(half_nm=5.0, departure=end("QAAA", -5.0, 0.0, 2_400.0))
    assert "over QZZZ" not in named(laid(high, 5_000.0))
    assert "pattern height" not in named(laid(high, 5_000.0))


def test_what_cannot_be_climbed_on_the_way_is_circled_over_the_departure() -> None:
    field = problem(half_nm=3.0, destination=end("QZZZ", 3.0, 0.0, 5_000.0))
    profile = laid(field, 6_000.0)
    assert profile.names[:2] == ("QAAA", "over QAAA")
    assert named(profile)["over QAAA"] == (0.0, 3_000.0)  # 6 NM at 1,000 ft in 3 NM are left
    assert named(profile)["QZZZ"] == (6.0, 5_000.0)


@pytest.mark.parametrize("cruise_ft", [300.0, 500.0, float("nan")])
def test_a_cruise_not_above_both_fields_is_refused(cruise_ft: float) -> None:
    stated = problem(destination=end("QZZZ", 20.0, 0.0, 500.0))
    with pytest.raises(RangeError, match="expected above both aerodromes"):
        laid(stated, cruise_ft)


@pytest.mark.parametrize(("from_deg", "kt"), [(90.0, 95.0), (0.0, 91.0)])
def test_a_climb_that_makes_no_headway_has_no_solution(from_deg: float, kt: float) -> None:
    with pytest.raises(NoSolution, match="make no headway"):
        laid(problem(wind=aloft((0.0, from_deg, kt))), 4_000.0)


def test_points_that_coincide_make_no_segment() -> None:
    stated = problem()
    places = [point("V1", -20, 0), point("V2", 0, 0), point("V3", 0, 0), point("V4", 20, 0)]
    assert make_track(stated, places).names == ("QAAA", "V2", "QZZZ")


def test_one_place_is_no_way() -> None:
    stated = problem(destination=end("QZZZ", -20.0, 0.0))
    with pytest.raises(NoSolution, match="one place"):
        make_track(stated, [])
    assert make_track(stated, [point("V1", 0, 0)]).length_nm == pytest.approx(40.0, rel=1e-3)


CORNERS = st.lists(st.tuples(st.floats(-15, 15), st.floats(-15, 15)), max_size=3)


@settings(max_examples=50, deadline=None)
@given(
    CORNERS,
    st.floats(1_700.0, 9_900.0),
    st.floats(0.0, 360.0),
    st.floats(0.0, 50.0),
    st.floats(0.0, 1_500.0),
)
def test_the_airplane_climbs_and_descends_at_its_own_rates(
    via: list[tuple[float, float]], cruise_ft: float, from_deg: float, kt: float, field_ft: float
) -> None:
    stated = problem(
        motion=replace(HERON, climb_fpm=900.0, zero_climb_ft=14_000.0, descent_tas_kt=140.0),
        wind=aloft((0.0, from_deg, 0.3 * kt), (6_000.0, from_deg + 60.0, kt)),
        destination=end("QZZZ", 20.0, 0.0, field_ft),
    )
    places = [point(f"V{k}", *corner) for k, corner in enumerate(via)]
    track = make_track(stated, places)
    profile = lay_profile(stated, track, cruise_msl_ft=cruise_ft)
    east_nm, north_nm = track.place_nm(profile.along_nm)
    leg = fly(stated.motion, stated.wind, east_nm=east_nm, north_nm=north_nm, msl_ft=profile.msl_ft)
    sloping = np.abs(np.diff(profile.msl_ft)) > 1e-6
    # All of a slope's time is spent climbing or descending; a piece cut at the top takes the
    # rate of another middle height, worth 0.01 min at most.
    assert (leg.time_min - leg.slope_min)[sloping] == pytest.approx(0.0, abs=0.01)
    assert (leg.time_min >= leg.slope_min - 1e-9).all()
    assert profile.msl_ft.max() <= cruise_ft + 1e-6
    assert profile.along_nm[-1] == pytest.approx(track.length_nm)
    assert profile.msl_ft[[0, -1]] == pytest.approx([0.0, field_ft])
    assert all(a <= b for a, b in pairwise(profile.along_nm))
    assert set(track.names) <= set(profile.names)
