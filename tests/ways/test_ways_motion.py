from dataclasses import replace
from math import hypot, log

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from ways_cases import CALM, HERON, aloft

from lubberline.errors import NoSolution
from lubberline.ways.motion import Flown, fly, require_flyable, slope_rate_fpm, wind_toward_kt
from lubberline.ways.problem import Motion
from lubberline.weather import WindsAloft

EXACT = 1e-9


def flown(
    rows: list[tuple[float, float, float]], wind: WindsAloft = CALM, motion: Motion = HERON
) -> Flown:
    east_nm, north_nm, msl_ft = np.transpose(np.array(rows, dtype=float))
    return fly(motion, wind, east_nm=east_nm, north_nm=north_nm, msl_ft=msl_ft)


def minutes(*args: object, **more: object) -> float:
    return float(flown(*args, **more).time_min.sum())  # type: ignore[arg-type]


def test_without_wind_time_is_distance_over_speed() -> None:
    assert minutes([(0, 0, 3_000), (30, 40, 3_000)]) == pytest.approx(25.0, rel=EXACT)


@pytest.mark.parametrize(("from_deg", "ground_kt"), [(270.0, 150.0), (90.0, 90.0)])
def test_wind_along_the_track_adds_or_takes(from_deg: float, ground_kt: float) -> None:
    wind = aloft((0.0, from_deg, 30.0))
    expected = 60.0 * 60.0 / ground_kt
    assert minutes([(0, 0, 3_000), (60, 0, 3_000)], wind) == pytest.approx(expected, rel=EXACT)


def test_wind_across_the_track_leaves_the_other_side_of_the_triangle() -> None:
    wind = aloft((0.0, 0.0, 72.0))
    expected = 60.0 * 60.0 / 96.0  # 120, 72, 96: a right triangle
    assert minutes([(0, 0, 3_000), (60, 0, 3_000)], wind) == pytest.approx(expected, rel=EXACT)


def test_a_shallow_climb_spends_its_slope_at_climb_speed_and_the_rest_at_cruise() -> None:
    leg = flown([(0, 0, 0), (20, 0, 2_000)])
    # 4 min at 90 kt are 6 NM; 14 NM are left at 120 kt.
    assert float(leg.time_min[0]) == pytest.approx(4.0 + 7.0, rel=EXACT)
    assert float(leg.slope_min[0]) == pytest.approx(4.0, rel=EXACT)
    assert float(leg.fuel_gal[0]) == pytest.approx(4 / 60 * 15 + 7 / 60 * 12, rel=EXACT)


def test_a_descent_uses_its_own_speed_rate_and_fuel() -> None:
    motion = replace(HERON, descent_tas_kt=150.0, descent_fpm=400.0)
    leg = flown([(0, 0, 2_000), (20, 0, 0)], motion=motion)
    # 5 min at 150 kt are 12.5 NM; 7.5 NM are left at 120 kt.
    assert float(leg.time_min[0]) == pytest.approx(5.0 + 3.75, rel=EXACT)
    assert float(leg.fuel_gal[0]) == pytest.approx(5 / 60 * 9 + 3.75 / 60 * 12, rel=EXACT)


@pytest.mark.parametrize("run_nm", [0.0, 1.0, 5.9])
def test_steeper_than_the_rate_means_circling(run_nm: float) -> None:
    leg = flown([(0, 0, 0), (run_nm, 0, 2_000)])
    assert float(leg.time_min[0]) == pytest.approx(4.0, rel=EXACT)
    assert float(leg.air_nm[0]) == pytest.approx(6.0, rel=EXACT)


def test_circling_in_wind_takes_the_time_of_the_slope() -> None:
    assert minutes([(0, 0, 0), (0, 0, 2_000)], aloft((0.0, 300.0, 40.0))) == pytest.approx(4.0)


