"""Other airplanes, runways and days: what nobody expects is debriefed as it was flown."""

from dataclasses import replace

import flown_flights
import numpy as np
import pytest
from flown_flights import recorded
from flown_patterns import Field, Pattern, Speeds
from test_flown_debrief import PRIVATE

from lubberline.flown import Aims, Flown, Measured, debrief
from lubberline.recording import Recording, Track


def judged(pattern: Pattern, recording: Recording) -> Flown:
    return debrief(
        recording, places=pattern.places(), pledge=None, standard=PRIVATE,
        aims=Aims(final_ias_kt=65.0, point_ft=800.0),
    )  # fmt: skip


def value(one: Measured, name: str) -> tuple[float, float]:
    """A finding's value and sigma; NaN where it is not known."""
    found = next(f for f in one.findings if f.limit.key == f"flown.{name}")
    return (np.nan if found.value is None else found.value), found.sigma


RECORDERS = {
    "fine": {"height_noise_ft": 0.1, "fix_noise_m": 0.1},
    "whole feet": {"height_noise_ft": 0.5, "height_step_ft": 1.0, "fix_noise_m": 0.3},
    "3 ft": {},
    "satellites": {
        "pressure_shift_ft": None, "gnss_shift_ft": 100.0, "height_noise_ft": 5.0,
        "fix_noise_m": 3.0,
    },
    "0.2 Hz": {"every_s": 5.0},
    "10 Hz": {"every_s": 0.1},
    "50 Hz": {"every_s": 0.02},
    "25 ft steps": {"height_step_ft": 25.0},
}  # fmt: skip
PLANES = {
    "usual": (Speeds(), Field()),
    "40 kt": (
        Speeds(rotate_kt=32.0, climb_kt=42.0, downwind_kt=48.0, final_kt=38.0, climb_fpm=500.0,
               radius_ft=900.0, spacing_ft=3000.0, path_deg=4.0), Field(length_ft=1600.0),
    ),
    "130 kt": (
        Speeds(rotate_kt=120.0, climb_kt=150.0, downwind_kt=170.0, final_kt=130.0,
               climb_fpm=2000.0, radius_ft=7000.0, spacing_ft=16_000.0, final_ft=16_000.0),
        Field(length_ft=9000.0, pattern_ft=1500.0),
    ),
    "7,000 ft": (
        Speeds(rotate_kt=62.0, climb_kt=85.0, downwind_kt=105.0, final_kt=75.0, climb_fpm=350.0),
        Field(elev_ft=7000.0),
    ),
    "uphill": (Speeds(), Field(slope_fraction=0.02)),
    "downhill": (Speeds(), Field(slope_fraction=-0.02)),
    "long": (Speeds(), Field(length_ft=12_000.0)),
}  # fmt: skip
SIGMAS = 3.0


def series(plane: str) -> Pattern:
    """A touch-and-go, a go-around from 100 ft, a landing."""
    speeds, where = PLANES[plane]
    pattern = Pattern(speeds=speeds, where=where).begin().takeoff().around().touch_and_go()
    return pattern.around().go_around(100.0).around().land().end()


def to_the_runway() -> Pattern:
    return Pattern().begin().takeoff().around()


@pytest.mark.parametrize(
    ("plane", "recorder"),
    [("usual", recorder) for recorder in RECORDERS]
    + [(plane, recorder) for plane in PLANES for recorder in ("fine", "3 ft", "0.2 Hz")],
)
def test_every_movement_is_found_and_none_invented(plane: str, recorder: str) -> None:
    pattern = series(plane)
    flown = judged(pattern, recorded(pattern.trace(), **RECORDERS[recorder]))  # type: ignore[arg-type]
    assert [one.kind for one in flown.measured] == [kind for kind, _, _ in pattern.events]
    assert {one.runway for one in flown.measured} == {"QODD 09R"}
    true_s = [time_s for kind, time_s, _ in pattern.events if kind != "go-around"]
    for one, at_s in zip(flown.movements, true_s, strict=True):
        assert abs(one.time_s - at_s) <= SIGMAS * one.sigma_s


@pytest.mark.parametrize("slope_fraction", [-0.03, -0.01, 0.01, 0.03])
def test_a_sloping_runway_moves_no_touchdown(slope_fraction: float) -> None:
    pattern = Pattern(where=Field(slope_fraction=slope_fraction)).begin().takeoff()
    pattern.around().touch_and_go().around().land().end()
    flown = judged(pattern, recorded(pattern.trace(), **RECORDERS["fine"]))  # type: ignore[arg-type]
    for one, (_, time_s, along_ft) in zip(flown.measured[1:], pattern.events[1:], strict=True):
        assert one.time_s == pytest.approx(time_s, abs=1.0)
        assert value(one, "touchdown_threshold")[0] == pytest.approx(along_ft, abs=50.0)


