"""Airspeed held in cruise: against the airplane's table, else told off its own mean."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from flown_flights import NO_PLACES, cross_country, recorded

from lubberline.aircraft import Aircraft, cruise_tas, read_aircraft
from lubberline.flown import Aims, Flown, debrief, read_standard

FILES = Path(__file__).parents[2] / "src/lubberline/demo/files"
STANDARD = read_standard(FILES / "standards/private.toml")
PLANE = read_aircraft(FILES / "aircraft/heron.toml")
TRACE = cross_country(cruise_s=1200.0).trace()
OAT_DEGC = 10.0
TABLE_KT = cruise_tas(PLANE, weight_lb=np.nan, pressure_ft=4_500.0, oat_degc=OAT_DEGC).value


def flown(swing_kt: float, aircraft: Aircraft | None) -> Flown:
    """A true airspeed that swings about the table's, once in 200 s."""
    assert TABLE_KT is not None
    recording = recorded(TRACE)
    time_s = recording.track.time_s
    tas_kt = TABLE_KT + swing_kt * np.sin(time_s * 2.0 * np.pi / 200.0)
    channels = {"tas_kt": tas_kt, "oat_degc": np.full(time_s.shape, OAT_DEGC)}
    return debrief(
        replace(recording, track=replace(recording.track, channels=channels)),
        places=NO_PLACES, pledge=None, standard=STANDARD, aims=Aims(aircraft=aircraft),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("swing_kt", "verdict"), [(0.0, "inside"), (8.0, "close"), (16.0, "outside")]
)
def test_a_swing_about_the_table_is_found(swing_kt: float, verdict: str) -> None:
    one = flown(swing_kt, PLANE)
    found = {finding.limit.key[6:]: finding for finding in one.findings}
    worst, rms = found["cruise_speed_worst"], found["cruise_speed_rms"]
    assert worst.value is not None
    assert abs(worst.value) == pytest.approx(swing_kt, abs=0.5)
    assert str(worst.verdict) == verdict
    assert rms.value == pytest.approx(swing_kt / np.sqrt(2.0), abs=0.5)
    (held,) = [each for each in one.steadiness if each.name == "cruise_speed"]
    named = {each.name: each.value for each in held.statistics}
    share = 100.0 if swing_kt <= 10.0 else 100.0 * 2.0 / np.pi * np.arcsin(10.0 / swing_kt)
    assert named["share inside"] == pytest.approx(share, abs=2.5)
    assert named["bias"] == pytest.approx(0.0, abs=0.6)


def test_without_a_named_speed_it_is_told_and_not_judged() -> None:
    one = flown(8.0, None)
    assert not [f for f in one.findings if f.limit.key.startswith("flown.cruise_speed")]
    (held,) = [each for each in one.steadiness if each.name == "cruise_speed"]
    assert "share inside" not in {each.name for each in held.statistics}


def test_without_an_airspeed_nothing_is_said() -> None:
    one = debrief(
        recorded(TRACE), places=NO_PLACES, pledge=None, standard=STANDARD,
        aims=Aims(aircraft=PLANE),
    )  # fmt: skip
    assert not [f for f in one.findings if f.limit.key.startswith("flown.cruise_speed")]
    assert "cruise_speed" not in {each.name for each in one.steadiness}


def test_an_outside_temperature_that_cannot_be_is_not_taken() -> None:
    """Standard air stands in, and nothing fails."""
    recording = recorded(TRACE)
    columns = {"ias_kt": np.full(len(recording.track), 110.0)}
    speeds = []
    for degc in (np.nan, 103.0):
        channels = {**columns, "oat_degc": np.full(len(recording.track), degc)}
        track = replace(recording.track, channels=channels)
        one = debrief(
            replace(recording, track=track), places=NO_PLACES, pledge=None, standard=STANDARD,
            aims=Aims(aircraft=PLANE),
        )  # fmt: skip
        found = {f.limit.key[6:]: f.value for f in one.findings}
        speeds.append(found["cruise_speed_worst"])
    assert speeds[0] is not None
    assert speeds[0] == speeds[1]
