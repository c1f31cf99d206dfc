"""Worked examples of FAA handbooks and rules, asked through the checks of a flight."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from lubberline.aircraft import LoadingLimits, Station, Tank
from lubberline.fit import settings, trip_gal
from lubberline.fit.density import density_findings
from lubberline.fit.fuel import fuel_findings
from lubberline.fit.loading import loading_findings
from lubberline.fit.setting import Setting
from lubberline.fit.us import fuel_reserve
from lubberline.fit.wind import head_and_cross_kt, wind_findings
from lubberline.line import Verdict
from lubberline.loop import Prepared
from lubberline.pilot import OwnMinimums
from lubberline.weather import Wind, read_metar

Printed = Callable[[str], Any]
CHART_KT = 1.0  # a component chart is read to 1 kt
CHART_FT = 100.0  # a density altitude chart is read to 100 ft


def at_runway(setting: Setting, true_deg: float, wind: Wind) -> Setting:
    """The same field with its runway laid in a direction, under one wind."""
    spans = tuple(replace(span, wind=wind) for span in setting.spans)
    return replace(setting, end=replace(setting.end, true_deg=true_deg), spans=spans)


# Runway direction and wind [deg, kt], headwind and crosswind: W cos and W sin of the angle between
# (PHAK, FAA-H-8083-25B, chapter 11), computed; a tailwind is a negative headwind.
COMPONENTS = [
    (180.0, 220.0, 30.0, "22.98", "19.28"),
    (170.0, 140.0, 25.0, "21.65", "12.50"),
    (320.0, 360.0, 30.0, "22.98", "19.28"),
    (130.0, 180.0, 25.0, "16.07", "19.15"),
    (60.0, 20.0, 20.0, "15.32", "12.86"),
    (90.0, 270.0, 10.0, "-10.0", "0"),
    (360.0, 90.0, 15.0, "0", "15"),
    (10.0, 350.0, 20.0, "18.79", "6.84"),
]


@pytest.mark.parametrize(("direction", "wind_from", "wind_kt", "head", "cross"), COMPONENTS)
def test_wind_on_the_runway(
    prepared: Prepared,
    direction: float,
    wind_from: float,
    wind_kt: float,
    head: str,
    cross: str,
    as_printed: Printed,
) -> None:
    plan = prepared.plan
    wind = Wind(from_true_deg=wind_from, mean_kt=wind_kt)
    setting = at_runway(settings(plan, prepared.way)[0], direction, wind)
    head_kt, cross_kt = head_and_cross_kt(setting.end, wind, gust=True)
    assert head_kt == as_printed(head)
    assert cross_kt == as_printed(cross)
    crosswind, tailwind = wind_findings(
        setting, plan.aircraft, plan.pilot.own, aircraft_file="heron.toml"
    )
    assert crosswind.value == as_printed(cross)
    behind = head.removeprefix("-") if head.startswith("-") else "0.0"
    assert tailwind.value == as_printed(behind)


# Chart answers without their side: runway, wind, crosswind.
@pytest.mark.parametrize(
    ("direction", "wind_from", "wind_kt", "cross_kt"),
    [
        (180.0, 220.0, 30.0, 19.0),  # FAA knowledge-test question bank, read
        (170.0, 140.0, 25.0, 13.0),  # PHAK chapter 11 sample problem: memory
    ],
)
def test_crosswind_of_the_chart(
    prepared: Prepared, direction: float, wind_from: float, wind_kt: float, cross_kt: float
) -> None:
    plan = prepared.plan
    wind = Wind(from_true_deg=wind_from, mean_kt=wind_kt)
    setting = at_runway(settings(plan, prepared.way)[0], direction, wind)
    finding = wind_findings(setting, plan.aircraft, plan.pilot.own, aircraft_file="heron.toml")[0]
    assert finding.value == pytest.approx(cross_kt, abs=CHART_KT)


# Field elevation [ft], altimeter setting, temperature [degF, degC in tenths], density altitude of
# the chart [ft]. PHAK (FAA-H-8083-25A), page 10-19, sample problem 1: read, with its pressure
# altitude of 5,718 ft; the others from the FAA knowledge-test question bank: memory.
DENSITY = [
    (5_883.0, "A3010", "T02110000", 7_700.0),
    (5_250.0, "A2925", "T02720000", 8_500.0),
    (3_894.0, "A3035", "T10391100", 2_000.0),
]


@pytest.mark.parametrize(("elev_msl_ft", "altimeter", "tenths", "density_ft"), DENSITY)
def test_density_altitude_of_the_chart(
    prepared: Prepared, elev_msl_ft: float, altimeter: str, tenths: str, density_ft: float
) -> None:
    setting = settings(prepared.plan, prepared.way)[0]
    whole = round(int(tenths[2:5]) / 10.0)
    shown = f"{'M' if tenths[1] == '1' else ''}{whole:02d}"
    report = read_metar(
        f"QWRN 252045Z 00000KT 10SM CLR {shown}/ {altimeter} RMK {tenths[:5]}",
        near_utc=setting.when_utc,
    )
    assert report.temperature_degc is not None
    raised = replace(setting.aerodrome, elev_msl_ft=elev_msl_ft)
    setting = replace(setting, aerodrome=raised, report=report)
    (finding,) = density_findings(setting, OwnMinimums(density_altitude_ft=9_000.0))
    assert finding.value == pytest.approx(density_ft, abs=CHART_FT)
    assert "pressure altitude" in finding.where


def test_pressure_altitude_of_the_sample_problem(prepared: Prepared) -> None:
    # PHAK (FAA-H-8083-25A), page 10-19, sample problem 1: 5,883 ft, 30.10 inHg, 5,718 ft.
    setting = settings(prepared.plan, prepared.way)[0]
    report = read_metar("QWRN 252045Z 00000KT 10SM CLR 21/ A3010", near_utc=setting.when_utc)
    raised = replace(setting.aerodrome, elev_msl_ft=5_883.0)
    setting = replace(setting, aerodrome=raised, report=report)
    assert setting.pressure_ft == pytest.approx(5_718.0, abs=2.0)


def test_phak_computational_method_is_inside(prepared: Prepared) -> None:
    # PHAK (FAA-H-8083-25A), figure 9-5: 3,320 lb at 84.8 in, limits 3,400 lb and 78 to 86 in: read
    # in a copy; the arms: memory. The sum reproduces the moment of 281,430 lb in.
    limits = LoadingLimits(
        empty_lb=2_100.0,
        empty_arm_in=78.3,
        stations=(
            Station(name="front", arm_in=85.0),
            Station(name="rear", arm_in=121.0),
            Station(name="baggage", arm_in=150.0),
        ),
        tanks=(Tank(name="main", arm_in=75.0, usable_gal=75.0),),
        max_ramp_lb=3_400.0,
        max_takeoff_lb=3_400.0,
        max_landing_lb=3_400.0,
        max_zero_fuel_lb=None,
        envelope_arm_in=np.array([78.0, 86.0, 86.0, 78.0]),
        envelope_lb=np.array([2_000.0, 2_000.0, 3_400.0, 3_400.0]),
        fuel_lb_per_gal=6.0,
    )
    aircraft = replace(prepared.plan.aircraft, loading=limits, taxi_gal=0.0)
    flight = replace(
        prepared.plan.flight,
        load_lb={"front": 340.0, "rear": 350.0, "baggage": 80.0},
        fuel_gal={"main": 75.0},
    )
    by_key = {one.limit.key: one for one in loading_findings(aircraft, flight, trip_gal=0.0)}
    weight, balance = by_key["airplane.weight_takeoff"], by_key["airplane.balance_takeoff"]
    assert (weight.value, weight.margin, weight.verdict) == (3_320.0, 80.0, Verdict.INSIDE)
    assert balance.value == pytest.approx(84.8, abs=0.05)
    assert (balance.limit.low, balance.limit.high) == (78.0, 86.0)
    assert balance.verdict is Verdict.INSIDE


# 14 CFR 91.151(a), 30 min by day and 45 min by night: at 9.0 gph 4.5 gal and 6.75 gal, computed.
@pytest.mark.parametrize(("night", "left_gal"), [(False, 4.5), (True, 6.75)])
def test_legal_reserve_at_nine_gallons_an_hour(
    prepared: Prepared, night: bool, left_gal: float
) -> None:
    plan, way = prepared.plan, prepared.way
    table = plan.aircraft.tables["cruise_gph"]
    nine = replace(table, values=np.full_like(table.values, 9.0))
    aircraft = replace(plan.aircraft, tables={**plan.aircraft.tables, "cruise_gph": nine})
    aboard_gal = plan.aircraft.taxi_gal + trip_gal(plan, way) + left_gal
    flight = replace(plan.flight, fuel_gal={"left": aboard_gal})
    finding = fuel_findings(
        replace(plan, aircraft=aircraft, flight=flight),
        way,
        legal=fuel_reserve(night=night, night_soon=night),
        weight_lb=2_500.0,
        used_sigma_gal=0.0,
    )[0]
    assert finding.margin == pytest.approx(0.0, abs=1e-9)
    assert finding.verdict is Verdict.INSIDE
