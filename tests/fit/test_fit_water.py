"""Over water beyond gliding reach: what is asked for hire, and what the pilot set."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from lubberline.fit.us.water import water_findings
from lubberline.flight import Plan
from lubberline.line import Finding, Verdict
from lubberline.loop import Prepared
from lubberline.ways import Way


def at_sea(plan: Plan, **flight: Any) -> Plan:
    """The same flight with one small island 60 NM away for all its land."""
    island = np.array([[42.5, -131.0], [42.5, -130.9], [42.6, -130.9]])
    return replace(
        plan,
        places=replace(plan.places, land_deg=(island,)),
        flight=replace(plan.flight, **flight),
    )


def found(plan: Plan, way: Way) -> dict[str, Finding]:
    return {one.limit.key: one for one in water_findings(plan, way)}


def aboard(plan: Plan, *names: str) -> Plan:
    fitted = (*(plan.aircraft.equipment.fitted or ()), *names)
    equipment = replace(plan.aircraft.equipment, fitted=fitted)
    return replace(plan, aircraft=replace(plan.aircraft, equipment=equipment))


@pytest.mark.parametrize(
    ("hire", "names", "verdict"),
    [
        ("persons", (), Verdict.OUTSIDE),
        ("persons", ("life jackets",), Verdict.OUTSIDE),
        ("persons", ("life jackets", "signal flares"), Verdict.INSIDE),
        ("rental", (), None),  # 91.205(b)(12) asks only for hire
    ],
)
def test_for_hire_jackets_and_a_signal_are_asked_for(
    prepared: Prepared, hire: str, names: tuple[str, ...], verdict: Verdict | None
) -> None:
    plan = aboard(at_sea(prepared.plan, hire=hire), *names)
    gear = found(plan, prepared.way).get("airplane.flotation")
    assert (gear.verdict if gear else None) is verdict


def test_the_whole_way_is_beyond_an_island_far_off(prepared: Prepared) -> None:
    beyond = found(at_sea(prepared.plan), prepared.way)["flight.beyond_land"]
    assert beyond.value == pytest.approx(prepared.way.time_min, abs=0.2)


@pytest.mark.parametrize(
    ("own_min", "verdict"),
    [(5.0, Verdict.OUTSIDE), (None, Verdict.CLOSE), (60.0, Verdict.INSIDE)],
)
def test_the_pilot_s_own_limit_decides_and_without_one_it_is_shown(
    prepared: Prepared, own_min: float | None, verdict: Verdict
) -> None:
    plan = at_sea(prepared.plan)
    own = replace(plan.pilot.own, beyond_land_min=own_min)
    plan = replace(plan, pilot=replace(plan.pilot, own=own))
    assert found(plan, prepared.way)["flight.beyond_land"].verdict is verdict


def test_without_land_on_file_nothing_is_said(prepared: Prepared) -> None:
    plan = replace(prepared.plan, places=replace(prepared.plan.places, land_deg=()))
    assert found(plan, prepared.way) == {}
