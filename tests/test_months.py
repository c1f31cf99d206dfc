"""Calendar months: both sides of every boundary, and against a definition by brute force."""

import calendar
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.months import end_of_month_after, same_day_after


@pytest.mark.parametrize(
    ("done_on", "months_count", "last_day"),
    [
        # 14 CFR 61.56(c): done 2024-03-05, good through the last day of the 24th month after.
        (date(2024, 3, 5), 24, date(2026, 3, 31)),
        # 14 CFR 61.23(d) table: third class, examined 2025-11-10 under 40, end of the 60th month.
        (date(2025, 11, 10), 60, date(2030, 11, 30)),
        # Same, at 40 or over: end of the 24th month.
        (date(2025, 11, 10), 24, date(2027, 11, 30)),
        # 14 CFR 91.409(a): inspected 2025-05-20, good through the 12th month after.
        (date(2025, 5, 20), 12, date(2026, 5, 31)),
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2023, 2, 1), 12, date(2024, 2, 29)),
        (date(2026, 12, 31), 1, date(2027, 1, 31)),
    ],
)
def test_good_through_the_last_day_of_the_month(
    done_on: date, months_count: int, last_day: date
) -> None:
    assert end_of_month_after(done_on, months_count=months_count) == last_day


@given(st.dates(date(2016, 1, 1), date(2036, 1, 1)), st.integers(1, 60))
def test_months_agree_with_counting_them_one_by_one(done_on: date, months_count: int) -> None:
    day, months_seen = done_on, 0
    while months_seen < months_count:
        day += timedelta(days=1)
        months_seen += day.day == 1
    last_day = day.replace(day=calendar.monthrange(day.year, day.month)[1])
    assert end_of_month_after(done_on, months_count=months_count) == last_day


@pytest.mark.parametrize(
    ("done_on", "months_count", "last_day"),
    [
        (date(2026, 2, 10), 6, date(2026, 8, 10)),
        (date(2026, 8, 31), 6, date(2027, 2, 28)),
        (date(2023, 8, 31), 6, date(2024, 2, 29)),
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2026, 12, 1), 1, date(2027, 1, 1)),
    ],
)
def test_months_that_are_not_calendar_months_end_on_the_same_day(
    done_on: date, months_count: int, last_day: date
) -> None:
    assert same_day_after(done_on, months_count=months_count) == last_day


@given(st.dates(date(2016, 1, 1), date(2036, 1, 1)), st.integers(1, 60))
def test_the_same_day_is_never_beyond_the_calendar_month(done_on: date, months_count: int) -> None:
    same = same_day_after(done_on, months_count=months_count)
    end = end_of_month_after(done_on, months_count=months_count)
    assert (same.year, same.month) == (end.year, end.month)
    assert same.day == min(done_on.day, end.day)
