"""Directives: to whom they apply, what is settled, and what is due next."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.aircraft import (
    Aircraft,
    Alternative,
    Applies,
    Bound,
    DayBound,
    Directive,
    Done,
    End,
    First,
    HourBound,
    Interval,
    Standing,
    applicability,
    standing,
)
from lubberline.aircraft.directives import serial_in_range

CAME = date(2025, 4, 21)
DIRECTIVE = Directive(number="Q-1", subject="invented", effective_on=CAME, effective_h=2_101.5)


def done(on: date, h: float | None = None, action: str = "") -> Done:
    return Done(on=on, h=h, action=action, method="inspected", reference="log, page 1")


def stands(heron: Aircraft, **changes: object) -> Standing:
    return standing(replace(DIRECTIVE, **changes), heron)  # type: ignore[arg-type]


def bounds(found: Standing) -> list[date | float | None]:
    assert found.due is not None

    def end(bound: Bound) -> date | float | None:
        if isinstance(bound, DayBound):
            return bound.last_day
        return bound.at_h if isinstance(bound, HourBound) else bound.at_cycles

    return [end(bound) for bound in found.due.bounds]


@pytest.mark.parametrize(
    ("serial", "inside"),
    [
        ("HR-0001", True),
        ("HR-0150", True),
        ("hr-0118 ", True),
        ("HR-0151", False),
        ("HR-0000", False),
        ("HS-0118", False),
        ("HR-118", True),
        ("HR-0118A", False),
        ("", False),
    ],
)
def test_a_serial_compares_only_with_its_own_letters(serial: str, inside: bool) -> None:
    assert serial_in_range(serial, "HR-0001", "HR-0150") is inside


@given(st.integers(0, 400), st.integers(0, 400), st.integers(0, 400))
def test_a_serial_range_is_the_numbers_between_its_ends(one: int, low: int, high: int) -> None:
    inside = serial_in_range(f"HR-{one:04d}", f"HR-{low:04d}", f"HR-{high:04d}")
    assert inside is (one in range(low, high + 1))


@pytest.mark.parametrize(
    ("applies", "told"),
    [
        (Applies(serial_ranges=(("HR-0119", "HR-0200"),)), "airframe serial HR-0118 is not in"),
        (Applies(only_with=("two-blade propeller",)), "it has no two-blade propeller"),
        (Applies(only_without=("three-blade propeller",)), "it has three-blade propeller"),
        (Applies(from_h=2_101.6), "2,101.5 h on 2025-04-21, and it is for 2,101.6 h or more"),
        (Applies(below_h=2_101.5), "it is for less than 2,101.5 h"),
    ],
)
def test_a_directive_that_does_not_apply_says_why(
    heron: Aircraft, applies: Applies, told: str
) -> None:
    found = stands(heron, applies=applies)
    assert found.settled
    assert found.due is None
    assert found.account.startswith("does not apply: ")
    assert told in found.account


@pytest.mark.parametrize(
    "applies",
    [
        Applies(),
        Applies(serial_ranges=(("HR-0001", "HR-0050"), ("HR-0118", "HR-0118"))),
        Applies(part="engine", serial_ranges=(("E-20000", "E-30000"),)),
        Applies(only_with=("cast fuel selector",), only_without=("float kit",)),
        Applies(from_h=2_101.5),
        Applies(below_h=2_101.6),
    ],
)
def test_a_directive_that_applies_is_due(heron: Aircraft, applies: Applies) -> None:
    assert applicability(replace(DIRECTIVE, applies=applies), heron) == (True, "")
    assert not stands(heron, applies=applies).settled


def test_what_would_tell_whether_it_applies_is_named(heron: Aircraft) -> None:
    bare = replace(heron, serials={}, configuration=None)
    ranged = Applies(part="engine", serial_ranges=(("E-1", "E-2"),), only_with=("float kit",))
    found = standing(replace(DIRECTIVE, applies=ranged), bare)
    assert not found.settled
    assert found.missing == (
        "serials.engine in the aircraft file and configuration in the aircraft file"
    )
    no_hours = replace(DIRECTIVE, effective_h=None, applies=Applies(from_h=500.0))
    assert "effective_h of directive Q-1" in standing(no_hours, heron).missing


def test_one_condition_that_is_not_met_decides(heron: Aircraft) -> None:
    bare = replace(heron, serials={})
    applies = Applies(serial_ranges=(("E-1", "E-2"),), only_with=("float kit",))
    assert standing(replace(DIRECTIVE, applies=applies), bare).settled


def test_without_a_first_time_it_is_due_before_the_next_flight(heron: Aircraft) -> None:
    # The last day without it is the day before it came into force.
    assert bounds(stands(heron)) == [date(2025, 4, 20)]


def test_the_first_time_counts_from_the_day_it_came_into_force(heron: Aircraft) -> None:
    first = First(within=Interval(h=50.0, days=30, calendar_months=12))
    assert bounds(stands(heron, first=first)) == [date(2026, 4, 30), date(2025, 5, 21), 2_151.5]


def test_the_first_time_by_the_part_s_own_hours(heron: Aircraft) -> None:
    # "Inspect once at 5,000 h" of an engine that was new at 1,200.0 h on the clock.
    first = First(at=End(h=5_000.0))
    assert bounds(stands(heron, first=first)) == [5_000.0]
    assert bounds(stands(heron, first=first, part_new_h=1_200.0)) == [6_200.0]


def test_the_later_of_two_first_times_is_kept_as_such(heron: Aircraft) -> None:
    first = First(within=Interval(h=100.0), at=End(h=5_000.0), whichever="later")
    found = stands(heron, first=first)
    assert found.due is not None
    assert found.due.whichever == "later"
    assert bounds(found) == [2_201.5, 5_000.0]


def test_a_first_time_in_hours_without_the_hours_of_that_day_is_not_known(heron: Aircraft) -> None:
    found = stands(heron, effective_h=None, first=First(within=Interval(h=50.0)))
    assert found.due is not None
    assert [bound.missing for bound in found.due.bounds] == ["effective_h of directive Q-1"]


def test_what_is_required_once_is_closed_when_done(heron: Aircraft) -> None:
    found = stands(heron, done=(done(CAME, 2_101.5),))
    assert found.settled
    assert found.account == "required once; done 2025-04-21 (inspected; log, page 1)"


def test_what_recurs_is_due_after_the_latest_entry(heron: Aircraft) -> None:
    then = Interval(h=500.0, months=12)
    entries = (done(CAME, 2_101.5), done(date(2026, 2, 1), 2_180.0))
    found = stands(heron, then=then, done=entries)
    assert bounds(found) == [date(2027, 2, 1), 2_680.0]


def test_an_entry_without_hours_leaves_the_next_hours_unknown(heron: Aircraft) -> None:
    found = stands(heron, then=Interval(h=500.0), done=(done(CAME),))
    assert found.due is not None
    assert [bound.missing for bound in found.due.bounds] == [
        "h of the latest directive.done of Q-1"
    ]


ALTERNATIVES = (
    Alternative(action="larger bolt", every=Interval(h=2_000.0)),
    Alternative(action="steel fitting"),
)


def test_an_action_changes_the_interval_from_then_on(heron: Aircraft) -> None:
    # Inspect once at 5,000 h, then every 500 h; with the larger bolt every 2,000 h.
    common = {"then": Interval(h=500.0), "alternatives": ALTERNATIVES}
    inspected = done(date(2025, 5, 1), 5_000.0)
    bolted = done(date(2025, 9, 1), 5_400.0, action="larger bolt")
    later = done(date(2026, 9, 1), 7_300.0)
    assert bounds(stands(heron, **common, done=(inspected,))) == [5_500.0]
    assert bounds(stands(heron, **common, done=(inspected, bolted))) == [7_400.0]
    assert bounds(stands(heron, **common, done=(inspected, bolted, later))) == [9_300.0]


def test_an_action_may_end_it(heron: Aircraft) -> None:
    ended = done(date(2025, 9, 1), 5_400.0, action="steel fitting")
    found = stands(heron, then=Interval(h=500.0), alternatives=ALTERNATIVES, done=(ended,))
    assert found.settled
    assert found.account.startswith("ended by: steel fitting")


def test_the_demo_s_directives_stand_three_ways(heron: Aircraft) -> None:
    recurring, foreign, once = (standing(one, heron) for one in heron.directives)
    assert bounds(recurring) == [date(2027, 3, 31), pytest.approx(2_250.2)]
    assert "does not apply" in foreign.account
    assert "required once" in once.account
