"""Hours of activity from AIXM time sheets, as far as they are weekly hours for sure.

Work days are Monday to Friday, holidays among them, so that the hours are rather too many. Dates,
sunrise and sunset, days excepted and clocks that shift with summer time are kept as text only, and
such hours count as always active.
"""

from collections.abc import Iterator
from typing import Final
from xml.etree.ElementTree import Element

from lubberline.places.model import Schedule, WeeklySpan
from lubberline.places.published._xml import said

_DAYS: Final = ("MON", "TUE", "WED", "THU", "FRI", "SAT", "SUN")
_GROUPS: Final = {"": range(7), "ANY": range(7), "WORK_DAY": range(5)}
_DAY_MIN: Final = 1_440
_ZONES: Final = ("", "UTC")
_NOT_WEEKLY: Final = ("startEvent", "endEvent", "startDate", "endDate")
_ALL_YEAR: Final = ("01-01", "31-12")
_SPOKEN: Final = (*_NOT_WEEKLY, "daylightSavingAdjust", "excluded")


def schedule_of(slice_: Element) -> Schedule | None:
    """The hours of an airspace; None for always, or where nothing is said."""
    activations = slice_.findall("activation/AirspaceActivation")
    sheets = [
        (said(one, "status").upper(), sheet)
        for one in activations
        for sheet in one.findall("timeInterval/Timesheet")
    ]
    if not sheets:
        return None
    always = any(one.find("timeInterval/Timesheet") is None for one in activations)
    text = "; ".join(_text(status, sheet) for status, sheet in sheets)
    spans: list[WeeklySpan] = []
    for status, sheet in sheets:
        found = list(_spans(sheet)) if status != "INACTIVE" else []
        if not found or always:
            return Schedule(text=text)
        spans += found
    whole_week = all(
        any(day in one.weekdays and one.until_min - one.from_min == _DAY_MIN for one in spans)
        for day in range(7)
    )
    return None if whole_week else Schedule(text=text, spans=tuple(spans))


def _spans(sheet: Element) -> Iterator[WeeklySpan]:
    """Spans of the week; nothing if it says anything else."""
    dates = (said(sheet, "startDate"), said(sheet, "endDate"))
    odd = any(
        said(sheet, name) for name in _NOT_WEEKLY if not (dates == _ALL_YEAR and "Date" in name)
    )
    shifts = said(sheet, "daylightSavingAdjust").upper() == "YES"
    excepts = said(sheet, "excluded").upper() == "YES"
    days = _weekdays(said(sheet, "day").upper(), said(sheet, "dayTil").upper())
    from_min, until_min = _minutes(said(sheet, "startTime")), _minutes(said(sheet, "endTime"))
    zone = said(sheet, "timeReference").upper()
    if odd or shifts or excepts or days is None or zone not in _ZONES:
        return
    if from_min is None or until_min is None:
        return
    if days[0] != days[-1] and said(sheet, "day") in _DAYS:  # one span over them
        between = days[1:-1]
        yield WeeklySpan(weekdays=days[:1], from_min=from_min, until_min=_DAY_MIN)
        if between:
            yield WeeklySpan(weekdays=between, from_min=0, until_min=_DAY_MIN)
        if until_min:
            yield WeeklySpan(weekdays=days[-1:], from_min=0, until_min=until_min)
        return
    if until_min > from_min:
        yield WeeklySpan(weekdays=days, from_min=from_min, until_min=until_min)
        return
    yield WeeklySpan(weekdays=days, from_min=from_min, until_min=_DAY_MIN)
    if until_min:
        after = tuple(sorted((day + 1) % 7 for day in days))
        yield WeeklySpan(weekdays=after, from_min=0, until_min=until_min)


def _weekdays(day: str, until: str) -> tuple[int, ...] | None:
    """The days in their order, from the first to the last of a span."""
    if day in _GROUPS and until in ("", day):
        return tuple(_GROUPS[day])
    if day not in _DAYS or (until and until not in _DAYS):
        return None
    first, last = _DAYS.index(day), _DAYS.index(until or day)
    return tuple((first + n) % 7 for n in range((last - first) % 7 + 1))


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
    others = [f"{name} {text}" for name in _SPOKEN if (text := said(sheet, name))]
    return ", ".join(filter(None, [first, *others, status.lower()]))