@pytest.mark.parametrize(("low_ft", "high_ft"), [(0.0, 5_000.0), (1_200.0, 9_050.0)])
def test_a_climb_with_falling_rate_takes_the_logarithm_of_what_is_left(
    low_ft: float, high_ft: float
) -> None:
    motion = replace(HERON, climb_fpm=900.0, zero_climb_ft=14_000.0)
    exact_min = 14_000.0 / 900.0 * log((14_000.0 - low_ft) / (14_000.0 - high_ft))
    steep = minutes([(0, 0, low_ft), (0, 0, high_ft)], motion=motion)
    assert steep == pytest.approx(exact_min, rel=1e-4)  # pieces of 250 ft take the middle rate
    assert steep <= exact_min


def test_no_climb_is_slower_than_a_hundred_feet_a_minute() -> None:
    motion = replace(HERON, zero_climb_ft=8_000.0)
    rates = slope_rate_fpm(motion, [0.0, 4_000.0, 7_000.0, 20_000.0], climbing=True)
    assert rates.tolist() == [500.0, 250.0, 100.0, 100.0]
    assert float(slope_rate_fpm(motion, 7_000.0, climbing=False)) == 500.0


def test_wind_is_interpolated_by_components_and_held_outside() -> None:
    wind = aloft((1_000.0, 0.0, 20.0), (3_000.0, 90.0, 20.0))
    east, north = wind_toward_kt(wind, [0.0, 1_000.0, 2_000.0, 3_000.0, 9_000.0])
    assert east == pytest.approx([0.0, 0.0, -10.0, -20.0, -20.0], abs=1e-12)
    assert north == pytest.approx([-20.0, -20.0, -10.0, 0.0, 0.0], abs=1e-12)


def test_without_rows_the_air_is_still() -> None:
    east, north = wind_toward_kt(aloft(), [0.0, 5_000.0])
    assert not east.any()
    assert not north.any()


def test_a_long_climb_through_shear_is_the_sum_of_short_ones() -> None:
    wind = aloft((0.0, 270.0, 0.0), (4_000.0, 270.0, 60.0))
    whole = minutes([(0, 0, 0), (40, 0, 4_000)], wind)
    parts = minutes([(10.0 * k, 0, 1_000.0 * k) for k in range(5)], wind)
    assert whole == pytest.approx(parts, rel=EXACT)


def test_one_point_has_no_leg() -> None:
    assert flown([(0, 0, 0)]).time_min.shape == (0,)


def test_not_a_number_stays_so() -> None:
    assert np.isnan(flown([(0, 0, 0), (np.nan, 0, 0), (2, 0, 0), (3, 0, 0)]).time_min).tolist() == [
        True,
        True,
        False,
    ]


def test_no_leg_is_flown_against_wind_stronger_than_the_airplane() -> None:
    wind = aloft((0.0, 90.0, 130.0))
    leg = flown([(0, 0, 3_000), (10, 0, 3_000)], wind)
    assert np.isnan(leg.time_min).all()
    with pytest.raises(NoSolution, match="leg 1 at 3000 ft cannot be flown in 130 kt of wind"):
        require_flyable(leg, msl_ft=np.array([3_000.0, 3_000.0]), aloft=wind)


def test_a_wind_stronger_than_the_airplane_still_carries_it_along() -> None:
    wind = aloft((0.0, 270.0, 130.0))
    assert minutes([(0, 0, 3_000), (25, 0, 3_000)], wind) == pytest.approx(6.0, rel=EXACT)


@pytest.mark.parametrize(("run_nm", "flyable"), [(-1.0, False), (40.0, True)])
def test_a_wind_as_strong_as_the_airplane_allows_only_going_with_it(
    run_nm: float, flyable: bool
) -> None:
    leg = flown([(0, 0, 3_000), (run_nm, 0, 3_000)], aloft((0.0, 270.0, 120.0)))
    expected = run_nm * 60.0 / 240.0 if flyable else np.nan
    assert float(leg.time_min[0]) == pytest.approx(expected, rel=1e-6, nan_ok=True)


