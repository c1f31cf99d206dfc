"""What comes due: which end is shown, its day, and what lies within days or hours."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import lubberline
from lubberline.aircraft import Aircraft, Clocks, Done, Interval, Item, Upkeep, read_aircraft
from lubberline.fit import ComingDue, airplane_due, airplane_not_asked, pilot_due, soonest_first
from lubberline.pilot import OwnMinimums, Pilot

HERON = read_aircraft(
    Path(lubberline.__file__).parent / "demo" / "files" / "aircraft" / "heron.toml"
)
TODAY = date(2026, 11, 25)
CLOCKS = Clocks(on=TODAY, tach_h=2_000.0, in_service_h=2_000.0, cycles=4_000, weekly_h=3.5)


def oil(every: Interval, last: Done, clocks: Clocks = CLOCKS) -> Aircraft:
    item = Item(name="oil", kind="oil", label="oil", clock="tach", every=every, last=last)
    return replace(HERON, clocks=clocks, upkeep=Upkeep(items=(item,)), directives=())


def rows(aircraft: Aircraft, key: str = "airplane.item.oil") -> list[ComingDue]:
    return [row for row in airplane_due(aircraft, TODAY) if row.finding.limit.key == key]


def test_hours_have_an_estimated_day_from_the_usual_week() -> None:
    (row,) = rows(oil(Interval(h=50.0), Done(h=1_957.0)))  # 7 h left at 3.5 h a week
    assert row.on == TODAY + timedelta(days=14)
    assert row.estimated


def test_without_the_usual_week_hours_have_no_day() -> None:
    clocks = replace(CLOCKS, weekly_h=None)
    (row,) = rows(oil(Interval(h=50.0), Done(h=1_957.0), clocks))
    assert (row.on, row.estimated) == (None, False)
    assert row.is_within(TODAY, days=0, hours_h=7.0)
    assert not row.is_within(TODAY, days=3_650, hours_h=6.9)


def test_the_end_that_comes_first_is_shown() -> None:
    by_day = Done(on=date(2026, 8, 1), h=1_957.0)
    (row,) = rows(oil(Interval(h=50.0, months=4), by_day))
    assert (row.on, row.estimated) == (date(2026, 12, 1), False)
    (row,) = rows(oil(Interval(h=50.0, months=6), by_day))
    assert (row.on, row.estimated) == (TODAY + timedelta(days=14), True)


def test_an_end_that_is_not_known_is_shown_beside_the_one_that_is() -> None:
    known, unknown = rows(oil(Interval(h=50.0, months=4), Done(on=date(2026, 8, 1))))
    assert known.on == date(2026, 12, 1)
    assert not unknown.is_known
    assert "last_h of upkeep.item 'oil'" in unknown.finding.missing


def test_cycles_count_the_usual_week_too() -> None:
    clocks = replace(CLOCKS, weekly_cycles=7)
    (row,) = rows(oil(Interval(cycles=100), Done(cycles=3_914), clocks))
    assert row.on == TODAY + timedelta(days=14)


@pytest.mark.parametrize(("days", "within"), [(6, False), (7, True)])
def test_within_days_counts_the_last_day(days: int, within: bool) -> None:
    (row,) = rows(oil(Interval(days=20), Done(on=TODAY - timedelta(days=13))))
    assert row.is_within(TODAY, days=days, hours_h=0.0) is within


def test_what_is_past_is_always_within() -> None:
    (row,) = rows(oil(Interval(days=20), Done(on=TODAY - timedelta(days=21))))
    assert row.is_within(TODAY, days=0, hours_h=0.0)


def test_the_inspection_for_hire_and_the_static_test_say_when_they_are_asked_for() -> None:
    remarks = {row.finding.limit.key: row.remark for row in airplane_due(HERON, TODAY)}
    assert remarks["airplane.hundred_hour"] == "asked for when used for hire"
    assert remarks["airplane.altimeter_static"] == "instrument flight only"


def test_directives_that_ask_for_nothing_are_named_with_the_reason() -> None:
    foreign, once = airplane_not_asked(HERON)
    assert "does not apply: engine serial" in foreign.why
    assert "required once" in once.why


def test_a_battery_that_was_used_up_is_listed() -> None:
    used = replace(HERON, upkeep=replace(HERON.upkeep, elt_battery_used_h=1.5))
    (row,) = rows(used, "airplane.elt_battery")
    assert row.finding.value == 1.5
    (row,) = rows(HERON, "airplane.elt_battery")
    assert row.on == date(2029, 6, 30)


def test_the_pilot_s_last_days_are_those_of_the_findings() -> None:
    pilot = Pilot(
        name="A. Example",
        born_on=date(1985, 11, 11),
        certificate="private",
        medical_class=3,
        medical_on=None,
        flight_review_on=date(2024, 12, 5),
        weight_lb=170.0,
        own=OwnMinimums(),
    )
    review, medical = pilot_due(pilot, TODAY)
    assert review.on == date(2026, 12, 31)
    assert medical.finding.missing == "medical_on in pilot.toml"


@given(st.lists(st.tuples(st.integers(1, 400), st.integers(0, 400)), max_size=8))
def test_known_rows_come_in_the_order_of_their_days(every_and_ago: list[tuple[int, int]]) -> None:
    found = [
        row
        for every, ago in every_and_ago
        for row in rows(oil(Interval(days=every), Done(on=TODAY - timedelta(days=ago))))
    ]
    ordered = [row.on for row in soonest_first(found)]
    assert ordered == sorted(TODAY + timedelta(days=every - ago) for every, ago in every_and_ago)
