from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from fit_cases import found

from lubberline.air import indicated_altitude_ft, pressure_altitude_ft, true_altitude_ft
from lubberline.fit import setting_error_ft, settings_along
from lubberline.flight import Plan
from lubberline.line import Verdict
from lubberline.loop import Prepared


def with_setting(plan: Plan, station: str, **changes: float | None) -> Plan:
    reports = dict(plan.weather.reports)
    reports[station] = replace(reports[station], **changes)  # type: ignore[arg-type]
    return replace(plan, weather=replace(plan.weather, reports=reports))


@pytest.mark.parametrize("kept_inhg", [28.5, 29.92, 30.4])
def test_an_error_of_setting_is_what_two_altimeters_differ_by(kept_inhg: float) -> None:
    pressure_ft = pressure_altitude_ft(3_500.0, kept_inhg)
    right_ft = float(indicated_altitude_ft(pressure_ft, 29.80))
    assert setting_error_ft(kept_inhg, 29.80) == pytest.approx(right_ft - 3_500.0)


def test_each_station_speaks_where_it_is_nearest(prepared: Prepared) -> None:
    uses = settings_along(prepared.plan, prepared.way)
    assert [(one.station, one.setting_inhg) for one in uses] == [
        ("QWRN", 30.02),
        ("QSDG", 29.99),
        ("QMRL", 29.96),
    ]
    assert all(a.until_utc <= b.from_utc for a, b in pairwise(uses))
    assert [round(one.higher_ft) for one in uses] == [0, -28, -55]  # 0.03 inHg is some 28 ft


def test_a_rising_setting_that_is_not_set_eats_the_room_under_a_shelf(prepared: Prepared) -> None:
    usual = found(prepared.plan, prepared, "flight.altimeter_shelf")
    plan = with_setting(prepared.plan, "QSDG", altimeter_inhg=30.32)
    less = found(plan, prepared, "flight.altimeter_shelf")
    assert usual.value is not None
    assert less.value == pytest.approx(usual.value - setting_error_ft(30.02, 30.32), abs=0.1)
    more = found(
        with_setting(prepared.plan, "QSDG", altimeter_inhg=30.82),
        prepared,
        "flight.altimeter_shelf",
    )
    assert (usual.verdict, less.verdict, more.verdict) == (
        Verdict.INSIDE,
        Verdict.INSIDE,
        Verdict.OUTSIDE,
    )


def test_cold_air_eats_the_room_above_the_ground(prepared: Prepared) -> None:
    aloft = prepared.plan.weather.aloft
    cold = replace(aloft, oat_degc=np.full_like(aloft.oat_degc, -30.0))
    plan = replace(prepared.plan, weather=replace(prepared.plan.weather, aloft=cold))
    usual = found(prepared.plan, prepared, "flight.altimeter_ground")
    less = found(plan, prepared, "flight.altimeter_ground")
    assert usual.value is not None
    assert less.value is not None
    assert less.value < usual.value - 100.0
    top = settings_along(plan, prepared.way)[1]
    elev_ft = plan.places.aerodromes["QSDG"].elev_msl_ft
    cruise_ft = prepared.way.cruise_msl_ft
    expected_ft = float(true_altitude_ft(cruise_ft, elev_ft, -30.0)) - cruise_ft
    assert top.temperature_ft == pytest.approx(expected_ft, abs=1.0)


def test_without_a_setting_it_is_unknown(prepared: Prepared) -> None:
    plan = prepared.plan
    for station in plan.weather.reports:
        plan = with_setting(plan, station, altimeter_inhg=None)
    assert settings_along(plan, prepared.way) == ()
    for key in ("settings", "shelf", "ground"):
        finding = found(plan, prepared, f"flight.altimeter_{key}")
        assert finding.verdict is Verdict.UNKNOWN, key
