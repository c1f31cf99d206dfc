"""What makes a flight harder is told in facts; after a pause the pilot's tighter limits hold."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from lubberline.demo import write_folder
from lubberline.fit import risks
from lubberline.flight import Plan
from lubberline.loop import Prepared, prepare, prepare_plan
from lubberline.pilot import Pilot

LANDED = date(2026, 11, 14)  # in the starter's file


def told(prepared: Prepared, plan: Plan | None = None) -> dict[str, list[str]]:
    groups: dict[str, list[str]] = {}
    for one in risks(plan or prepared.plan, prepared.way, prepared.findings):
        groups.setdefault(one.group, []).append(one.text)
    return groups


def test_every_group_is_told(prepared: Prepared) -> None:
    groups = told(prepared)
    assert list(groups) == ["pilot", "airplane", "environment", "external pressure"]
    assert "11 days since your last landing on file" in groups["pilot"]
    assert "7 hours awake at landing" in groups["pilot"]
    assert any("to spare" in text for text in groups["external pressure"])
    assert any("crosswind" in text for text in groups["environment"])


def test_numbers_are_those_of_the_findings(prepared: Prepared) -> None:
    by_key = {one.limit.key: one for one in prepared.findings}
    slack_min = by_key["flight.appointment"].value
    assert slack_min is not None
    pressure = told(prepared)["external pressure"][0]
    assert pressure.startswith(f"time in hand at arrival: {int(slack_min)} min to spare")


def test_who_waits_and_who_rides_is_told(prepared: Prepared) -> None:
    flight = replace(
        prepared.plan.flight, arrive_by_utc=None, carries_persons=True, hire="instruction"
    )
    plan = replace(prepared.plan, flight=flight)
    pressure = told(replace(prepared, findings=()), plan)["external pressure"]
    assert pressure == [
        "nobody waits by the clock",
        "persons aboard who want to arrive",
        "paid for: instruction",
    ]


def test_without_a_landing_on_file_that_is_said(prepared: Prepared) -> None:
    plan = replace(prepared.plan, pilot=replace(prepared.plan.pilot, landings=None, fitness=None))
    pilot = told(prepared, plan)["pilot"]
    assert pilot[0].startswith("no landing on file")
    assert "your fitness check is not answered" in pilot


@pytest.mark.parametrize(
    ("after_days", "crosswind_kt"),
    [(0, 14.0), (30, 14.0), (45, 11.0), (60, 8.0), (90, 8.0), (-1, 8.0)],
)
def test_after_a_pause_the_minimums_tighten_evenly(
    prepared: Prepared, after_days: int, crosswind_kt: float
) -> None:
    own = prepared.plan.pilot.own_on(LANDED + timedelta(days=after_days))
    assert own.crosswind_kt == crosswind_kt
    assert own.fuel_reserve_min == prepared.plan.pilot.own.fuel_reserve_min


def test_without_a_pause_in_the_file_they_never_change(prepared: Prepared) -> None:
    pilot: Pilot = replace(prepared.plan.pilot, after_pause=None)
    assert pilot.own_on(date(2036, 1, 1)) is pilot.own


def test_the_minimums_of_the_day_are_those_that_findings_use(tmp_path: Path) -> None:
    prepared = prepare(write_folder(tmp_path / "folder"), None)
    plan = prepared.plan
    rusty = replace(plan.pilot, landings=())
    found = {one.limit.key: one for one in prepare_plan(replace(plan, pilot=rusty), None).findings}
    assert found["flight.crosswind_destination"].limit.high == 8.0
