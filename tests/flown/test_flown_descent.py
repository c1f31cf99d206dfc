"""The way down: where it began, its rate and level stretches, and how the engine was treated."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from flown_flights import NO_PLACES, Trace, cross_country, degrees, pledge_of, recorded

from lubberline.arrays import FloatArray
from lubberline.flight import Pledge
from lubberline.flown import Aims, debrief, read_standard
from lubberline.line import Finding
from lubberline.recording import Recording

STANDARD = read_standard(
    Path(__file__).parents[2] / "src/lubberline/demo/files/standards/private.toml"
)


@pytest.fixture(scope="module")
def trace() -> Trace:
    return cross_country(cruise_s=1200.0).trace()


def found(recording: Recording, name: str, pledge: Pledge | None = None) -> Finding | None:
    flown = debrief(recording, places=NO_PLACES, pledge=pledge, standard=STANDARD, aims=Aims())
    return next((one for one in flown.findings if one.limit.key == f"flown.{name}"), None)


def known(recording: Recording, name: str, pledge: Pledge | None = None) -> float:
    one = found(recording, name, pledge)
    assert one is not None
    assert one.value is not None, one.missing
    return one.value


def with_channel(recording: Recording, name: str, column: FloatArray) -> Recording:
    track = replace(recording.track, channels={**recording.track.channels, name: column})
    return replace(recording, track=track)


@pytest.mark.parametrize("early_s", [0.0, 120.0])
def test_a_descent_is_late_by_the_distance_flown_beyond_the_pledged_point(
    trace: Trace, early_s: float
) -> None:
    pledge = pledge_of(trace)
    at_s = trace.marks["leaves level"][0] - early_s
    k = int(np.searchsorted(trace.time_s, at_s))
    lat_deg, lon_deg = degrees(trace.east_nm[k : k + 1], trace.north_nm[k : k + 1])
    begins = replace(
        pledge.points[-1], name="", lat_deg=float(lat_deg[0]), lon_deg=float(lon_deg[0]),
        msl_ft=pledge.cruise_msl_ft,
    )  # fmt: skip
    pledge = replace(pledge, points=(*pledge.points[:-1], begins, pledge.points[-1]))
    away_nm = np.hypot(trace.east_nm - trace.east_nm[k], trace.north_nm - trace.north_nm[k])
    late_nm = float(away_nm[int(np.searchsorted(trace.time_s, trace.marks["leaves level"][0]))])
    found_nm = known(recorded(trace), "descent_start", pledge)
    assert found_nm == pytest.approx(late_nm, abs=0.6)


def test_the_rate_is_that_of_the_trace(trace: Trace) -> None:
    """The greatest loss of height in any half minute of the truth."""
    every = round(30.0 / float(np.diff(trace.time_s[:2])[0]))
    true_fpm = float((trace.msl_ft[:-every] - trace.msl_ft[every:]).max()) * 2.0
    assert known(recorded(trace), "descent_rate") == pytest.approx(true_fpm, abs=30.0)


def test_one_straight_descent_has_no_level_stretch(trace: Trace) -> None:
    assert known(recorded(trace), "descent_level_offs") == 0.0


@pytest.mark.parametrize("degc_per_min", [10.0, 45.0])
def test_the_hottest_cylinder_cools_by_what_it_lost_in_a_minute(
    trace: Trace, degc_per_min: float
) -> None:
    recording = recorded(trace)
    since_s = recording.track.time_s - trace.marks["leaves level"][0] - 60.0
    cht_degc = 200.0 - degc_per_min * np.clip(since_s / 60.0, 0.0, 2.0)
    recording = with_channel(recording, "cht_3_degc", cht_degc)
    one = found(recording, "cooling_rate")
    assert one is not None
    assert one.value == pytest.approx(degc_per_min, abs=0.5)
    assert str(one.verdict) == ("inside" if degc_per_min < 33.0 else "outside")


def test_power_taken_off_is_the_most_in_one_minute(trace: Trace) -> None:
    recording = recorded(trace)
    since_s = recording.track.time_s - trace.marks["leaves level"][0] - 30.0
    steps = np.clip(np.floor(since_s / 40.0), 0.0, 3.0)  # two of them fall within a minute
    recording = with_channel(recording, "manifold_inhg", 24.0 - 2.0 * steps)
    assert known(recording, "descent_power") == pytest.approx(4.0, abs=0.1)


@pytest.mark.parametrize(
    ("name", "is_engine"), [("rpm", True), ("engine_rpm", True), ("prop_rpm", False)]
)
def test_revolutions_count_where_no_manifold_pressure_is_recorded(
    trace: Trace, name: str, is_engine: bool
) -> None:
    recording = recorded(trace)
    since_s = recording.track.time_s - trace.marks["leaves level"][0] - 30.0
    recording = with_channel(recording, name, np.where(since_s > 0.0, 2_050.0, 2_400.0))
    one = found(recording, "descent_power_rpm")
    assert (one is not None) is is_engine
    assert one is None or one.value == pytest.approx(350.0, abs=1.0)


def test_without_an_engine_recorded_nothing_is_said_of_it(trace: Trace) -> None:
    assert found(recorded(trace), "cooling_rate") is None
    assert found(recorded(trace), "descent_power") is None
