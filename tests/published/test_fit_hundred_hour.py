"""The 100-hour inspection against the wording of 14 CFR 91.409(b), read 2026-11-25.

"The 100-hour limitation may be exceeded by not more than 10 hours while en route to reach a
place where the inspection can be done. The excess time used ... must be included in computing
the next 100 hours of time in service." When it is asked for at all: same paragraph, and FAA
Chief Counsel's letters on rental without an instructor.
"""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import lubberline
from lubberline.aircraft import Aircraft, Clocks, Done, Item, Kind, Upkeep, Use, read_aircraft
from lubberline.fit.operation import Operation
from lubberline.fit.upkeep import Occasion, duty_finding
from lubberline.fit.us.hundred_hour import hundred_hour, next_hundred_h
from lubberline.flight import Hire
from lubberline.line import Finding, Verdict

HERON = read_aircraft(
    Path(lubberline.__file__).parent / "demo" / "files" / "aircraft" / "heron.toml"
)
TODAY = date(2026, 11, 25)
DONE_ON = date(2026, 6, 1)


def flight(
    hire: Hire | None = "persons", *, carries: bool = True, to_inspection: bool = False
) -> Operation:
    return Operation(hire=hire, carries_persons=carries, to_inspection=to_inspection)


def inspected(kind: Kind, at_h: float | None, due_h: float | None = None) -> Item:
    last = Done(on=DONE_ON, h=at_h, due_h=due_h)
    return Item(name=kind, kind=kind, label=kind, clock="in_service", last=last)


def airplane(*items: Item, reading_h: float) -> Aircraft:
    clocks = Clocks(on=TODAY, in_service_h=reading_h)
    return replace(HERON, clocks=clocks, upkeep=Upkeep(items=items))


def judged(aircraft: Aircraft, asked: Operation, *, flown_h: float) -> Finding:
    occasion = Occasion(day=TODAY, clocks=aircraft.clocks, use=Use(in_service_h=flown_h))
    return duty_finding(hundred_hour(aircraft, asked), occasion)


@pytest.mark.parametrize(
    ("done_h", "was_due_h", "next_h"),
    [
        (2_000.0, None, 2_100.0),  # last at 2000.0: due 2100.0
        (2_104.0, 2_100.0, 2_200.0),  # flown to 2104.0 en route: next due 2200.0
        (2_110.0, 2_100.0, 2_200.0),
        (2_098.0, 2_100.0, 2_198.0),  # done early: within the preceding 100 hours
    ],
)
def test_next_due(done_h: float, was_due_h: float | None, next_h: float) -> None:
    assert next_hundred_h(done_h, was_due_h) == next_h


@pytest.mark.parametrize(
    ("reading_h", "verdict"),
    [(2_099.0, Verdict.INSIDE), (2_099.1, Verdict.OUTSIDE)],
)
def test_for_hire_a_flight_may_reach_a_hundred_hours_but_not_pass(
    reading_h: float, verdict: Verdict
) -> None:
    aircraft = airplane(inspected("hundred-hour", 2_000.0), reading_h=reading_h)
    assert judged(aircraft, flight(), flown_h=1.0).verdict is verdict


@pytest.mark.parametrize(
    ("reading_h", "verdict"),
    [(2_104.0, Verdict.INSIDE), (2_109.0, Verdict.INSIDE), (2_109.1, Verdict.OUTSIDE)],
)
def test_on_the_way_to_its_inspection_by_ten_hours(reading_h: float, verdict: Verdict) -> None:
    aircraft = airplane(inspected("hundred-hour", 2_000.0), reading_h=reading_h)
    asked = flight(to_inspection=True)
    assert judged(aircraft, asked, flown_h=1.0).verdict is verdict
    assert judged(aircraft, flight(), flown_h=1.0).verdict is Verdict.OUTSIDE


@pytest.mark.parametrize(
    ("items", "next_h"),
    [
        ([inspected("annual", 2_050.0)], 2_150.0),  # an annual stands for it
        ([inspected("hundred-hour", 2_000.0), inspected("annual", 2_050.0)], 2_150.0),
        ([inspected("hundred-hour", 2_080.0), inspected("annual", 2_050.0)], 2_180.0),
        # The excess counts whichever inspection it led to, if the file does not say so itself.
        ([inspected("hundred-hour", 2_000.0), inspected("annual", 2_104.0)], 2_200.0),
        ([inspected("annual", 2_000.0), inspected("hundred-hour", 2_110.0)], 2_200.0),
        ([inspected("hundred-hour", 2_104.0, 2_100.0)], 2_200.0),
        # More than 10 h past it: not used for hire in between, a new count begins.
        ([inspected("hundred-hour", 2_000.0), inspected("annual", 2_110.5)], 2_210.5),
    ],
)
def test_the_latest_inspection_counts_and_its_excess(items: list[Item], next_h: float) -> None:
    found = judged(airplane(*items, reading_h=2_120.0), flight(), flown_h=0.0)
    assert found.value == pytest.approx(next_h - 2_120.0)


def test_an_annual_read_from_another_clock_does_not_stand_for_it() -> None:
    other = replace(inspected("annual", 2_400.0), clock="hobbs")
    aircraft = airplane(inspected("hundred-hour", 2_000.0), other, reading_h=2_120.0)
    assert judged(aircraft, flight(), flown_h=0.0).value == pytest.approx(-20.0)


@pytest.mark.parametrize(
    ("hire", "carries", "asked"),
    [
        ("persons", True, True),
        ("instruction", True, True),
        ("rental", True, False),
        ("none", True, False),
        (None, False, False),
    ],
)
def test_when_it_is_asked_for(hire: Hire | None, carries: bool, asked: bool) -> None:
    aircraft = airplane(inspected("hundred-hour", 2_000.0), reading_h=2_150.0)
    found = judged(aircraft, flight(hire, carries=carries), flown_h=1.0)
    assert (found.verdict is Verdict.OUTSIDE) is asked
    assert ("not asked for" in found.limit.label) is not asked
    assert found.limit.source.startswith("14 CFR 91.409(b)")


def test_persons_aboard_and_nothing_said_of_hire_leaves_it_open() -> None:
    past = airplane(inspected("hundred-hour", 2_000.0), reading_h=2_150.0)
    found = judged(past, flight(None), flown_h=1.0)
    assert found.verdict is Verdict.UNKNOWN
    assert found.missing == "hire in flight.toml"
    fresh = airplane(inspected("hundred-hour", 2_140.0), reading_h=2_150.0)
    assert judged(fresh, flight(None), flown_h=1.0).verdict is Verdict.INSIDE


def test_an_entry_without_hours_is_named() -> None:
    found = judged(
        airplane(inspected("hundred-hour", None), reading_h=2_150.0), flight(), flown_h=1.0
    )
    assert found.verdict is Verdict.UNKNOWN
    assert found.missing == "last_h of upkeep.item 'hundred-hour'"


@given(st.lists(st.tuples(st.integers(1, 1_000), st.integers(0, 100)), min_size=1, max_size=12))
def test_excess_never_wins_hours(flights: list[tuple[int, int]]) -> None:
    """However late each inspection is done en route, the N-th is due no later than N times 100 h.

    Done early at a tenth of hours before it is due, or late by up to 10 h.
    """
    due_h, count = 100.0, 1
    for early_tenths, late_tenths in flights:
        done_h = due_h - early_tenths / 10.0 if early_tenths % 2 else due_h + late_tenths / 10.0
        due_h = next_hundred_h(done_h, due_h)
        count += 1
        assert due_h <= 100.0 * count + 1e-9
        assert due_h <= done_h + 100.0 + 1e-9
