"""Take-offs and landings are found where they were, and never where there was none."""

from collections.abc import Callable

import numpy as np
import pytest
from flown_flights import (
    NO_PLACES,
    START_S,
    Flying,
    aerodrome,
    circuits,
    cross_country,
    glider,
    places_with,
    recorded,
)
from flown_ground import drive, highway, parked, train, walk

from lubberline.flown.even import even_track
from lubberline.flown.liftoff import liftoff, touchdown
from lubberline.flown.model import Movement
from lubberline.flown.movements import airborne
from lubberline.places import Places
from lubberline.recording import Recording


def movements(recording: Recording, places: Places = NO_PLACES) -> list[Movement]:
    flights = airborne(even_track(recording.track), recording.track, places)
    return [one for flight in flights for one in flight.movements]


def since_start(found: list[Movement]) -> list[tuple[str, float]]:
    return [(one.kind, one.time_s - START_S) for one in found]


RECORDERS = {
    "1 Hz pressure": {},
    "10 Hz": {"every_s": 0.1},
    "50 Hz": {"every_s": 0.02},
    "0.2 Hz": {"every_s": 5.0},
    "one meter steps": {"height_step_ft": 3.28084, "time_step_s": 1.0},
    "25 ft steps": {"height_step_ft": 25.0},
    "satellites only": {
        "pressure_shift_ft": None,
        "gnss_shift_ft": 80.0,
        "height_noise_ft": 10.0,
        "fix_noise_m": 4.0,
    },
    "satellites at 0.5 Hz": {
        "every_s": 2.0,
        "pressure_shift_ft": None,
        "gnss_shift_ft": -90.0,
        "height_noise_ft": 10.0,
    },
}


@pytest.mark.parametrize("recorder", RECORDERS)
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_liftoff_and_touchdown_are_timed_within_a_few_seconds(recorder: str, seed: int) -> None:
    trace = cross_country(cruise_s=300.0).trace()
    found = movements(recorded(trace, seed=seed, **RECORDERS[recorder]))  # type: ignore[arg-type]
    assert [one.kind for one in found] == ["take-off", "landing"]
    for one in found:
        off_s = one.time_s - trace.marks[one.kind][0]
        assert abs(off_s) <= 4.0
        assert abs(off_s) <= 3.0 * one.sigma_s
        assert one.sigma_s <= 5.0


def test_the_stated_doubt_of_a_moment_covers_what_it_says() -> None:
    trace = cross_country(cruise_s=200.0).trace()
    hits = []
    for seed in range(40):
        for one in movements(recorded(trace, seed=seed, height_noise_ft=5.0)):
            hits.append(abs(one.time_s - trace.marks[one.kind][0]) <= 1.645 * one.sigma_s)
    assert np.mean(hits) >= 0.9


@pytest.mark.parametrize("kind", [drive, highway, walk, parked, train])
def test_no_flight_is_invented_over_seeded_recordings_on_the_ground(
    kind: Callable[[int], Recording],
) -> None:
    for seed in range(40):
        track = kind(seed).track
        assert airborne(even_track(track), track, NO_PLACES) == (), f"{kind.__name__}, {seed}"


def test_a_take_off_that_is_broken_off_is_none() -> None:
    flying = Flying().park(60.0).taxi(60.0).park(10.0)
    trace = flying.piece(18.0, kt=55.0).piece(15.0, kt=5.0).taxi(100.0).park(60.0).trace()
    assert movements(recorded(trace)) == []


def test_a_low_pass_is_not_a_landing() -> None:
    flying = Flying().park(60.0).taxi(30.0).park(20.0).takeoff()
    flying.climb_to(1400.0, kt=80.0, fpm=700.0).turn(180.0).piece(120.0).turn(180.0)
    flying.piece(10.0, kt=70.0, fpm=-500.0)
    flying.piece((500.0 - flying.height_ft) / -500.0 * 60.0).piece(5.0, kt=75.0, fpm=0.0)
    flying.piece(10.0).piece(5.0, kt=80.0, fpm=700.0).piece(40.0)
    flying.turn(180.0).climb_to(1400.0, kt=80.0, fpm=-300.0).piece(100.0).turn(180.0).piece(20.0)
    trace = flying.land().taxi(60.0).park(60.0).trace()
    assert [one.kind for one in movements(recorded(trace))] == ["take-off", "landing"]


def test_touch_and_goes_are_found_between_take_off_and_landing() -> None:
    trace = circuits(3).trace()
    found = movements(recorded(trace))
    assert [one.kind for one in found] == ["take-off", "touch-and-go", "touch-and-go", "landing"]
    for one, truth_s in zip(found[1:3], trace.marks["touch-and-go"], strict=True):
        assert abs(one.time_s - truth_s) <= 2.0 * one.sigma_s


def test_with_rough_heights_a_touch_and_go_is_not_claimed() -> None:
    rough = recorded(circuits(2).trace(), height_noise_ft=12.0)
    assert [one.kind for one in movements(rough)] == ["take-off", "landing"]


