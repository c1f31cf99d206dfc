"""Fuel used against the pledge: added up from flow, or from what the tanks lost."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from flown_flights import NO_PLACES, START_S, Trace, cross_country, pledge_of, recorded

from lubberline.arrays import FloatArray
from lubberline.flight import Pledge
from lubberline.flown import debrief, read_standard
from lubberline.line import Finding

STANDARD = read_standard(
    Path(__file__).parents[2] / "src/lubberline/demo/files/standards/private.toml"
)


@pytest.fixture(scope="module")
def trace() -> Trace:
    return cross_country(cruise_s=1200.0).trace()


def pledged(trace: Trace, *, gph: float, via_s: float = 900.0) -> Pledge:
    """A pledge that burns so much all the way, with one checkpoint."""
    pledge = pledge_of(trace, via=[("QMID", via_s)])
    begins = pledge.points[0].over_utc
    points = tuple(
        replace(one, fuel_left_gal=40.0 - gph * (one.over_utc - begins).total_seconds() / 3600.0)
        for one in pledge.points
    )
    return replace(pledge, points=points)


def findings(
    trace: Trace, channels: dict[str, FloatArray], pledge: Pledge | None
) -> dict[str, Finding]:
    recording = recorded(trace)
    track = replace(recording.track, channels=channels)
    flown = debrief(
        replace(recording, track=track), places=NO_PLACES, pledge=pledge, standard=STANDARD
    )
    return {
        one.limit.key[6:]: one for one in flown.findings if one.limit.key.startswith("flown.fuel")
    }


def flight_h(trace: Trace) -> float:
    return (trace.marks["landing"][-1] - trace.marks["take-off"][0]) / 3600.0


@pytest.mark.parametrize(("gph", "verdict"), [(10.0, "inside"), (13.0, "outside")])
def test_flow_is_added_up_from_take_off_to_landing(trace: Trace, gph: float, verdict: str) -> None:
    time_s = recorded(trace).track.time_s
    wave_gph = gph + 2.0 * np.sin((time_s - time_s[0]) * 2.0 * np.pi / 60.0)
    found = findings(trace, {"fuel_flow_gph": wave_gph}, pledged(trace, gph=10.0))
    one = found["fuel_used"]
    assert one.value == pytest.approx((gph - 10.0) * flight_h(trace), abs=0.05)
    assert one.sigma == pytest.approx(0.02 * gph * flight_h(trace), rel=0.02)
    checkpoint = found["fuel_checkpoint"]
    to_h = (START_S + 900.0 - trace.marks["take-off"][0]) / 3600.0
    assert checkpoint.value == pytest.approx((gph - 10.0) * to_h, abs=0.1)
    assert checkpoint.where == "QMID"
    if verdict == "outside":
        assert str(one.verdict) in ("outside", "close")


def test_two_engines_are_added(trace: Trace) -> None:
    flow_gph = np.full(recorded(trace).track.time_s.shape, 5.0)
    channels = {"fuel_flow_1_gph": flow_gph, "fuel_flow_2_gph": flow_gph}
    one = findings(trace, channels, pledged(trace, gph=10.0))["fuel_used"]
    assert one.value == pytest.approx(0.0, abs=0.05)


def test_without_flow_the_tanks_tell(trace: Trace) -> None:
    time_s = recorded(trace).track.time_s
    left_gal = 20.0 - 6.0 * (time_s - time_s[0]) / 3600.0
    channels = {"fuel_left_gal": left_gal, "fuel_right_gal": left_gal}
    one = findings(trace, channels, pledged(trace, gph=10.0))["fuel_used"]
    assert one.value == pytest.approx(2.0 * flight_h(trace), abs=0.05)
    assert one.sigma == pytest.approx(1.0)
    assert "by quantity" in one.note


def test_flow_that_stopped_for_longer_than_a_minute_is_not_bridged(trace: Trace) -> None:
    flow_gph = np.full(recorded(trace).track.time_s.shape, 10.0)
    flow_gph[800:900] = np.nan
    one = findings(trace, {"fuel_flow_gph": flow_gph}, pledged(trace, gph=10.0))["fuel_used"]
    assert one.value is None
    assert "without a gap" in one.missing


def test_what_was_not_recorded_or_not_pledged_is_unknown_and_says_so(trace: Trace) -> None:
    unrecorded = findings(trace, {}, pledged(trace, gph=10.0))
    assert list(unrecorded) == ["fuel_used"]
    assert "fuel flow" in unrecorded["fuel_used"].missing
    assert "a pledge" in findings(trace, {}, None)["fuel_used"].missing
