"""The engine as recorded: limits, flow in cruise, leaning; nothing without a channel."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from flown_flights import NO_PLACES, Trace, cross_country, recorded

from lubberline.aircraft import Engine, cruise_flow, read_aircraft
from lubberline.arrays import FloatArray
from lubberline.flown import Aims, Flown, debrief, read_standard
from lubberline.line import Finding

FILES = Path(__file__).parents[2] / "src/lubberline/demo/files"
STANDARD = read_standard(FILES / "standards/private.toml")
LIMITS = Engine(source="section 2", cht_max_degc=238.0, oil_min_psi=25.0, oil_max_psi=100.0)
PLANE = replace(read_aircraft(FILES / "aircraft/heron.toml"), engine=LIMITS)
TRACE: Trace = cross_country(cruise_s=1200.0).trace()
TIME_S = recorded(TRACE).track.time_s
LEVEL_S = TRACE.marks["level"][0]


def flown(**channels: FloatArray) -> Flown:
    recording = recorded(TRACE)
    recording = replace(recording, track=replace(recording.track, channels=channels))
    return debrief(
        recording, places=NO_PLACES, pledge=None, standard=STANDARD, aims=Aims(aircraft=PLANE)
    )


def named(one: Flown) -> dict[str, Finding]:
    return {finding.limit.key[6:]: finding for finding in one.findings}


def steady(value: float) -> FloatArray:
    return np.full(TIME_S.shape, value)


def test_the_hottest_cylinder_is_told_with_its_moment_and_share_outside() -> None:
    hot_degc = np.where(np.abs(TIME_S - LEVEL_S - 300.0) <= 60.0, 245.0, 200.0)
    one = named(flown(cht_1_degc=steady(190.0), cht_2_degc=hot_degc))["engine_cht"]
    assert one.value == 245.0
    assert (str(one.verdict), one.limit.basis, one.limit.source) == (
        "outside", "manual", "section 2",
    )  # fmt: skip
    share = 100.0 * float((hot_degc > 238.0).mean())
    assert f"cht_2_degc; outside for {share:.1f} %" in one.note


def test_one_wrong_sample_is_no_excursion() -> None:
    cht_degc = steady(200.0)
    cht_degc[500] = 900.0
    assert named(flown(cht_1_degc=cht_degc))["engine_cht"].value == 200.0


def test_oil_pressure_has_a_least_in_the_air_and_is_converted() -> None:
    psi = np.where(TRACE.marks["take-off"][0] - 5.0 > TIME_S, 5.0, 60.0)
    found = named(flown(oil_pressure_hpa=psi * 68.94757))
    assert found["engine_oil_pressure"].value == pytest.approx(60.0, abs=0.01)
    assert found["engine_oil_pressure_low"].value == pytest.approx(60.0, abs=0.01)
    assert str(found["engine_oil_pressure_low"].verdict) == "inside"


def test_what_has_no_limit_is_told_and_not_judged() -> None:
    one = flown(oil_temp_degc=steady(88.0))
    assert any("oil temperature 88 degC" in line for line in one.account)
    assert any("top of the climb" in line and "88 degC" in line for line in one.account)
    assert not [key for key in named(one) if key.startswith("engine_")]


def test_without_channels_nothing_is_said() -> None:
    one = flown()
    assert not [key for key in named(one) if key.startswith(("engine_", "cruise_flow"))]
    words = ("leaned", "leaning", "Highest recorded", "top of the climb")
    assert not [line for line in one.account if any(word in line for word in words)]


@pytest.mark.parametrize("beyond_gph", [0.0, 3.0])
def test_flow_in_cruise_is_held_to_the_table(beyond_gph: float) -> None:
    oat_degc = 5.0
    table = cruise_flow(PLANE, weight_lb=np.nan, pressure_ft=4_500.0, oat_degc=oat_degc)
    assert table.value is not None, table.missing
    flow_gph = steady(table.value + beyond_gph)
    one = named(flown(fuel_flow_gph=flow_gph, oat_degc=steady(oat_degc)))["cruise_flow"]
    assert one.value == pytest.approx(beyond_gph, abs=0.02)
    assert str(one.verdict) == ("outside" if beyond_gph else "inside")


def test_leaning_is_seen_with_its_moment_only_at_steady_power() -> None:
    leaned_s = LEVEL_S + 240.0
    flow_gph = np.interp(TIME_S, [leaned_s - 10.0, leaned_s + 10.0], [13.0, 10.0])
    told = flown(fuel_flow_gph=flow_gph, rpm=steady(2_400.0)).account
    (line,) = [one for one in told if "leaned" in one]
    assert "from 13.0 to 10.0 gph" in line
    hour, minute, second = (int(part) for part in line.split("about ")[1][:8].split(":"))
    true_s = leaned_s % 86_400.0
    assert 3_600 * hour + 60 * minute + second == pytest.approx(true_s, abs=5.0)
    rpm = np.interp(TIME_S, [leaned_s - 10.0, leaned_s + 10.0], [2_500.0, 2_200.0])
    told = flown(fuel_flow_gph=flow_gph, rpm=rpm).account
    assert any("No leaning is seen" in one for one in told)
    assert not [one for one in flown(fuel_flow_gph=flow_gph).account if "lean" in one]
