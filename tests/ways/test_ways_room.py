"""The room kept from airspace is never less than height is known and held."""

from dataclasses import replace
from typing import Any

import pytest

from lubberline.flight import Plan
from lubberline.loop import Prepared
from lubberline.ways.from_plan import problem_from_plan
from lubberline.ways.room import margins_of, setting_spread_ft


def plan_of(prepared: Prepared, *settings_inhg: float | None, **pilot: Any) -> Plan:
    plan = prepared.plan
    names = ("QWRN", "QSDG", "QMRL")
    pairs = zip(names, settings_inhg, strict=True)
    reports = {one: replace(plan.weather.reports[one], altimeter_inhg=inhg) for one, inhg in pairs}
    own = replace(plan.pilot.own, airspace_vertical_ft=pilot.pop("own_ft", 0.0))
    return replace(
        plan,
        weather=replace(plan.weather, reports=reports),
        pilot=replace(plan.pilot, own=own, **pilot),
    )


def test_settings_differ_by_what_an_inch_is_worth(prepared: Prepared) -> None:
    """AIM 7-2-2: one inch of mercury is about 1,000 ft of altitude; near sea level 925 exactly."""
    assert setting_spread_ft(plan_of(prepared, 29.42, 29.92, 30.42)) == pytest.approx(925, abs=15)
    assert setting_spread_ft(plan_of(prepared, 29.92, None, 29.92)) == pytest.approx(0.0, abs=1e-6)
    assert setting_spread_ft(plan_of(prepared, 29.92, None, None)) == 0.0


@pytest.mark.parametrize(
    ("own_ft", "held_ft", "least_ft"), [(0.0, None, 55.5), (0.0, 90.0, 145.5), (500.0, 90.0, 500.0)]
)
def test_the_greater_of_own_margin_and_error_holds(
    prepared: Prepared, own_ft: float, held_ft: float | None, least_ft: float
) -> None:
    plan = plan_of(prepared, 29.92, 29.95, 29.98, own_ft=own_ft, height_keeping_ft=held_ft)
    margins = margins_of(plan)
    assert margins.vertical_ft == pytest.approx(least_ft, abs=0.2)
    assert ("differ by 55 ft" in margins.vertical_source) is (own_ft == 0.0)
    assert ("held within 90 ft" in margins.vertical_source) is (least_ft == 145.5)


def test_an_own_rate_of_descent_is_never_exceeded(prepared: Prepared) -> None:
    own = replace(prepared.plan.pilot.own, descent_fpm=350.0)
    plan = replace(prepared.plan, pilot=replace(prepared.plan.pilot, own=own))
    assert problem_from_plan(plan, 3_500.0).motion.descent_fpm == 350.0
    steep = replace(own, descent_fpm=2_000.0)
    plan = replace(plan, pilot=replace(plan.pilot, own=steep))
    assert problem_from_plan(plan, 3_500.0).motion.descent_fpm == plan.aircraft.descent_fpm