def test_eight_circuits_are_seven_touches_and_a_landing() -> None:
    pattern = Pattern().begin().takeoff()
    for _ in range(7):
        pattern.around().touch_and_go()
    pattern.around().land().end()
    for name in ("fine", "3 ft", "satellites"):
        flown = judged(pattern, recorded(pattern.trace(), **RECORDERS[name]))  # type: ignore[arg-type]
        assert [one.kind for one in flown.measured] == [kind for kind, _, _ in pattern.events]


@pytest.mark.parametrize("low_ft", [3.0, 8.0, 20.0])
@pytest.mark.parametrize("recorder", ["fine", "whole feet", "3 ft", "satellites", "0.2 Hz"])
def test_a_low_pass_is_no_touch_and_go(low_ft: float, recorder: str) -> None:
    """From a foot or ten above the runway it is not known whether the wheels touched."""
    pattern = to_the_runway().final(until_ft=low_ft + 8.0).mark("go-around").air(low_ft, 3.0)
    pattern.leg(1500.0, kt=pattern.kt - 4.0).climb_away(600.0).around().land().end()
    flown = judged(pattern, recorded(pattern.trace(), **RECORDERS[recorder]))  # type: ignore[arg-type]
    kinds = [one.kind for one in flown.measured]
    assert kinds in (["take-off", "landing"], ["take-off", "go-around", "landing"])
    assert len(kinds) == 3 or any("climbed again" in one for one in flown.account)


@pytest.mark.parametrize("low_ft", [15.0, 30.0, 100.0])
def test_a_low_pass_was_broken_off_where_its_descent_ended(low_ft: float) -> None:
    pattern = to_the_runway().final(until_ft=low_ft + 8.0).mark("go-around").air(low_ft, 3.0)
    pattern.leg(1500.0).climb_away(600.0).around().land().end()
    flown = judged(pattern, recorded(pattern.trace(), **RECORDERS["3 ft"]))  # type: ignore[arg-type]
    (one,) = (one for one in flown.measured if one.kind == "go-around")
    assert one.time_s == pytest.approx(pattern.events[1][1], abs=3.0)


def test_a_go_around_in_the_turn_onto_final_is_one() -> None:
    """Broken off 40 degrees before the line, and flown out along it."""
    pattern = Pattern().begin().takeoff()
    pattern.around()  # the first landing shows where the runway's level is
    pattern.land().roll_to(0.0).stay(30.0).takeoff().around()
    turned_rows = round(np.radians(45.0) * 2000.0 / (65.0 * 1.6878) / 0.1)
    del pattern.rows[-turned_rows:]
    along_ft, north_ft, up_ft = pattern.rows[-1]
    pattern.along_ft, pattern.north_ft, pattern.up_ft = along_ft, north_ft, up_ft
    pattern.true_deg = 135.0
    pattern.leg(800.0, up_ft=280.0, turn_deg=-5.0)
    pattern.mark("go-around").leg(1200.0, up_ft=330.0, turn_deg=-40.0).climb_away(900.0)
    pattern.leg(9000.0, up_ft=1000.0)
    flown = judged(pattern, recorded(pattern.trace()))
    assert [one.kind for one in flown.measured][-1] == "go-around"


def test_a_recording_that_begins_with_a_taxi_came_down_to_nothing() -> None:
    pattern = to_the_runway().land().end()
    flown = judged(pattern, recorded(pattern.trace()))
    assert not any("climbed again" in one for one in flown.account)


@pytest.mark.parametrize("recorder", ["fine", "whole feet", "3 ft", "satellites"])
def test_wheels_that_bounce_have_touched_at_the_first(recorder: str) -> None:
    pattern = to_the_runway().land(end_fps=8.0)
    pattern.air(14.0, 2.0).air(0.0, 2.4).air(5.0, 1.2).air(0.0, 1.2).end()
    flown = judged(pattern, recorded(pattern.trace(), **RECORDERS[recorder]))  # type: ignore[arg-type]
    assert [one.kind for one in flown.measured] == ["take-off", "landing"]
    down = flown.movements[-1]
    assert abs(down.time_s - pattern.events[-1][1]) <= 1.645 * down.sigma_s


def test_a_long_float_is_not_yet_a_landing() -> None:
    pattern = to_the_runway().final()
    pattern.air(2.0, 5.0, kt=62.0).air(1.5, 6.0, kt=54.0).air(0.0, 2.0, kt=52.0).mark("landing")
    flown = judged(pattern.end(), recorded(pattern.trace(), **RECORDERS["fine"]))  # type: ignore[arg-type]
    assert flown.movements[-1].time_s == pytest.approx(pattern.events[-1][1], abs=2.0)