def test_overhead_climbing_fails_where_the_wind_would_carry_the_airplane_away() -> None:
    leg = flown([(0, 0, 0), (0, 0, 2_000)], aloft((0.0, 270.0, 130.0)))
    assert np.isnan(leg.time_min).all()


@pytest.mark.parametrize(("run_nm", "minutes_flown"), [(2.5, np.nan), (3.0, 4.0)])
def test_a_slope_longer_than_the_wind_allows_to_stay_is_not_flown(
    run_nm: float, minutes_flown: float
) -> None:
    # 2,000 ft take 4 minutes. Over a place 2.5 NM downwind the airplane can be for 3 minutes at
    # most, over one 3 NM downwind for 6: where 13 t / 6 - D = 2 t - 2.
    leg = flown([(0, 0, 0), (run_nm, 0, 2_000)], aloft((0.0, 270.0, 130.0)))
    assert float(leg.time_min[0]) == pytest.approx(minutes_flown, nan_ok=True)


SOME_NM = st.floats(-60.0, 60.0)
SOME_FT = st.floats(0.0, 8_000.0)
SOME_DEG = st.floats(0.0, 360.0)


@given(SOME_NM, SOME_NM, SOME_FT, SOME_FT, SOME_DEG, st.floats(0.0, 60.0))
def test_the_time_solves_the_equation_of_motion_or_is_the_slope_s(
    east: float, north: float, low: float, high: float, from_deg: float, wind_kt: float
) -> None:
    leg = flown([(0, 0, low), (east, north, high)], aloft((0.0, from_deg, wind_kt)))
    time, slope = float(leg.time_min[0]), float(leg.slope_min[0])
    air = hypot(east - float(leg.drift_east_nm[0]), north - float(leg.drift_north_nm[0]))
    slope_kt = 90.0 if high > low else 120.0
    reach = (time * 120.0 - slope * (120.0 - slope_kt)) / 60.0  # V t - K
    assert float(leg.air_nm[0]) == pytest.approx(reach, abs=1e-6)
    assert air <= reach + 1e-6
    assert time == pytest.approx(slope, abs=1e-6) or air == pytest.approx(reach, abs=1e-6)
    assert time >= slope - 1e-9


@given(SOME_FT, SOME_FT, st.floats(0.0, 70.0), st.floats(0.0, 15.0))
def test_more_headwind_is_never_quicker(low: float, high: float, head: float, more: float) -> None:
    rows = [(0.0, 0.0, low), (30.0, 0.0, high)]
    lighter = minutes(rows, aloft((0.0, 90.0, head)))
    assert minutes(rows, aloft((0.0, 90.0, head + more))) >= lighter - 1e-9


@given(SOME_NM, SOME_NM, SOME_FT)
def test_a_level_leg_without_wind_takes_as_long_back(east: float, north: float, msl: float) -> None:
    assume(hypot(east, north) > 1e-3)
    there, back = [(0.0, 0.0, msl), (east, north, msl)], [(east, north, msl), (0.0, 0.0, msl)]
    assert minutes(there) == pytest.approx(minutes(back), rel=EXACT)


@given(st.floats(0.05, 0.95), SOME_DEG, st.floats(0.0, 60.0))
def test_cutting_a_leg_in_a_steady_wind_changes_nothing(
    share: float, from_deg: float, wind_kt: float
) -> None:
    wind = aloft((0.0, from_deg, wind_kt))
    whole = minutes([(0, 0, 1_000), (40, 10, 3_000)], wind)
    cut = (40.0 * share, 10.0 * share, 1_000.0 + 2_000.0 * share)
    parts = minutes([(0, 0, 1_000), cut, (40, 10, 3_000)], wind)
    assert parts == pytest.approx(whole, rel=EXACT)
