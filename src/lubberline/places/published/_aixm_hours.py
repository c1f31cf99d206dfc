"""Hours of activity from AIXM time sheets, as far as they are weekly hours in UTC.

Where a sheet cannot be held exactly, its hours are rather too many: holidays and the like may be
any day, work days are Monday to Friday, and hours that shift with summer time begin an hour earlier
all the year. Dates, sunrise and sunset, hours excepted and other clocks are kept as text only, and
such hours count as always active.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Final
from xml.etree.ElementTree import Element

from lubberline.places.model import Schedule, WeeklySpan
from lubberline.places.published._xml import said

_DAYS: Final = ("MON", "TUE", "WED", "THU", "FRI", "SAT", "SUN")
_DAY_MIN: Final = 1_440
_SUMMER_MIN: Final = 60
_NOT_WEEKLY: Final = ("startEvent", "endEvent", "startDate", "endDate")
_ALL_YEAR: Final = ("01-01", "31-12")
_SPOKEN: Final = (*_NOT_WEEKLY, "daylightSavingAdjust", "excluded")
_SAYS_NOTHING: Final = ("NO", "")

Interval = tuple[int, int]  # minutes from Monday, midnight


def schedule_of(slice_: Element) -> Schedule | None:
    """The hours of an airspace; None for always, or where nothing is said."""
    activations = slice_.findall("activation/AirspaceActivation")
    sheets = [
        (said(one, "status"), sheet)
        for one in activations
        for sheet in one.findall("timeInterval/Timesheet")
    ]
    if not sheets:
        return None
    text = "; ".join(_text(status, sheet) for status, sheet in sheets)
    intervals = [
        list(_intervals(sheet)) if status != "INACTIVE" else [] for status, sheet in sheets
    ]
    always = any(one.find("timeInterval/Timesheet") is None for one in activations)
    if always or not all(intervals):
        return Schedule(text=text)
    spans = tuple(_spans(one for found in intervals for one in found))
    whole = any(
        len(one.weekdays) == 7 and one.until_min - one.from_min == _DAY_MIN for one in spans
    )
    return None if whole else Schedule(text=text, spans=spans)


def _intervals(sheet: Element) -> Iterator[Interval]:
    """When in the week a sheet holds; nothing if that cannot be said."""
    days = _days(said(sheet, "day").upper(), said(sheet, "dayTil").upper())
    from_min, until_min = _minutes(said(sheet, "startTime")), _minutes(said(sheet, "endTime"))
    if days is None or from_min is None or until_min is None or not _is_weekly(sheet):
        return
    if said(sheet, "daylightSavingAdjust").upper() == "YES":
        from_min -= _SUMMER_MIN
    for first, last in days:
        over = last > first or until_min > from_min
        end_min = last * _DAY_MIN + until_min + (0 if over else _DAY_MIN)
        yield first * _DAY_MIN + from_min, end_min


def _is_weekly(sheet: Element) -> bool:
    dates = (said(sheet, "startDate"), said(sheet, "endDate"))
    told = {name for name in _NOT_WEEKLY if said(sheet, name)}
    all_year = dates == _ALL_YEAR and told == {"startDate", "endDate"}
    return (
        (not told or all_year)
        and said(sheet, "excluded").upper() in _SAYS_NOTHING
        and said(sheet, "timeReference").upper() in ("UTC", "")
    )


def _days(day: str, until: str) -> list[tuple[int, int]] | None:
    """First and last day of each span; a group of days is any day but the weekend for work."""
    if day in _DAYS:
        first, last = _DAYS.index(day), _DAYS.index(until) if until in _DAYS else None
        if until and last is None:
            return None
        return [(first, first if last is None else first + (last - first) % 7)]
    if until not in ("", day):
        return None
    return [(one, one) for one in range(5 if day == "WORK_DAY" else 7)]


def _spans(intervals: Iterable[Interval]) -> Iterator[WeeklySpan]:
    """The same hours day by day, days with equal hours together."""
    days: dict[Interval, set[int]] = defaultdict(set)
    for start, end in intervals:
        while start < end:
            midnight = start // _DAY_MIN * _DAY_MIN
            stop = min(end, midnight + _DAY_MIN)
            days[start - midnight, stop - midnight].add(midnight // _DAY_MIN % 7)
            start = stop
    for (from_min, until_min), found in days.items():
        yield WeeklySpan(weekdays=tuple(sorted(found)), from_min=from_min, until_min=until_min)


def _minutes(clock: str) -> int | None:
    """Minutes of the day: "07:00" or "07:00:00"."""
    hours, _, minutes = clock[:5].partition(":")
    if not (hours.isdecimal() and minutes.isdecimal()):
        return None
    total = 60 * int(hours) + int(minutes)
    return total if int(minutes) < 60 and total <= _DAY_MIN else None


def _text(status: str, sheet: Element) -> str:
    """The sheet in one line: days, times and zone, then whatever else it says."""
    days = "-".join(filter(None, (said(sheet, "day"), said(sheet, "dayTil"))))
    times = "-".join(filter(None, (said(sheet, "startTime"), said(sheet, "endTime"))))
    first = " ".join(filter(None, (days, times, said(sheet, "timeReference"))))
    others = [
        f"{name} {text}" for name in _SPOKEN if (text := said(sheet, name)) not in _SAYS_NOTHING
    ]
    return ", ".join(filter(None, [first, *others, status.lower()]))
