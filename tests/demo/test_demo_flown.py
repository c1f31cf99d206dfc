"""What the debrief finds in the invented flights, held to what really happened in them."""

import numpy as np
import pytest
from demo_cases import Case

from lubberline.air import wind_east_north_kt
from lubberline.line import Finding, Verdict
from lubberline.weather import wind_at


def outside(cases: dict[str, Case], name: str) -> set[str]:
    """The faults with which this finding is outside its limit."""
    return {fault for fault, case in cases.items() if case.finding(name).verdict is Verdict.OUTSIDE}


def value(found: Finding) -> float:
    assert found.value is not None
    return found.value


def test_one_take_off_and_one_landing_are_found_and_nothing_else(case: Case) -> None:
    kinds = [move.kind for move in case.flown.movements]
    assert kinds == ["take-off", "landing"]


def test_the_runways_are_those_that_were_used(case: Case) -> None:
    found = [(move.aerodrome_id, move.runway) for move in case.flown.movements]
    assert found == [(end.aerodrome.id, end.end.name) for end in case.ends]


def test_movements_are_timed_within_3_s_and_their_doubt(case: Case) -> None:
    off_block_s = case.plan.flight.off_block_utc.timestamp()
    truths_s = (case.truth.liftoff_s, case.truth.touchdown_s)
    for move, truth_s in zip(case.flown.movements, truths_s, strict=True):
        assert abs(move.time_s - off_block_s - truth_s) <= 3.0 + move.sigma_s
        assert move.sigma_s < 5.0


def test_the_worst_height_in_cruise_is_found_within_15_ft(pressure_case: Case) -> None:
    found_ft = value(pressure_case.finding("cruise_height_worst"))
    assert abs(found_ft) == pytest.approx(abs(pressure_case.truth.cruise_worst_ft), abs=15.0)


def test_satellite_heights_find_it_within_their_doubt(cases: dict[str, Case]) -> None:
    case = cases["clean"]
    found = case.finding("cruise_height_worst")
    assert abs(value(found)) == pytest.approx(
        abs(case.truth.cruise_worst_ft), abs=max(found.sigma, 20.0)
    )


def test_a_clean_flight_has_nothing_outside(cases: dict[str, Case]) -> None:
    assert [
        one.limit.key for one in cases["clean"].flown.findings if one.verdict is Verdict.OUTSIDE
    ] == []


def test_only_the_late_take_off_is_late_and_makes_the_arrival_later(
    cases: dict[str, Case],
) -> None:
    assert outside(cases, "takeoff_time") == {"late take-off"}
    late, clean = cases["late take-off"], cases["clean"]
    assert value(late.finding("takeoff_time")) == pytest.approx(6.0, abs=0.1)
    assert value(late.finding("arrival_time")) > value(clean.finding("arrival_time")) + 5.0
    assert "late take-off" in outside(cases, "arrival_time")
    assert "late take-off" not in outside(cases, "enroute_time")


def test_only_the_fast_final_is_fast(cases: dict[str, Case]) -> None:
    fault = "late start-down, fast final"
    assert outside(cases, "approach_airspeed") == {fault}
    assert value(cases[fault].finding("approach_airspeed")) == pytest.approx(9.0, abs=3.0)


def test_the_late_start_down_is_steep(cases: dict[str, Case]) -> None:
    steepest_fpm = {
        fault: float(np.diff(case.truth.msl_ft).min() * 60.0) for fault, case in cases.items()
    }
    assert min(steepest_fpm, key=lambda fault: steepest_fpm[fault]) == "late start-down, fast final"


def test_only_the_weave_shows_in_the_course(cases: dict[str, Case]) -> None:
    assert outside(cases, "course_worst") == {"weaving track"}
    assert outside(cases, "course_rms") == {"weaving track"}


def test_the_wrong_level_and_the_swings_break_100_ft(cases: dict[str, Case]) -> None:
    assert outside(cases, "cruise_height_worst") == {"wrong level held", "growing height swings"}
    assert value(cases["wrong level held"].finding("cruise_height_worst")) > 140.0


def test_the_swings_grow(cases: dict[str, Case]) -> None:
    truth = cases["growing height swings"].truth
    cruise = (truth.time_s > truth.liftoff_s + 240.0) & (truth.time_s < truth.touchdown_s - 600.0)
    first_ft, _, last_ft = np.array_split(np.abs(truth.msl_ft[cruise] - 3_500.0), 3)
    assert 20.0 < first_ft.max() < 0.5 * last_ft.max() < 100.0


def test_the_winds_found_are_those_that_blew(case: Case) -> None:
    """Each within twice its doubt; where heading and airspeed were recorded there are some."""
    aloft = case.plan.weather.aloft
    for wind in case.flown.winds:
        from_true_deg, wind_kt, _ = wind_at(aloft, wind.msl_ft)
        if wind.msl_ft < aloft.msl_ft[0]:
            continue  # near the ground the reports of the fields blend in
        east, north = wind_east_north_kt(wind.from_true_deg, wind.wind_kt)
        true_east, true_north = wind_east_north_kt(from_true_deg, wind_kt)
        assert np.hypot(east - true_east, north - true_north) < 2.0 * wind.sigma_kt
    channels = case.recording.track.channels
    assert bool(case.flown.winds) >= ({"ias_kt", "heading_mag_deg"} <= set(channels))
