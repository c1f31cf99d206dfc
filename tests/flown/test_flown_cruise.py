"""Height and course held: the excursions that were flown, and doubt that covers the truth."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from flown_flights import (
    NO_PLACES,
    START_S,
    Flying,
    Trace,
    aerodrome,
    cross_country,
    places_with,
    pledge_of,
    recorded,
)

from lubberline.flight import Pledge
from lubberline.flown import Standard, debrief, read_standard
from lubberline.flown.cruise import root_mean_square
from lubberline.line import Finding, Verdict
from lubberline.places import Places
from lubberline.recording import Recording

STANDARDS = Path(__file__).parents[2] / "src" / "lubberline" / "demo" / "files" / "standards"
TRACE = cross_country(cruise_s=1200.0).trace()
LEVEL_S = TRACE.marks["level"][0] - START_S
LEAVES_S = TRACE.marks["leaves level"][0] - START_S


@pytest.fixture(scope="module")
def private() -> Standard:
    return read_standard(STANDARDS / "private.toml")


def held(
    recording: Recording,
    standard: Standard,
    pledge: Pledge | None = None,
    places: Places = NO_PLACES,
) -> dict[str, Finding]:
    pledge = pledge_of(TRACE) if pledge is None else pledge
    flown = debrief(recording, places=places, pledge=pledge, standard=standard)
    return {one.limit.key.removeprefix("flown."): one for one in flown.findings}


def wave(size_ft: float, period_s: float, offset_ft: float = 0.0) -> Trace:
    """A sine in the middle of the cruise, faded in and out over a minute, on an offset."""

    def shape_ft(since_s: np.ndarray) -> np.ndarray:
        fade = np.clip((since_s - LEVEL_S - 30.0) / 60.0, 0.0, 1.0)
        fade *= np.clip((LEAVES_S - 30.0 - since_s) / 60.0, 0.0, 1.0)
        return fade * (offset_ft + size_ft * np.sin(2.0 * np.pi * since_s / period_s))

    return TRACE.with_excursion(shape_ft)


def value(finding: Finding) -> float:
    assert finding.value is not None
    return finding.value


@pytest.mark.parametrize("every_s", [0.1, 1.0, 5.0])
@pytest.mark.parametrize("size_ft", [40.0, 120.0, 260.0])
@pytest.mark.parametrize("period_s", [80.0, 150.0])
def test_a_sine_excursion_is_measured_within_ten_feet(
    private: Standard, every_s: float, size_ft: float, period_s: float
) -> None:
    found = held(recorded(wave(size_ft, period_s), every_s=every_s), private)
    assert abs(value(found["cruise_height_worst"])) == pytest.approx(size_ft, abs=10.0)
    assert value(found["cruise_height_rms"]) == pytest.approx(size_ft / np.sqrt(2.0), abs=10.0)


@pytest.mark.parametrize("height_step_ft", [3.28084, 10.0, 25.0])
def test_rounded_heights_change_it_little(private: Standard, height_step_ft: float) -> None:
    recording = recorded(wave(120.0, 150.0), height_step_ft=height_step_ft)
    worst = held(recording, private)["cruise_height_worst"]
    assert abs(value(worst)) == pytest.approx(120.0, abs=10.0)


def test_the_side_of_the_excursion_is_in_its_sign(private: Standard) -> None:
    low = held(recorded(wave(60.0, 150.0, offset_ft=-90.0)), private)["cruise_height_worst"]
    assert value(low) == pytest.approx(-150.0, abs=10.0)
    high = held(recorded(wave(60.0, 150.0, offset_ft=90.0)), private)["cruise_height_worst"]
    assert value(high) == pytest.approx(150.0, abs=10.0)


def test_an_excursion_in_the_middle_of_the_cruise_is_never_left_out(private: Standard) -> None:
    def lost_ft(since_s: np.ndarray) -> np.ndarray:
        middle_s = (LEVEL_S + LEAVES_S) / 2.0
        return -700.0 * np.exp(-(((since_s - middle_s) / 100.0) ** 2))

    found = held(recorded(TRACE.with_excursion(lost_ft)), private)
    assert value(found["cruise_height_worst"]) == pytest.approx(-700.0, abs=10.0)
    assert found["cruise_height_worst"].verdict is Verdict.OUTSIDE


def test_the_first_and_last_minute_are_left_out(private: Standard) -> None:
    def settling_ft(since_s: np.ndarray) -> np.ndarray:
        early = (since_s > LEVEL_S) & (since_s < LEVEL_S + 35.0)
        late = (since_s > LEAVES_S - 35.0) & (since_s < LEAVES_S)
        return np.where(early | late, 150.0, 0.0)

    worst = held(recorded(TRACE.with_excursion(settling_ft)), private)["cruise_height_worst"]
    assert abs(value(worst)) < 20.0


def test_a_cruise_at_the_wrong_height_is_judged_and_outside(private: Standard) -> None:
    pledge = pledge_of(TRACE, cruise_msl_ft=6500.0)
    worst = held(recorded(TRACE), private, pledge)["cruise_height_worst"]
    assert value(worst) == pytest.approx(-2000.0, abs=20.0)
    assert worst.verdict is Verdict.OUTSIDE


def test_a_level_held_300_ft_low_to_the_end_is_judged_to_the_end(private: Standard) -> None:
    def low_ft(since_s: np.ndarray) -> np.ndarray:
        return np.where(
            (since_s > LEVEL_S + 300.0) & (since_s < LEAVES_S),
            -np.clip((since_s - LEVEL_S - 300.0) * 5.0, 0.0, 300.0),
            0.0,
        )

    found = held(recorded(TRACE.with_excursion(low_ft)), private)["cruise_height_worst"]
    assert value(found) == pytest.approx(-300.0, abs=10.0)
    assert "inside for 2" in found.note


def test_the_same_flight_is_inside_for_one_standard_and_outside_for_another(
    private: Standard,
) -> None:
    recording = recorded(wave(150.0, 150.0))
    commercial = read_standard(STANDARDS / "commercial.toml")
    loose = held(recording, private)["cruise_height_worst"]
    tight = held(recording, commercial)["cruise_height_worst"]
    assert loose.verdict is Verdict.INSIDE
    assert tight.verdict is Verdict.OUTSIDE
    assert loose.limit.source == "FAA-S-ACS-6C, PA.VI.A.S7"
    assert tight.limit.source == "FAA-S-ACS-7B, CA.VI.A.S7"
    assert tight.limit.basis == "standard"


def test_near_the_tolerance_the_doubt_makes_it_close(private: Standard) -> None:
    worst = held(recorded(wave(180.0, 150.0)), private)["cruise_height_worst"]
    assert worst.verdict is Verdict.CLOSE


def test_spread_is_judged_by_half_the_tolerance_unless_the_standard_says_otherwise(
    private: Standard,
) -> None:
    recording = recorded(wave(100.0, 150.0))
    spread = held(recording, private)["cruise_height_rms"]
    assert (spread.limit.high, spread.limit.basis) == (100.0, "own")
    own = held(recording, read_standard(STANDARDS / "own.toml"))["cruise_height_rms"]
    assert (own.limit.high, own.limit.source) == (40.0, "own standard, cruise")


def test_a_standard_without_the_measure_keeps_the_value_but_gives_no_verdict(
    private: Standard,
) -> None:
    bare = Standard(name="bare", document="bare", read_on="2026-11-25", tolerances={})
    worst = held(recorded(wave(100.0, 150.0)), bare)["cruise_height_worst"]
    assert worst.verdict is Verdict.UNKNOWN
    assert abs(value(worst)) == pytest.approx(100.0, abs=10.0)
    assert "cruise_height_ft" in worst.missing


def test_satellite_heights_leave_the_cruise_in_doubt(private: Standard) -> None:
    recording = recorded(wave(100.0, 150.0), pressure_shift_ft=None, gnss_shift_ft=0.0)
    assert held(recording, private)["cruise_height_worst"].verdict is Verdict.CLOSE


def test_without_a_known_height_course_is_judged_and_height_is_not(private: Standard) -> None:
    pledge = pledge_of(TRACE, settings_inhg=(None, None))
    found = held(recorded(TRACE), private, pledge)
    assert found["cruise_height_worst"].verdict is Verdict.UNKNOWN
    assert found["course_worst"].verdict is Verdict.INSIDE


def test_too_short_a_cruise_is_not_judged(private: Standard) -> None:
    trace = cross_country(cruise_s=20.0).trace()
    found = held(recorded(trace), private, pledge_of(trace))
    assert found["cruise_height_worst"].verdict is Verdict.UNKNOWN
    assert "level cruise" in found["cruise_height_worst"].missing


def dogleg(off_deg: float) -> tuple[Recording, Pledge]:
    """Cruise in which the track swings off by some degrees for two minutes and back."""
    flying = Flying().park(60.0).mark("off block").taxi(60.0).park(20.0)
    flying.takeoff().climb_to(4500.0, kt=90.0, fpm=700.0).piece(20.0, kt=110.0).piece(300.0)
    planned = flying.elapsed_s
    flying.turn(off_deg, 1.0).piece(120.0).turn(-off_deg, 1.0).piece(400.0)
    flying.climb_to(1400.0, kt=110.0, fpm=-500.0).piece(60.0, kt=80.0).land()
    trace = flying.taxi(60.0).mark("on block").park(60.0).trace()
    return recorded(trace), pledge_of(trace, via=[("bend", planned)])


@pytest.mark.parametrize("off_deg", [8.0, -12.0])
def test_a_swing_of_the_track_is_measured_on_ground_track(
    private: Standard, off_deg: float
) -> None:
    # The plan leads from the bend straight to the end: its course leans by a little.
    recording, pledge = dogleg(off_deg)
    worst = held(recording, private, pledge)["course_worst"]
    assert value(worst) == pytest.approx(off_deg, abs=2.0)
    assert "ground track" in worst.note


def test_a_planned_turn_is_no_excursion(private: Standard) -> None:
    flying = Flying().park(60.0).mark("off block").taxi(60.0).park(20.0)
    flying.takeoff().climb_to(4500.0, kt=90.0, fpm=700.0).piece(20.0, kt=110.0).piece(300.0)
    turn_s = flying.elapsed_s + 10.0
    flying.turn(60.0).piece(400.0).climb_to(1400.0, kt=110.0, fpm=-500.0).piece(60.0, kt=80.0)
    trace = flying.land().taxi(60.0).mark("on block").park(60.0).trace()
    pledge = pledge_of(trace, via=[("turn", turn_s)])
    worst = held(recorded(trace), private, pledge)["course_worst"]
    assert abs(value(worst)) < 3.0


def test_wind_allowed_for_is_no_error_of_course(private: Standard) -> None:
    trace = cross_country(cruise_s=600.0).trace(wind_kt=(-10.0, 25.0))
    found = held(recorded(trace), private, pledge_of(trace, via=_every_minute(trace)))
    assert abs(value(found["course_worst"])) < 3.0


def _every_minute(trace: Trace) -> list[tuple[str, float]]:
    end_s = trace.marks["landing"][0] - START_S
    return [(f"P{k}", float(s)) for k, s in enumerate(np.arange(300.0, end_s - 60.0, 60.0))]


def test_there_and_back_is_judged_on_the_leg_that_is_flown(private: Standard) -> None:
    flying = Flying().park(60.0).mark("off block").taxi(60.0).park(20.0)
    flying.takeoff().climb_to(4500.0, kt=90.0, fpm=700.0).piece(20.0, kt=110.0).piece(300.0)
    turn_s = flying.elapsed_s
    flying.turn(180.0).piece(500.0).climb_to(1400.0, kt=110.0, fpm=-500.0).piece(60.0, kt=80.0)
    trace = flying.land().taxi(60.0).mark("on block").park(60.0).trace()
    pledge = pledge_of(trace, via=[("turn", turn_s), ("back", turn_s + 60.0)])
    worst = held(recorded(trace), private, pledge)["course_worst"]
    assert abs(value(worst)) < 6.0


@pytest.mark.parametrize("mean", [0.0, 30.0, -200.0])
def test_a_common_error_never_moves_the_root_mean_square_by_more_than_itself(mean: float) -> None:
    rng = np.random.default_rng(3)
    values = mean + rng.normal(0.0, 10.0, 500)
    rms, sigma = root_mean_square(values, 20.0)
    assert rms == pytest.approx(np.sqrt(np.mean(values**2)))
    assert 0.0 < sigma <= 20.0


def test_intervals_of_90_percent_hold_the_truth_about_90_percent_of_the_time(
    private: Standard,
) -> None:
    """Seeded flights with sensors as uncertain as height.py claims, and pilots who drift off."""
    rng = np.random.default_rng(20)
    hits: dict[str, list[bool]] = {"worst": [], "rms": []}
    for seed in range(120):
        size_ft, off_ft = rng.uniform(20.0, 120.0), rng.normal(0.0, 70.0)
        trace = wave(size_ft, rng.uniform(80.0, 240.0), off_ft)
        recording = recorded(
            trace, pressure_shift_ft=rng.normal(0.0, 20.0), height_noise_ft=4.0, seed=seed
        )
        found = held(recording, private)
        since_s = trace.time_s - START_S
        judged = (since_s > LEVEL_S + 60.0) & (since_s < LEAVES_S - 60.0)
        error_ft = trace.msl_ft[judged] - 4500.0
        truth_ft = {"worst": np.abs(error_ft).max(), "rms": np.sqrt(np.mean(error_ft**2))}
        for name, truth in truth_ft.items():
            one = found[f"cruise_height_{name}"]
            hits[name].append(abs(abs(value(one)) - truth) <= 1.645 * one.sigma)
    # 120 trials at 90 %: two standard deviations are 5.5 %.
    assert 0.84 <= np.mean(hits["worst"]) <= 0.96
    assert 0.84 <= np.mean(hits["rms"]) <= 0.99


def test_known_aerodromes_and_a_known_setting_agree(private: Standard) -> None:
    places = places_with(aerodrome("QAAA", 0.49, 0.0))
    found = held(recorded(wave(100.0, 150.0)), private, None, places)
    assert abs(value(found["cruise_height_worst"])) == pytest.approx(100.0, abs=10.0)


def test_the_standard_says_how_much_of_the_ends_is_left_out_and_in_which_phases(
    private: Standard,
) -> None:
    heights = private.tolerances["cruise_height_ft"]
    notes = []
    for settle_s, phases in ((None, ()), (120.0, ()), (0.0, ("descent",))):
        asked = replace(heights, settle_s=settle_s, phases=phases)
        tolerances = private.tolerances | {"cruise_height_ft": asked}
        found = held(recorded(TRACE), replace(private, tolerances=tolerances))
        notes.append(found["cruise_height_worst"].note or found["cruise_height_worst"].missing)
    assert "first and last minute left out" in notes[0]
    assert "first and last 120 s left out" in notes[1]
    judged_min = [float(note.split("% of ")[1].split(" ")[0]) for note in notes[:2]]
    assert judged_min[0] - judged_min[1] == pytest.approx(2.0, abs=0.1)
    assert "level cruise" in notes[2]
