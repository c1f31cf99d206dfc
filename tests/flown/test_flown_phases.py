"""Phases follow one another without holes, and say what was done."""

from itertools import pairwise

import numpy as np
import pytest
from flown_flights import (
    NO_PLACES,
    START_S,
    Flying,
    Trace,
    circuits,
    cross_country,
    glider,
    recorded,
    recording_of,
)
from flown_ground import drive, parked, walk

from lubberline.flown.even import even_track
from lubberline.flown.levels import pieces
from lubberline.flown.model import Phase
from lubberline.flown.movements import airborne
from lubberline.flown.phases import phases
from lubberline.recording import Recording, Track


def phases_of(recording: Recording) -> tuple[Phase, ...]:
    even = even_track(recording.track)
    return phases(even, airborne(even, recording.track, NO_PLACES), NO_PLACES)


def names(found: tuple[Phase, ...]) -> list[str]:
    return [one.name for one in found]


def test_a_cross_country_flight_has_all_its_phases_in_order() -> None:
    found = phases_of(recorded(cross_country().trace()))
    flight = ["take-off", "climb", "cruise", "descent", "final", "landing"]
    before, after = ["parked", "taxi", "line-up"], ["taxi-in", "parked"]
    assert names(found) == before + flight + after


@pytest.mark.parametrize("every_s", [0.1, 1.0, 5.0])
def test_cruise_begins_and_ends_where_the_level_does(every_s: float) -> None:
    trace = cross_country().trace()
    found = phases_of(recorded(trace, every_s=every_s))
    cruise = next(one for one in found if one.name == "cruise")
    assert cruise.start_s == pytest.approx(trace.marks["level"][0], abs=25.0)
    assert cruise.end_s == pytest.approx(trace.marks["leaves level"][0], abs=35.0)


@pytest.mark.parametrize(
    "trace", [cross_country().trace(), circuits(2).trace(), glider().trace((10.0, 0.0))]
)
def test_phases_cover_the_recording_without_overlap(trace: Trace) -> None:
    recording = recorded(trace, gaps_s=[(300.0, 380.0)])
    found = phases_of(recording)
    assert found[0].start_s == pytest.approx(recording.track.time_s[0], abs=1.0)
    assert found[-1].end_s == pytest.approx(recording.track.time_s[-1], abs=1.0)
    for earlier, later in pairwise(found):
        assert earlier.end_s == later.start_s
        assert earlier.start_s < earlier.end_s


def test_a_gap_is_a_phase_and_the_cruise_goes_on_after_it() -> None:
    found = phases_of(recorded(cross_country().trace(), gaps_s=[(900.0, 1100.0)]))
    at = names(found).index("gap")
    assert (names(found)[at - 1], names(found)[at + 1]) == ("cruise", "cruise")
    assert found[at].start_s - START_S == pytest.approx(900.0, abs=2.0)
    assert found[at].end_s - START_S == pytest.approx(1100.0, abs=2.0)


def test_a_wavering_height_stays_one_cruise() -> None:
    trace = cross_country().trace()
    level_s = trace.marks["level"][0] - START_S

    def wave_ft(since_s: np.ndarray) -> np.ndarray:
        aloft = (since_s > level_s + 30.0) & (since_s < level_s + 1100.0)
        return np.where(aloft, 180.0 * np.sin((since_s - level_s - 30.0) / 40.0), 0.0)

    found = phases_of(recorded(trace.with_excursion(wave_ft)))
    assert names(found).count("cruise") == 1


def test_two_levels_are_two_cruises() -> None:
    flying = Flying().park(60.0).taxi(30.0).park(20.0).takeoff()
    flying.climb_to(3500.0, kt=90.0, fpm=700.0).piece(400.0)
    flying.climb_to(6500.0, kt=90.0, fpm=600.0).piece(400.0)
    trace = flying.climb_to(1400.0, kt=110.0, fpm=-700.0).land().park(60.0).trace()
    found = phases_of(recorded(trace))
    assert names(found)[3:8] == ["take-off", "climb", "cruise", "climb", "cruise"]


def test_a_touch_and_go_is_a_landing_and_a_take_off() -> None:
    found = names(phases_of(recorded(circuits(2).trace())))
    at = found.index("landing")
    assert found[at + 1] == "take-off"
    assert found.count("landing") == 2


@pytest.mark.parametrize("seed", range(5))
def test_on_the_ground_there_is_only_parked_and_taxi(seed: int) -> None:
    for kind in (drive, walk, parked):
        assert set(names(phases_of(kind(seed)))) <= {"parked", "taxi", "gap"}


