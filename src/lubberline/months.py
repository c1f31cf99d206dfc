"""Calendar arithmetic of rules and logbooks: when something done on a day stops being good.

"Within N calendar months" runs to the last day of the N-th month after the month it was
done in, whatever the day (the reading of 14 CFR 61.23(d), 61.56(c) and 91.409(a)). "Within
N months" of a directive or a manual runs to the same day of the N-th month.
"""

import calendar
from datetime import date


def end_of_month_after(done_on: date, *, months_count: int) -> date:
    """Last day on which something done on ``done_on`` is still within N calendar months.

    >>> end_of_month_after(date(2024, 3, 5), months_count=24)
    datetime.date(2026, 3, 31)
    """
    year, month = _month_after(done_on, months_count)
    return date(year, month, calendar.monthrange(year, month)[1])


def same_day_after(done_on: date, *, months_count: int) -> date:
    """The same day N months later; the last day of that month where it has no such day.

    >>> same_day_after(date(2026, 8, 31), months_count=6)
    datetime.date(2027, 2, 28)
    """
    year, month = _month_after(done_on, months_count)
    return date(year, month, min(done_on.day, calendar.monthrange(year, month)[1]))


def _month_after(day: date, months_count: int) -> tuple[int, int]:
    years, month_index = divmod(day.month - 1 + months_count, 12)
    return day.year + years, month_index + 1
