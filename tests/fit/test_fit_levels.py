"""Oil and fuel against the least that the manual asks for, on both sides of each bound."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from fit_cases import found, with_flight

from lubberline.aircraft import Oil, Systems
from lubberline.fit.levels import level_findings
from lubberline.flight import Plan
from lubberline.line import Finding, Verdict
from lubberline.loop import Prepared


def oil(plan: Plan, oil: Oil) -> Finding:
    bare = replace(plan.aircraft, oil=oil, systems=Systems())
    (finding,) = level_findings(replace(plan, aircraft=bare))
    return finding


@pytest.mark.parametrize(
    ("read_qt", "verdict"),
    [
        (4.9, Verdict.OUTSIDE),
        (5.0, Verdict.INSIDE),
        (8.0, Verdict.INSIDE),
        (8.1, Verdict.OUTSIDE),
    ],
)
def test_oil_is_between_the_least_and_the_most(
    prepared: Prepared, read_qt: float, verdict: Verdict
) -> None:
    day = prepared.plan.flight.off_block_utc.date()
    level = Oil(min_qt=5.0, max_qt=8.0, read_qt=read_qt, read_on=day)
    assert oil(prepared.plan, level).verdict is verdict


@pytest.mark.parametrize(("days", "known"), [(0, True), (1, True), (2, False), (-2, False)])
def test_a_reading_serves_for_its_day_and_the_next(
    prepared: Prepared, days: int, known: bool
) -> None:
    day = prepared.plan.flight.off_block_utc.date() - timedelta(days=days)
    finding = oil(prepared.plan, Oil(min_qt=5.0, read_qt=7.0, read_on=day))
    assert (finding.verdict is Verdict.INSIDE) is known
    assert known or f"read {day}" in finding.note


def test_without_a_reading_the_dipstick_would_tell(prepared: Prepared) -> None:
    finding = oil(prepared.plan, Oil(min_qt=5.0))
    assert finding.verdict is Verdict.UNKNOWN
    assert "dipstick" in finding.missing
    assert "read_qt" in finding.missing


def test_what_the_manual_does_not_ask_for_is_not_asked(prepared: Prepared) -> None:
    read = Oil(read_qt=1.0, read_on=date(2026, 11, 25))
    bare = replace(prepared.plan.aircraft, oil=read, systems=Systems())
    assert list(level_findings(replace(prepared.plan, aircraft=bare))) == []


@pytest.mark.parametrize(("left_gal", "verdict"), [(10.0, "inside"), (9.9, "outside")])
def test_the_least_fuel_for_take_off_is_what_start_and_taxi_leave(
    prepared: Prepared, left_gal: float, verdict: str
) -> None:
    aboard_gal = left_gal + prepared.plan.aircraft.taxi_gal
    plan = with_flight(prepared.plan, fuel_gal={"left": aboard_gal})
    finding = found(plan, prepared, "airplane.fuel_takeoff")
    assert finding.limit.low == 10.0
    assert finding.verdict == verdict