def test_a_recorder_that_never_moves_is_parked() -> None:
    still = recorded(Flying().park(600.0).trace())
    assert names(phases_of(still)) == ["parked"]


@pytest.mark.parametrize("count", [0, 1, 2, 5])
def test_a_recording_of_few_samples_is_no_flight_and_no_error(count: int) -> None:
    nothing = np.full(count, 100.0)
    track = Track(
        time_s=START_S + np.arange(float(count)),
        lat_deg=np.full(count, 41.0),
        lon_deg=np.full(count, -131.0),
        gnss_ft=nothing,
        pressure_ft=nothing,
        channels={},
    )
    assert set(names(phases_of(recording_of(track)))) <= {"parked", "taxi"}


def test_a_polyline_keeps_the_corners_and_drops_the_rest() -> None:
    time_s = np.arange(0.0, 101.0)
    height_ft = np.interp(time_s, [0.0, 30.0, 70.0, 100.0], [0.0, 900.0, 900.0, 0.0])
    assert pieces(time_s, height_ft, 1.0) == [0, 30, 70, 100]
    assert pieces(time_s, height_ft, 2000.0) == [0, 100]


def racetrack(halves: int) -> Flying:
    flying = Flying().park(60.0).taxi(30.0).park(20.0).takeoff()
    flying.climb_to(3500.0, kt=90.0, fpm=700.0).piece(200.0).mark("holds")
    for number in range(halves):
        flying.turn(180.0).piece(60.0 if number < halves - 1 else 0.1)
    flying.mark("leaves")
    flying.piece(200.0)
    return flying.climb_to(1400.0, kt=90.0, fpm=-700.0).land().park(60.0)


@pytest.mark.parametrize("halves", [4, 6])
def test_a_holding_is_found_from_its_first_turn_to_its_last(halves: int) -> None:
    trace = racetrack(halves).trace((6.0, 4.0))
    found = [one for one in phases_of(recorded(trace)) if one.name == "holding"]
    assert len(found) == 1
    assert found[0].start_s == pytest.approx(trace.marks["holds"][0], abs=15.0)
    assert found[0].end_s == pytest.approx(trace.marks["leaves"][0], abs=15.0)


@pytest.mark.parametrize(
    "trace",
    [racetrack(2).trace(), glider().trace((10.0, 0.0)), circuits(3).trace()],
    ids=["one lap", "circling", "patterns"],
)
def test_what_is_no_holding_is_none(trace: Trace) -> None:
    assert "holding" not in names(phases_of(recorded(trace)))


def taxied_back() -> Trace:
    """Onto the runway, against it for half a mile, a turn, a wait, and off."""
    flying = Flying(heading_deg=270.0).park(60.0).piece(5.0, kt=20.0).piece(80.0)
    flying.piece(5.0, kt=8.0).turn(180.0, degps=9.0).mark("turned").piece(5.0, kt=0.0)
    flying.park(25.0).mark("rolls").takeoff()
    flying.climb_to(2500.0, kt=90.0, fpm=700.0).piece(300.0)
    return flying.climb_to(1400.0, kt=90.0, fpm=-700.0).land().park(60.0).trace()


def test_who_taxies_back_lines_up_once_it_has_turned() -> None:
    trace = taxied_back()
    found = phases_of(recorded(trace, fix_noise_m=0.5))
    assert names(found)[:4] == ["parked", "taxi", "line-up", "take-off"]
    assert found[2].start_s == pytest.approx(trace.marks["turned"][0], abs=15.0)


def test_a_recording_that_begins_on_the_line_has_no_line_up() -> None:
    trace = Flying().park(60.0).takeoff().climb_to(2500.0, kt=90.0, fpm=700.0).piece(300.0).trace()
    assert "line-up" not in names(phases_of(recorded(trace)))


@pytest.mark.parametrize(
    ("standing_rpm", "run_up"), [(1_800.0, True), (900.0, False), (2_600.0, False)]
)
def test_a_run_up_shows_in_the_engines_speed_alone(standing_rpm: float, run_up: bool) -> None:
    """At idle it is a stop; at full speed, as a rotor turns, it is none either."""
    recording = recorded(cross_country().trace())
    even = even_track(recording.track)
    since_s = even.time_s - START_S
    rpm = np.where(since_s < 400.0, 900.0, 2_700.0)
    stands = (even.steady_kt < 2.0) & (since_s > 15.0) & (since_s < 45.0)
    rpm[stands] = standing_rpm
    flights = airborne(even, recording.track, NO_PLACES)
    found = phases(even, flights, NO_PLACES, engine_rpm=rpm)
    assert ("run-up" in names(found)) is run_up
