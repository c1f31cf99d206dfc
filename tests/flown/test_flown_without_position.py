"""A recording without any position is judged on the height, speed and engine that it holds."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from flown_flights import NO_PLACES, cross_country, pledge_of, recorded

from lubberline.flown import Flown, debrief, logbook_row, read_standard
from lubberline.line import Finding

STANDARDS = Path(__file__).parents[2] / "src" / "lubberline" / "demo" / "files" / "standards"
PRIVATE = read_standard(STANDARDS / "private.toml")
TRACE = (
    cross_country()
    .trace()
    .with_excursion(
        lambda since_s: np.where(
            (since_s > 900.0) & (since_s < 1_500.0),
            140.0 * np.sin(np.pi * (since_s - 900.0) / 600.0),
            0.0,
        )
    )
)


def judged(speed: str = "ias_kt", *, heights: bool = True) -> Flown:
    """The flight as an engine monitor with an airspeed keeps it."""
    recording = recorded(TRACE)
    track = recording.track
    speed_kt = np.hypot(*np.diff([TRACE.east_nm, TRACE.north_nm], axis=1, prepend=0.0)) * 36_000.0
    speed_kt[0] = 0.0
    nothing = np.full(track.time_s.shape, np.nan)
    track = replace(
        track,
        lat_deg=nothing,
        lon_deg=nothing,
        pressure_ft=track.pressure_ft if heights else nothing,
        channels={speed: np.interp(track.time_s, TRACE.time_s, speed_kt)},
    )
    return debrief(
        replace(recording, track=track), places=NO_PLACES, pledge=pledge_of(TRACE), standard=PRIVATE
    )


def finding(flown: Flown, name: str) -> Finding:
    return next(one for one in flown.findings if one.limit.key == f"flown.{name}")


@pytest.fixture(scope="module")
def flown() -> Flown:
    return judged()


def test_take_off_and_landing_are_timed(flown: Flown) -> None:
    times = {one.kind: one.time_s for one in flown.movements}
    assert times["take-off"] == pytest.approx(TRACE.marks["take-off"][0], abs=3.0)
    assert times["landing"] == pytest.approx(TRACE.marks["landing"][-1], abs=4.0)
    assert abs(finding(flown, "takeoff_time").value or 9.0) < 0.1


def test_the_height_held_is_judged(flown: Flown) -> None:
    worst = finding(flown, "cruise_height_worst")
    assert worst.value == pytest.approx(140.0, abs=10.0)
    assert worst.where.endswith("Z")  # a moment, and no place


def test_places_are_unknown_and_say_what_would_supply_them(flown: Flown) -> None:
    assert finding(flown, "track_distance").value is None
    assert "positions" in finding(flown, "track_distance").missing
    assert "airspeed shows no taxi" in finding(flown, "block_time").missing
    assert logbook_row(flown) is None
    assert any("No position was recorded" in one for one in flown.account)


def test_a_ground_speed_shows_the_taxi() -> None:
    block = finding(judged("ground_kt"), "block_time")
    assert block.value == pytest.approx(0.0, abs=0.4)


def test_without_heights_no_phase_is_made_up() -> None:
    flown = judged(heights=False)
    assert flown.movements == ()
    assert flown.phases == ()