def without(recording: Recording, from_s: float, to_s: float) -> Recording:
    """The same with nothing recorded between two moments."""
    track = recording.track
    kept = (track.time_s < from_s) | (track.time_s > to_s)
    columns = {name: getattr(track, name)[kept] for name in COLUMNS}
    return replace(recording, track=Track(**columns, channels={}))


COLUMNS = ("time_s", "lat_deg", "lon_deg", "gnss_ft", "pressure_ft")


def test_a_recording_that_begins_aloft_keeps_its_touch_and_go() -> None:
    pattern = series("usual")
    cut = without(recorded(pattern.trace()), 0.0, pattern.events[0][1] + 30.0)
    found = [one.kind for one in judged(pattern, cut).measured]
    assert found == ["touch-and-go", "go-around", "landing"]


def test_what_a_gap_hides_is_no_go_around() -> None:
    pattern = series("usual")
    touch_s = pattern.events[1][1]
    flown = judged(pattern, without(recorded(pattern.trace()), touch_s - 20.0, touch_s + 25.0))
    assert [one.kind for one in flown.measured] == ["take-off", "go-around", "landing"]
    assert flown.measured[1].time_s == pytest.approx(pattern.events[2][1], abs=3.0)
    assert any("climbed again" in one for one in flown.account)


def test_a_touchdown_in_a_gap_is_as_doubtful_as_the_gap() -> None:
    pattern = to_the_runway().land().end()
    down_s = pattern.events[-1][1]
    cut = without(recorded(pattern.trace(), **RECORDERS["fine"]), down_s - 4.0, down_s + 4.0)  # type: ignore[arg-type]
    down = judged(pattern, cut).movements[-1]
    assert abs(down.time_s - down_s) <= 1.645 * down.sigma_s
    assert down.sigma_s >= 8.0 / np.sqrt(12.0)


@pytest.mark.parametrize("drift_ftph", [-60.0, 30.0])
def test_a_drift_of_the_pressure_hides_no_touch(drift_ftph: float) -> None:
    pattern = Pattern().begin().takeoff()
    for _ in range(4):
        pattern.around().touch_and_go()
    recording = recorded(pattern.around().land().end().trace(), pressure_shift_ft=27.0)
    hours = (recording.track.time_s - recording.track.time_s[0]) / 3600.0
    track = replace(recording.track, pressure_ft=recording.track.pressure_ft + drift_ftph * hours)
    flown = judged(pattern, replace(recording, track=track))
    assert [one.kind for one in flown.measured] == [kind for kind, _, _ in pattern.events]


@pytest.mark.parametrize(("lat_deg", "lon_deg"), [(41.0, 179.99), (70.0, 20.0), (-45.0, -179.97)])
def test_date_line_high_and_southern_latitudes_move_nothing(
    lat_deg: float, lon_deg: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(flown_flights, "LAT_DEG", lat_deg)
    monkeypatch.setattr(flown_flights, "LON_DEG", lon_deg)
    pattern = series("usual")
    recording = recorded(pattern.trace(), **RECORDERS["fine"])  # type: ignore[arg-type]
    east_deg = (recording.track.lon_deg + 180.0) % 360.0 - 180.0
    flown = judged(pattern, replace(recording, track=replace(recording.track, lon_deg=east_deg)))
    assert [one.kind for one in flown.measured] == [kind for kind, _, _ in pattern.events]
    for one, (kind, _, along_ft) in zip(flown.measured, pattern.events, strict=True):
        if kind in ("touch-and-go", "landing"):
            assert value(one, "touchdown_threshold")[0] == pytest.approx(along_ft, abs=50.0)


def test_of_two_parallel_runways_it_is_the_one_under_the_wheels() -> None:
    pattern = series("usual")
    flown = debrief(
        recorded(pattern.trace()), places=pattern.places(beside_ft=(0.0, 300.0)), pledge=None,
        standard=PRIVATE,
    )  # fmt: skip
    assert {one.runway for one in flown.measured} == {"QODD 09R"}


def hover() -> Pattern:
    """Up into a hover, once around, down into a hover, and set down."""
    pattern = Pattern(speeds=Speeds(climb_fpm=500.0)).stay(60.0).air(5.0, 4.0).air(5.0, 20.0)
    pattern.air(10.0, 10.0, kt=40.0).air(300.0, 40.0, kt=75.0).around().final(until_ft=100.0)
    pattern.air(20.0, 25.0, kt=15.0).air(5.0, 10.0, kt=0.0).air(5.0, 20.0).air(0.0, 4.0)
    return pattern.stay(90.0)


def test_an_arrival_in_a_hover_has_no_roll_to_measure() -> None:
    pattern = hover()
    flown = judged(pattern, recorded(pattern.trace()))
    assert [one.kind for one in flown.measured] == ["take-off", "landing"]
    assert np.isnan(value(flown.measured[-1], "rollout")[0])
    assert np.isnan(value(flown.measured[-1], "braking")[0])
