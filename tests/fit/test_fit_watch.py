"""Who looks for the flight, when, and whether the beacons aboard serve."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from fit_cases import found, keys, with_aircraft, with_flight

from lubberline.fit import WatchNote, fuel_plan, rules_of, times_utc, watch_note
from lubberline.flight import Beacon, Plan
from lubberline.line import Verdict
from lubberline.loop import Prepared

DAY = date(2026, 11, 25)


def with_watch(plan: Plan, **changes: Any) -> Plan:
    assert plan.flight.watch is not None
    return with_flight(plan, watch=replace(plan.flight.watch, **changes))


def note(plan: Plan, one: Prepared) -> WatchNote | None:
    return watch_note(plan, one.way, fuel_plan(plan, one.way, rules_of(plan)))


def test_nobody_who_knows_is_not_passed_over(prepared: Prepared) -> None:
    plan = with_flight(prepared.plan, watch=None)
    finding = found(plan, prepared, "flight.watch")
    assert finding.verdict is Verdict.UNKNOWN
    assert finding.missing.startswith("[watch] in flight.toml")
    assert note(plan, prepared) is None


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
        made = note(with_watch(prepared.plan, overdue_min=minutes), prepared)
        assert made is not None
        assert made.overdue_utc == on_block_utc + timedelta(minutes=after)


def test_the_note_has_what_a_search_asks_for(prepared: Prepared) -> None:
    plan = with_aircraft(prepared.plan, colors="red over white")
    made = note(plan, prepared)
    assert made is not None
    assert (made.call_sign, made.colors, made.persons_count) == ("Q-HRN", "red over white", 1)
    assert made.over[0] == "QWRN"
    assert made.endurance_min is not None
    assert made.dry_utc == made.takeoff_utc + timedelta(minutes=made.endurance_min)


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
