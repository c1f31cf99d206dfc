"""The upkeep ledger: what is due when, against a definition by brute force."""

import calendar
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.aircraft import (
    CycleBound,
    DayBound,
    Done,
    End,
    HourBound,
    Interval,
    Item,
    Upkeep,
    item_due,
)

TEN_YEARS = st.dates(date(2020, 1, 1), date(2030, 1, 1))
OIL = Item(name="oil", kind="oil", label="oil", clock="tach")


def ends(item: Item, rule: Interval | None = None) -> list[date | float | int | None]:
    """The end of each bound, in order."""
    found: list[date | float | int | None] = []
    for bound in item_due(item, rule).bounds:
        match bound:
            case DayBound():
                found.append(bound.last_day)
            case HourBound():
                found.append(bound.at_h)
            case CycleBound():
                found.append(bound.at_cycles)
    return found


def item(every: Interval, last: Done, until: End | None = None, had_h: float = 0.0) -> Item:
    return Item(
        name="oil",
        kind="oil",
        label="oil",
        clock="tach",
        every=every,
        last=last,
        until=until or End(),
        had_h=had_h,
    )


def good_by_counting(done_on: date, day: date, *, calendar_months: int) -> bool:
    """Whether a day is reached before N first days of a month and then one more have passed."""
    firsts, at = 0, done_on
    while at < day:
        at += timedelta(days=1)
        firsts += at.day == 1
    return firsts <= calendar_months


@given(TEN_YEARS, st.integers(1, 36), st.integers(-3, 3))
def test_a_calendar_end_agrees_with_counting_days(done_on: date, months: int, off: int) -> None:
    (end,) = ends(item(Interval(calendar_months=months), Done(on=done_on)))
    assert isinstance(end, date)
    day = end + timedelta(days=off)
    assert (day <= end) == good_by_counting(done_on, day, calendar_months=months)


@given(TEN_YEARS, st.integers(1, 60))
def test_an_end_after_days_is_as_many_days_later(done_on: date, days: int) -> None:
    (end,) = ends(item(Interval(days=days), Done(on=done_on)))
    day = done_on
    for _ in range(days):
        day += timedelta(days=1)
    assert end == day


@given(TEN_YEARS, st.integers(1, 36))
def test_an_end_after_months_is_the_same_day_where_there_is_one(done_on: date, months: int) -> None:
    (end,) = ends(item(Interval(months=months), Done(on=done_on)))
    year, month = done_on.year, done_on.month
    for _ in range(months):
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
    assert end == date(year, month, min(done_on.day, calendar.monthrange(year, month)[1]))


@given(
    TEN_YEARS,
    st.integers(1, 12),
    st.integers(5, 200),
    st.lists(st.integers(0, 40), min_size=1, max_size=400),
)
def test_whichever_comes_first_agrees_with_flying_day_by_day(
    done_on: date, months: int, every_h: int, flown_tenths: list[int]
) -> None:
    """Fly day by day; the first day that runs past either end is the first that both ends say."""
    oil = item(Interval(calendar_months=months, h=float(every_h)), Done(on=done_on, h=1_000.0))
    last_day, at_h = ends(oil)
    assert isinstance(last_day, date)
    assert isinstance(at_h, float)
    tenths = 0
    for number, flown in enumerate(flown_tenths):
        day = done_on + timedelta(days=number)
        tenths += flown
        past = tenths > every_h * 10 or not good_by_counting(done_on, day, calendar_months=months)
        assert past == (day > last_day or 1_000.0 + tenths / 10.0 > at_h + 1e-9)
        if past:
            return


def test_hours_and_cycles_count_from_the_entry() -> None:
    both = item(Interval(h=50.0, cycles=300), Done(h=2_150.2, cycles=4_000))
    assert ends(both) == [pytest.approx(2_200.2), 4_300]


def test_a_part_that_came_used_is_due_earlier() -> None:
    # 2,000 h of life, fitted at 1,604.0 h with 212.5 h on it.
    assert ends(item(Interval(h=2_000.0), Done(h=1_604.0), had_h=212.5)) == [3_391.5]


def test_a_rule_s_interval_and_the_own_one_both_stand() -> None:
    every = item(Interval(months=6), Done(on=date(2026, 3, 12)))
    assert ends(every, Interval(calendar_months=12)) == [date(2027, 3, 31), date(2026, 9, 12)]


def test_fixed_ends_stand_as_they_are() -> None:
    fixed = item(Interval(), Done(), End(on=date(2031, 5, 31), h=4_000.0, cycles=10_000))
    assert ends(fixed) == [date(2031, 5, 31), 4_000.0, 10_000]


@pytest.mark.parametrize(
    ("every", "missing"),
    [
        (Interval(calendar_months=12), "last_on of upkeep.item 'oil'"),
        (Interval(days=28), "last_on of upkeep.item 'oil'"),
        (Interval(h=50.0), "last_h of upkeep.item 'oil'"),
        (Interval(cycles=300), "last_cycles of upkeep.item 'oil'"),
    ],
)
def test_an_end_without_its_entry_stays_and_names_it(every: Interval, missing: str) -> None:
    (bound,) = item_due(item(every, Done())).bounds
    assert bound.missing == missing
    assert ends(item(every, Done())) == [None]


def test_a_date_in_upkeep_serves_as_an_item() -> None:
    upkeep = Upkeep(annual_on=date(2026, 3, 12), elt_battery_until=date(2029, 6, 30))
    annual, battery = upkeep.of_kind("annual"), upkeep.of_kind("elt-battery")
    assert annual is not None
    assert annual.last.on == date(2026, 3, 12)
    assert battery is not None
    assert battery.until.on == date(2029, 6, 30)
    assert upkeep.of_kind("transponder") is None
    assert upkeep.of_kind("oil") is None


def test_an_item_of_a_kind_is_found_by_it() -> None:
    assert Upkeep(items=(OIL,)).of_kind("oil") is OIL