@pytest.mark.parametrize("wind_kt", [(0.0, 0.0), (10.0, 5.0), (25.0, 0.0)])
@pytest.mark.parametrize("every_s", [1.0, 4.0])
def test_a_glider_flight_has_one_take_off_and_one_landing(
    wind_kt: tuple[float, float], every_s: float
) -> None:
    trace = glider().trace(wind_kt)
    found = movements(recorded(trace, every_s=every_s, height_step_ft=3.28084))
    assert [one.kind for one in found] == ["take-off", "landing"]
    for one in found:
        assert abs(one.time_s - trace.marks[one.kind][0]) <= 5.0


def test_standing_in_wave_is_no_landing() -> None:
    flying = glider(before_landing=lambda one: one.piece(10.0, kt=26.0, fpm=0.0).piece(90.0))
    found = movements(recorded(flying.trace((25.0, 0.0))))
    assert [one.kind for one in found] == ["take-off", "landing"]


def test_a_recording_that_begins_and_ends_in_the_air_has_no_movement() -> None:
    trace = cross_country().trace()
    aloft = recorded(trace, gaps_s=[(0.0, 500.0), (1900.0, 9e9)])
    assert movements(aloft) == []
    assert airborne(even_track(aloft.track), aloft.track, NO_PLACES)


def test_a_recording_that_begins_in_the_air_has_the_landing_alone() -> None:
    trace = cross_country().trace()
    found = movements(recorded(trace, gaps_s=[(0.0, 500.0)]))
    assert [one.kind for one in found] == ["landing"]
    assert found[0].time_s == pytest.approx(trace.marks["landing"][0], abs=4.0)


def test_a_take_off_in_a_gap_is_not_timed() -> None:
    trace = cross_country().trace()
    at_s = trace.marks["take-off"][0] - START_S
    found = movements(recorded(trace, gaps_s=[(at_s - 20.0, at_s + 30.0)]))
    assert [one.kind for one in found] == ["landing"]


def test_a_gap_in_flight_leaves_both_ends() -> None:
    trace = cross_country().trace()
    found = movements(recorded(trace, gaps_s=[(700.0, 1000.0)]))
    assert [one.kind for one in found] == ["take-off", "landing"]


def test_two_flights_in_one_recording_are_two() -> None:
    flying = cross_country(cruise_s=100.0)
    flying.taxi(60.0).park(30.0).takeoff().climb_to(2000.0, kt=80.0, fpm=700.0)
    flying.piece(100.0, kt=100.0).climb_to(1400.0, kt=90.0, fpm=-500.0)
    trace = flying.land().taxi(30.0).park(60.0).trace()
    kinds = [one.kind for one in movements(recorded(trace))]
    assert kinds == ["take-off", "landing", "take-off", "landing"]


def test_without_heights_nothing_is_claimed() -> None:
    trace = cross_country().trace()
    assert movements(recorded(trace, pressure_shift_ft=None, gnss_shift_ft=None)) == []


def test_aerodrome_and_runway_are_those_under_the_movement() -> None:
    trace = cross_country(cruise_s=300.0).trace()
    k = int(np.argmin(np.abs(trace.time_s - trace.marks["take-off"][0])))
    here = aerodrome("QAAA", float(trace.east_nm[k]), 0.0)
    across = aerodrome("QCCC", float(trace.east_nm[k]), 2.0)
    found = movements(recorded(trace), places_with(across, here))
    assert (found[0].aerodrome_id, found[0].runway) == ("QAAA", "09")
    assert (found[1].aerodrome_id, found[1].runway) == (None, None)


def test_a_runway_across_the_roll_is_not_the_one_in_use() -> None:
    trace = cross_country(cruise_s=300.0).trace()
    k = int(np.argmin(np.abs(trace.time_s - trace.marks["take-off"][0])))
    across = aerodrome("QAAA", float(trace.east_nm[k]), 0.0, true_deg=140.0)
    found = movements(recorded(trace), places_with(across))
    assert (found[0].aerodrome_id, found[0].runway) == ("QAAA", None)


@pytest.mark.parametrize("rounding_s", [0.0, 3.0, 6.0])
def test_a_bend_without_noise_is_found_exactly(rounding_s: float) -> None:
    time_s = np.arange(0.0, 40.0)
    after_s = np.maximum(time_s - 20.0, 0.0)
    inside_s = np.minimum(after_s, rounding_s)
    gained_s = inside_s**2 / (2.0 * max(rounding_s, 1.0)) + after_s - inside_s
    found = liftoff(time_s, 500.0 + 10.0 * gained_s, earliest_s=5.0, latest_s=38.0)
    assert found is not None
    assert found.time_s == pytest.approx(20.0, abs=0.6)


def test_touchdown_is_liftoff_backward() -> None:
    time_s = np.arange(0.0, 40.0)
    height_ft = 500.0 + 10.0 * np.maximum(20.0 - time_s, 0.0)
    found = touchdown(time_s, height_ft, earliest_s=2.0, latest_s=35.0)
    assert found is not None
    assert found.time_s == pytest.approx(20.0, abs=0.3)


@pytest.mark.parametrize("height_ft", [np.zeros(0), np.zeros(3), np.full(40, np.nan)])
def test_too_few_heights_give_no_moment(height_ft: np.ndarray) -> None:
    time_s = np.arange(float(height_ft.size))
    assert liftoff(time_s, height_ft, earliest_s=0.0, latest_s=30.0) is None
