"""The schedule of a notice: hours by day, inside the dates it holds between [ICAO8126]_.

Read are spans of time (0800-1600, H24) after days of the week, of the month, or a month and days
(MON-FRI, 25 26, NOV 25-27), or daily. Sunrise, exceptions and anything else are not; then the
notice counts as in force all the time.
"""

import re
from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Final

_WEEKDAYS: Final = ("MON", "TUE", "WED", "THU", "FRI", "SAT", "SUN")
_MONTHS: Final = (
    *("JAN", "FEB", "MAR", "APR", "MAY", "JUN"),
    *("JUL", "AUG", "SEP", "OCT", "NOV", "DEC"),
)
_HOURS: Final = re.compile(r"(\d{2})(\d{2})-(\d{2})(\d{2})")
_DAYS: Final = re.compile(r"(\d{1,2})(?:-(\d{1,2}))?")
_WEEK: Final = re.compile(rf"({'|'.join(_WEEKDAYS)})(?:-({'|'.join(_WEEKDAYS)}))?")
_WORDS_DAILY: Final = ("DAILY", "DLY")
MOST_DAYS: Final = 400  # own: more than a year of a schedule is not told day by day

_Rule = tuple[frozenset[int], frozenset[tuple[int, int]], int, int]


def spans_of(
    hours: str, from_utc: datetime, until_utc: datetime
) -> tuple[tuple[datetime, datetime], ...] | None:
    """The spans of time that a schedule comes to between two dates; None if not understood.

    Examples
    --------
    >>> first, last = (datetime.fromisoformat(f"2025-11-{day}T00:00Z") for day in (24, 30))
    >>> [f"{start:%d %H}-{end:%H}" for start, end in spans_of("MON FRI 2200-0600", first, last)]
    ['24 22-06', '28 22-06']
    """
    days_count = (until_utc - from_utc) // timedelta(days=1) + 2
    rules = _rules(hours.upper().replace(",", " ").split(), from_utc.month)
    if rules is None or not 0 < days_count <= MOST_DAYS:
        return None
    spans = []
    midnight_utc = from_utc.replace(hour=0, minute=0) - timedelta(days=1)
    for day in (midnight_utc + timedelta(days=n) for n in range(days_count + 1)):
        for weekdays, dates, start_min, end_min in rules:
            if day.weekday() in weekdays or (day.month, day.day) in dates:
                start = max(day + timedelta(minutes=start_min), from_utc)
                end = min(day + timedelta(minutes=end_min), until_utc)
                if start < end:
                    spans.append((start, end))
    return tuple(sorted(spans))


def _rules(words: list[str], month: int) -> list[_Rule] | None:
    """(weekdays, dates, from minute, until minute) of each span of hours; None if unreadable."""
    rules: list[_Rule] = []
    weekdays: set[int] = set()
    dates: set[tuple[int, int]] = set()
    fresh = True  # the next day begins a new list of days
    for word in words:
        span = _minutes(word)
        if span is not None:
            if not (weekdays or dates):
                weekdays = set(range(7))
            rules.append((frozenset(weekdays), frozenset(dates), *span))
            fresh = True
            continue
        if fresh:
            weekdays, dates, fresh = set(), set(), False
        if word in _MONTHS:
            month = _MONTHS.index(word) + 1
        elif word in _WORDS_DAILY:
            weekdays = set(range(7))
        elif (week := _WEEK.fullmatch(word)) is not None:
            weekdays |= set(_wrapped(_WEEKDAYS.index(week[1]), _WEEKDAYS.index(week[2] or week[1])))
        elif (days := _DAYS.fullmatch(word)) is not None:
            first, last = int(days[1]), int(days[2] or days[1])
            if not 1 <= first <= last <= 31:
                return None
            dates |= {(month, day) for day in range(first, last + 1)}
        else:
            return None
    return rules if rules and fresh else None


def _wrapped(first: int, last: int) -> Iterator[int]:
    """Days of the week from one to another, over Sunday if need be."""
    return ((first + n) % 7 for n in range((last - first) % 7 + 1))


def _minutes(word: str) -> tuple[int, int] | None:
    """Minutes of the day that a word says; past midnight where it ends before it starts."""
    if word == "H24":
        return 0, 1440
    match = _HOURS.fullmatch(word)
    if match is None:
        return None
    start_min, end_min = (int(match[n]) * 60 + int(match[n + 1]) for n in (1, 3))
    if max(start_min, end_min) > 1440 or int(match[2]) > 59 or int(match[4]) > 59:
        return None
    return start_min, end_min if end_min > start_min else end_min + 1440
