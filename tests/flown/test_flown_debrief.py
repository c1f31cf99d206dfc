"""The whole debrief: one value with everything, from any recording, pledge or none."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from flown_flights import (
    NO_PLACES,
    START_S,
    Trace,
    circuits,
    cross_country,
    glider,
    pledge_of,
    recorded,
    recording_of,
)
from flown_ground import drive, parked, walk

from lubberline.flown import Flown, debrief, read_standard
from lubberline.flown.even import even_track
from lubberline.flown.movements import airborne
from lubberline.line import Finding, Verdict
from lubberline.recording import Gap, Recording, Track

STANDARDS = Path(__file__).parents[2] / "src" / "lubberline" / "demo" / "files" / "standards"
PRIVATE = read_standard(STANDARDS / "private.toml")
TRACE = cross_country(cruise_s=600.0).trace()
ALWAYS = [
    *("takeoff_time", "arrival_time", "enroute_time", "block_time", "checkpoint_time"),
    *("cruise_height_worst", "cruise_height_rms", "course_worst", "course_rms"),
    *("track_distance", "approach_airspeed", "fuel_used"),
]


def judged(recording: Recording, trace: Trace | None = None) -> Flown:
    pledge = None if trace is None else pledge_of(trace)
    return debrief(recording, places=NO_PLACES, pledge=pledge, standard=PRIVATE)


def named(flown: Flown) -> dict[str, Finding]:
    return {one.limit.key.removeprefix("flown."): one for one in flown.findings}


@pytest.mark.parametrize("recording", [recorded(TRACE), drive(1), walk(1), parked(1)])
def test_the_same_findings_are_there_whatever_the_recording(recording: Recording) -> None:
    for trace in (None, TRACE):
        assert list(named(judged(recording, trace)))[: len(ALWAYS)] == ALWAYS


def test_without_a_pledge_nothing_is_inside_by_silence() -> None:
    flown = judged(recorded(TRACE))
    pledged = flown.findings[: len(ALWAYS)]
    assert {one.verdict for one in pledged} == {Verdict.UNKNOWN}
    assert all(one.missing for one in pledged)
    assert len(flown.movements) == 2


def test_a_recording_without_a_flight_says_so() -> None:
    flown = judged(drive(2), TRACE)
    assert flown.movements == ()
    assert flown.account[0].startswith("Nothing in the recording shows a flight")
    assert {one.verdict for one in flown.findings} == {Verdict.UNKNOWN}


def test_the_track_to_draw_has_the_heights_that_were_judged() -> None:
    track = judged(recorded(TRACE), TRACE).track
    true_ft = np.interp(track.time_s, TRACE.time_s, TRACE.msl_ft)
    assert track.indicated_ft == pytest.approx(true_ft, abs=15.0)
    takeoff_s, landing_s = TRACE.marks["take-off"][0], TRACE.marks["landing"][0]
    assert track.time_s[[0, -1]] == pytest.approx([takeoff_s, landing_s], abs=3.0)


def test_nothing_is_drawn_of_a_recording_without_a_flight() -> None:
    assert judged(drive(2), TRACE).track.time_s.size == 0


def test_airspeed_is_never_taken_from_ground_speed() -> None:
    found = named(judged(recorded(TRACE), TRACE))["approach_airspeed"]
    assert found.verdict is Verdict.UNKNOWN
    assert "ground speed is none" in found.missing


def with_ias(offset_kt: float) -> Recording:
    """The flight with an airspeed channel that reads 65 kt, and so much more late on final."""
    recording = recorded(TRACE)
    late = recording.track.time_s > TRACE.marks["landing"][0] - 40.0
    ias_kt = np.where(late, 65.0 + offset_kt, 65.0)
    return replace(recording, track=replace(recording.track, channels={"ias_kt": ias_kt}))


@pytest.mark.parametrize(
    ("offset_kt", "verdict"),
    [(0.0, Verdict.INSIDE), (7.0, Verdict.CLOSE), (12.0, Verdict.OUTSIDE), (-9.0, Verdict.OUTSIDE)],
)
def test_recorded_airspeed_on_final_is_judged_against_the_speed_aimed_at(
    offset_kt: float, verdict: Verdict
) -> None:
    flown = debrief(
        with_ias(offset_kt),
        places=NO_PLACES,
        pledge=pledge_of(TRACE),
        standard=PRIVATE,
        approach_ias_kt=65.0,
    )
    found = named(flown)["approach_airspeed"]
    assert found.value == pytest.approx(offset_kt)
    assert found.verdict is verdict
    assert found.limit.source == "FAA-S-ACS-6C, PA.IV.B.S7"


def test_without_the_speed_aimed_at_recorded_airspeed_is_unknown() -> None:
    found = named(judged(with_ias(0.0), TRACE))["approach_airspeed"]
    assert found.verdict is Verdict.UNKNOWN
    assert "aimed at" in found.missing


def test_gaps_that_the_recording_names_are_phases() -> None:
    recording = recorded(TRACE)
    at = int(np.searchsorted(recording.track.time_s, START_S + 800.0))
    start_s, end_s = (float(recording.track.time_s[k]) for k in (at, at + 1))
    gap = Gap(start_s=start_s, end_s=end_s, reason="new segment")
    flown = judged(replace(recording, gaps=(gap,)), TRACE)
    said = [one for one in flown.phases if one.name == "gap"]
    assert len(said) == 1
    assert said[0].start_s == pytest.approx(start_s, abs=1.0)
    assert said[0].end_s == pytest.approx(end_s, abs=1.0)
    assert [one.kind for one in flown.movements] == ["take-off", "landing"]


def test_a_flight_through_many_short_gaps_is_one_flight_in_pieces() -> None:
    gaps = [(float(s), float(s) + 40.0) for s in range(420, 1100, 100)]
    recording = recorded(TRACE, gaps_s=gaps)
    flown = judged(recording, TRACE)
    assert [one.kind for one in flown.movements] == ["take-off", "landing"]
    between = {
        one.name
        for one in flown.phases
        if flown.movements[0].time_s < one.start_s < flown.movements[1].time_s - 60.0
    }
    assert not between & {"parked", "taxi"}


def test_a_slow_glider_goes_on_after_a_short_gap() -> None:
    trace = glider().trace((10.0, 0.0))
    recording = recorded(trace, gaps_s=[(400.0, 460.0), (800.0, 860.0)])
    flights = airborne(even_track(recording.track), recording.track, NO_PLACES)
    assert len(flights) == 3


@pytest.mark.parametrize("count", [0, 1, 2, 30])
@pytest.mark.parametrize("known", [True, False])
def test_a_recording_of_little_is_debriefed_without_error(count: int, known: bool) -> None:
    column = np.full(count, 100.0 if known else np.nan)
    track = Track(
        time_s=START_S + np.arange(float(count)),
        lat_deg=np.full(count, 41.0) if known else column,
        lon_deg=np.full(count, -131.0) if known else column,
        gnss_ft=column,
        pressure_ft=column,
        channels={},
    )
    flown = judged(recording_of(track), TRACE)
    assert flown.movements == ()
    assert list(named(flown)) == ALWAYS


@pytest.mark.parametrize("every_s", [0.02, 0.2, 1.0, 5.0, 10.0])
def test_findings_do_not_depend_on_the_recorder(every_s: float) -> None:
    found = named(judged(recorded(TRACE, every_s=every_s), TRACE))
    assert found["arrival_time"].value == pytest.approx(0.0, abs=0.1)
    assert found["cruise_height_worst"].value == pytest.approx(0.0, abs=12.0)
    assert found["course_worst"].value == pytest.approx(0.0, abs=1.5)
    assert found["track_distance"].value == pytest.approx(0.0, abs=0.03)


def test_a_recording_of_circuits_counts_its_movements() -> None:
    flown = judged(recorded(circuits(3).trace()))
    assert "1 take-off, 2 touch-and-go, 1 landing" in flown.account[0]
