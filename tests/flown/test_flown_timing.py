"""Times against the pledge: minutes late, with their doubt, or unknown with what would help."""

from dataclasses import replace
from pathlib import Path

import pytest
from flown_flights import (
    NO_PLACES,
    START_S,
    cross_country,
    pledge_of,
    recorded,
)
from flown_ground import drive

from lubberline.flight import Pledge
from lubberline.flown import Standard, debrief, read_standard
from lubberline.line import Finding, Verdict
from lubberline.recording import Recording

STANDARDS = Path(__file__).parents[2] / "src" / "lubberline" / "demo" / "files" / "standards"
TRACE = cross_country(cruise_s=900.0).trace()
VIA = [("Anvil", 700.0), ("Kiln Point", 1100.0), ("", 1200.0)]
NAMES = ("takeoff_time", "arrival_time", "enroute_time", "block_time", "checkpoint_time")


@pytest.fixture(scope="module")
def private() -> Standard:
    return read_standard(STANDARDS / "private.toml")


def timed(recording: Recording, standard: Standard, pledge: Pledge | None) -> dict[str, Finding]:
    flown = debrief(recording, places=NO_PLACES, pledge=pledge, standard=standard)
    return {one.limit.key.removeprefix("flown."): one for one in flown.findings}


@pytest.mark.parametrize("late_min", [-6.0, 0.0, 4.0, 12.0])
def test_times_are_minutes_after_the_pledge(private: Standard, late_min: float) -> None:
    found = timed(recorded(TRACE), private, pledge_of(TRACE, late_min=late_min))
    for name in ("takeoff_time", "arrival_time"):
        assert found[name].value == pytest.approx(late_min, abs=0.07)
        outside = abs(late_min) > 5.0
        assert found[name].verdict is (Verdict.OUTSIDE if outside else Verdict.INSIDE)


def test_a_recording_of_another_day_is_said_to_be_one_and_not_timed(private: Standard) -> None:
    pledge = pledge_of(TRACE, late_min=2.0 * 1440.0)
    flown = debrief(recorded(TRACE), places=NO_PLACES, pledge=pledge, standard=private)
    assert any("another flight" in one for one in flown.account)
    found = {one.limit.key.removeprefix("flown."): one for one in flown.findings}
    assert {found[name].verdict for name in NAMES} == {Verdict.UNKNOWN}


def test_a_late_start_is_no_error_en_route_and_at_checkpoints(private: Standard) -> None:
    found = timed(recorded(TRACE), private, pledge_of(TRACE, via=VIA, late_min=12.0))
    for name in ("enroute_time", "checkpoint_time"):
        assert found[name].value == pytest.approx(0.0, abs=0.1)
    assert found["block_time"].value == pytest.approx(0.0, abs=0.3)


def test_a_slower_flight_is_late_at_the_last_checkpoint(private: Standard) -> None:
    pledge = pledge_of(TRACE, via=VIA)
    early = tuple(
        replace(p, over_utc=p.over_utc - (p.over_utc - pledge.takeoff_utc) * 0.2)
        for p in pledge.points
    )
    found = timed(recorded(TRACE), private, replace(pledge, points=early))
    takeoff_s = TRACE.marks["take-off"][0] - START_S
    assert found["checkpoint_time"].value == pytest.approx((1100 - takeoff_s) * 0.2 / 60, abs=0.1)
    assert found["checkpoint_time"].where.startswith("Kiln Point")


def test_block_time_runs_from_stand_to_stand(private: Standard) -> None:
    found = timed(recorded(TRACE), private, pledge_of(TRACE))["block_time"]
    assert found.value == pytest.approx(0.0, abs=0.3)
    assert "off block" in found.note


def test_the_doubt_of_a_time_is_that_of_the_movement(private: Standard) -> None:
    flown = debrief(recorded(TRACE), places=NO_PLACES, pledge=pledge_of(TRACE), standard=private)
    arrival = next(one for one in flown.findings if one.limit.key == "flown.arrival_time")
    assert arrival.sigma == pytest.approx(flown.movements[-1].sigma_s / 60.0)


@pytest.mark.parametrize("off_min", [5.0, -5.0])
def test_a_borrowed_tolerance_says_so(private: Standard, off_min: float) -> None:
    limit = timed(recorded(TRACE), private, pledge_of(TRACE))["arrival_time"].limit
    assert limit.margin(off_min) == 0.0
    assert limit.source == "FAA-S-ACS-6C, PA.VI.A.S6 (its tolerance for a checkpoint, borrowed)"


def test_the_own_standard_has_its_own_arrival_tolerance() -> None:
    own = read_standard(STANDARDS / "own.toml")
    limit = timed(recorded(TRACE), own, pledge_of(TRACE))["arrival_time"].limit
    assert (limit.high, limit.basis, limit.source) == (3.0, "own", "own standard, time")


def test_a_recording_that_ends_in_the_air_has_no_arrival(private: Standard) -> None:
    cut = recorded(TRACE, gaps_s=[(1200.0, 9e9)])
    found = timed(cut, private, pledge_of(TRACE, via=VIA[:2]))
    assert found["takeoff_time"].verdict is Verdict.INSIDE
    for name in ("arrival_time", "enroute_time", "block_time"):
        assert found[name].verdict is Verdict.UNKNOWN
        assert "landing" in found[name].missing


def test_a_recording_that_begins_while_taxiing_has_no_block_time(private: Standard) -> None:
    found = timed(recorded(TRACE, gaps_s=[(0.0, 80.0)]), private, pledge_of(TRACE))
    assert found["block_time"].verdict is Verdict.UNKNOWN
    assert "begins before the airplane moves" in found["block_time"].missing


def test_a_landing_elsewhere_is_no_arrival(private: Standard) -> None:
    pledge = pledge_of(TRACE)
    away = replace(pledge.points[-1], lat_deg=pledge.points[-1].lat_deg + 1.0)
    elsewhere = replace(pledge, points=(*pledge.points[:-1], away))
    arrival = timed(recorded(TRACE), private, elsewhere)["arrival_time"]
    assert arrival.verdict is Verdict.UNKNOWN
    assert "pledged destination" in arrival.missing


def test_a_checkpoint_that_was_not_passed_is_named(private: Standard) -> None:
    pledge = pledge_of(TRACE, via=VIA[:2])
    off = replace(pledge.points[1], lat_deg=pledge.points[1].lat_deg + 0.2)
    points = (pledge.points[0], off, *pledge.points[2:])
    found = timed(recorded(TRACE), private, replace(pledge, points=points))["checkpoint_time"]
    assert found.verdict is Verdict.UNKNOWN
    assert "Anvil" in found.missing


def test_without_a_pledge_every_time_is_unknown_and_asks_for_one(private: Standard) -> None:
    found = timed(recorded(TRACE), private, None)
    for name in NAMES:
        assert found[name].verdict is Verdict.UNKNOWN
        assert "pledge" in found[name].missing


def test_a_drive_is_no_flight_for_any_pledge(private: Standard) -> None:
    found = timed(drive(3), private, pledge_of(TRACE, via=VIA))
    for name in NAMES:
        assert found[name].verdict is Verdict.UNKNOWN
