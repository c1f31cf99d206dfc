"""Who looks for the flight, when, and whether the beacons aboard serve."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from fit_cases import found, keys, with_flight

from lubberline.fit import overdue_utc, times_utc
from lubberline.flight import Beacon, Plan
from lubberline.line import Verdict
from lubberline.loop import Prepared

DAY = date(2026, 11, 25)


def with_watch(plan: Plan, **changes: Any) -> Plan:
    assert plan.flight.watch is not None
    return with_flight(plan, watch=replace(plan.flight.watch, **changes))


def test_nobody_who_knows_is_not_passed_over(prepared: Prepared) -> None:
    plan = with_flight(prepared.plan, watch=None)
    finding = found(plan, prepared, "flight.watch")
    assert finding.verdict is Verdict.UNKNOWN
    assert finding.missing.startswith("[watch] in flight.toml")


@pytest.mark.parametrize(("late_min", "verdict"), [(0.0, Verdict.INSIDE), (-1.0, Verdict.OUTSIDE)])
def test_an_alarm_before_the_arrival_is_outside(
    prepared: Prepared, late_min: float, verdict: Verdict
) -> None:
    on_block_utc = times_utc(prepared.plan, prepared.way)[2]
    at_utc = on_block_utc + timedelta(minutes=late_min)
    plan = with_watch(prepared.plan, overdue_utc=at_utc)
    assert found(plan, prepared, "flight.watch").verdict is verdict


def test_overdue_is_as_said_else_so_many_minutes_after_the_arrival(prepared: Prepared) -> None:
    on_block_utc = times_utc(prepared.plan, prepared.way)[2]
    for minutes, after in ((45.0, 45.0), (None, 30.0)):
        watch = with_watch(prepared.plan, overdue_min=minutes).flight.watch
        assert watch is not None
        assert overdue_utc(watch, on_block_utc) == on_block_utc + timedelta(minutes=after)


@pytest.mark.parametrize(
    ("beacon", "verdict"),
    [
        (Beacon(kind="ELT 406 MHz", registered=True, battery_until=DAY), Verdict.INSIDE),
        (
            Beacon(kind="ELT 406 MHz", registered=True, battery_until=DAY - timedelta(days=1)),
            Verdict.OUTSIDE,
        ),
        (Beacon(kind="ELT 406 MHz", registered=False, battery_until=DAY), Verdict.OUTSIDE),
        (Beacon(kind="personal 406 MHz", battery_until=DAY), Verdict.UNKNOWN),
        (Beacon(kind="personal 406 MHz", registered=True), Verdict.UNKNOWN),
        (Beacon(kind="ELT 121.5 MHz", battery_until=DAY), Verdict.INSIDE),  # carries no code
    ],
)
def test_a_beacon_is_registered_and_in_date(
    prepared: Prepared, beacon: Beacon, verdict: Verdict
) -> None:
    plan = with_watch(prepared.plan, beacons=(beacon,))
    assert found(plan, prepared, "flight.beacon_1").verdict is verdict


def test_no_beacon_is_no_finding(prepared: Prepared) -> None:
    assert "flight.beacon_1" not in keys(with_watch(prepared.plan, beacons=()), prepared)
