"""The invented flights are such as an airplane could fly: no jumps, wind everywhere, a pattern."""

import numpy as np
from demo_cases import Case

from lubberline.air import wind_east_north_kt, wind_triangle
from lubberline.arrays import wrap_180_deg
from lubberline.units import S_PER_MIN
from lubberline.ways import problem_from_plan
from lubberline.weather import wind_at


def test_ground_speed_never_jumps(case: Case) -> None:
    ground_kt = np.hypot(*case.velocity_kt())
    assert ground_kt.max() < 200.0
    assert np.abs(np.diff(ground_kt)).max() < 4.0  # a firm ground roll: 0.2 g


def test_airspeed_never_jumps_in_the_air(case: Case) -> None:
    tas_kt = case.truth.tas_kt[case.aloft]
    assert np.abs(np.diff(tas_kt)).max() < 2.0
    assert 60.0 < tas_kt.min() < 80.0
    assert tas_kt.max() < 155.0


def test_ground_velocity_is_airspeed_plus_wind(case: Case) -> None:
    truth = case.truth
    high = truth.msl_ft > 1_200.0  # above the layer in which the ground slows the wind
    heading_rad = np.unwrap(np.radians(truth.heading_true_deg))
    wind_kt = np.array(wind_east_north_kt(*wind_at(case.plan.weather.aloft, truth.msl_ft)[:2]))
    air_kt = truth.tas_kt * np.array([np.sin(heading_rad), np.cos(heading_rad)])
    asked_kt = air_kt + wind_kt
    between_kt = (asked_kt[:, 1:] + asked_kt[:, :-1]) / 2.0
    off_kt = np.hypot(*(np.array(case.velocity_kt()) - between_kt))
    assert off_kt[high[1:] & high[:-1]].max() < 1.0


def test_the_field_s_wind_holds_at_lift_off(case: Case) -> None:
    departure, _ = case.ends
    at = int(case.truth.liftoff_s - case.truth.time_s[0])
    assert departure.wind is not None
    assert departure.wind.from_true_deg is not None
    _, asked_kt = wind_triangle(
        departure.end.true_deg,
        case.truth.tas_kt[at],
        wind_from_true_deg=departure.wind.from_true_deg,
        wind_kt=departure.wind.mean_kt,
    )
    assert abs(np.hypot(*case.velocity_kt())[at] - asked_kt) < 2.0  # speeding up 1.2 kt a second


def test_turns_stay_under_4_degrees_a_second(case: Case) -> None:
    east_kt, north_kt = (column[case.aloft[1:]] for column in case.velocity_kt())
    turn_deg = np.abs(wrap_180_deg(np.diff(np.degrees(np.arctan2(east_kt, north_kt)))))
    assert 2.0 < turn_deg.max() < 4.0


def test_climb_and_descent_are_the_airplane_s(case: Case) -> None:
    rate_fpm = np.diff(case.truth.msl_ft) * S_PER_MIN
    motion = problem_from_plan(case.plan, case.way.cruise_msl_ft).motion
    assert 0.95 * motion.climb_fpm < rate_fpm.max() <= motion.climb_fpm
    steepest_fpm = 1_200.0 if case.flight.faults.start_down_late_nm else 1.4 * motion.descent_fpm
    assert -steepest_fpm < rate_fpm.min() < -400.0
    assert np.abs(np.diff(rate_fpm)).max() < 600.0  # rotation and flare: under 0.3 g


def test_touchdown_lies_300_to_1000_ft_past_the_threshold(case: Case) -> None:
    end = case.ends[1].end
    along_ft, right_ft = (
        float(np.interp(case.truth.touchdown_s, case.truth.time_s, column))
        for column in case.beside_ft(end)
    )
    assert 300.0 <= along_ft - end.displaced_ft <= 1_000.0
    assert abs(right_ft) < 5.0


def test_lift_off_lies_on_the_first_half_of_the_runway(case: Case) -> None:
    setting = case.ends[0]
    along_ft, right_ft = (
        float(np.interp(case.truth.liftoff_s, case.truth.time_s, column))
        for column in case.beside_ft(setting.end)
    )
    assert 500.0 < along_ft < setting.runway.length_ft / 2.0
    assert abs(right_ft) < 5.0


def test_off_the_runways_it_rolls_at_taxi_speed(case: Case) -> None:
    ground_kt = np.hypot(*case.velocity_kt())
    time_s = case.truth.time_s[1:]
    before, after = time_s < case.truth.liftoff_s, time_s > case.truth.touchdown_s
    for setting, then in zip(case.ends, (before, after), strict=True):
        _, right_ft = case.beside_ft(setting.end)
        assert 11.0 < ground_kt[then & (np.abs(right_ft[1:]) > 30.0)].max() < 12.5


def test_it_stands_at_both_ends_and_for_the_run_up(case: Case) -> None:
    still = np.hypot(*case.velocity_kt()) < 0.1
    assert still[:89].all()
    assert still[-88:].all()
    before = case.truth.time_s[1:] < case.truth.liftoff_s
    moves = np.flatnonzero(~still & before)
    longest_s = np.diff(moves).max() - 1
    assert longest_s > 120  # the run-up, and what is left until the time to go


def test_downwind_is_flown_on_the_published_side_at_pattern_height(cases: dict[str, Case]) -> None:
    case = cases["wrong level held"]
    end = case.ends[1].end
    assert (case.flight.join, end.pattern_side) == ("downwind", "left")
    along_ft, right_ft = case.beside_ft(end)
    backward = np.diff(along_ft) < -120.0  # more than 70 kt against the landing direction
    abeam = backward & (np.abs(along_ft[1:] - 2_000.0) < 1_500.0) & case.aloft[1:]
    assert abeam.sum() > 10
    assert (np.abs(right_ft[1:][abeam] + 6_000.0) < 300.0).all()
    pattern_ft = case.plan.destination.elev_msl_ft + case.plan.destination.pattern_agl_ft
    assert np.abs(case.truth.msl_ft[1:][abeam] - pattern_ft).max() < 60.0


def test_a_clean_flight_keeps_the_pledged_time_to_the_start_down(cases: dict[str, Case]) -> None:
    found = cases["clean"].finding("checkpoint_time")
    assert found.value is not None
    assert abs(found.value) < 1.0
