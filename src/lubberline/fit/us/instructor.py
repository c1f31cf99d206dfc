"""May this pilot instruct today: recency since the change of 2024, and 8 hours in any 24.

An instructor certificate has no last day since 2024-12-01; its privileges need one of the
requirements of [14CFR61.197]_ within 24 calendar months. Which of them was met, and whether
its numbers hold, is the pilot's to say.
"""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import Final

from lubberline.fit.calendar import due_finding, due_limit
from lubberline.fit.us.certificates import lacking_limit
from lubberline.line import Finding, Limit, unknown
from lubberline.months import end_of_month_after
from lubberline.pilot import Lesson, Pilot

RECENCY_MONTHS: Final = 24  # [14CFR61.197]_ (a)
EARLY_MONTHS: Final = 3  # [14CFR61.197]_ (b): met this early, the next period follows the last
MOST_FLIGHT_H: Final = 8.0  # [14CFR61.195]_ (a)
WINDOW: Final = timedelta(hours=24)  # same: any 24 consecutive hours


def instructor_findings(pilot: Pilot, flight_day: date, flight: Lesson) -> Iterator[Finding]:
    """What giving instruction on this flight asks of the pilot."""
    limit = lacking_limit(
        "pilot.instructor", "instructor certificate", "14 CFR 61.3(d), from memory, 2026-11-25"
    )
    note = "section cited from memory"
    yield Finding(limit=limit, value=float(not pilot.instructor), note=note)
    yield instructor_recency(pilot, flight_day)
    yield instruction_hours(pilot, flight)


def instructor_recency(pilot: Pilot, flight_day: date) -> Finding:
    """Days left of the 24 calendar months since a requirement was met [14CFR61.197]_."""
    limit = due_limit(
        "pilot.instructor_recency",
        "instructor recency",
        "14 CFR 61.197 as in force since 2024-12-01, read 2026-11-25",
        buffer_days=pilot.own.due_buffer_days,
    )
    met_on = pilot.instructor_recent_on
    if met_on is None:
        return unknown(limit, "instructor_recent_on in pilot.toml")
    if met_on > flight_day:
        return unknown(limit, "instructor_recent_on in pilot.toml on or before the flight")
    last_day = recency_last_day(met_on, pilot.instructor_recent_before_on)
    return due_finding(limit, last_day, flight_day, note=f"requirement met {met_on}")


def recency_last_day(met_on: date, before_on: date | None) -> date:
    """The last day of the period that a requirement opens.

    Met in the last 3 calendar months of a running period, the new one follows its end.
    """
    if before_on is not None:
        period_end = end_of_month_after(before_on, months_count=RECENCY_MONTHS)
        early = end_of_month_after(period_end, months_count=-EARLY_MONTHS)
        if early < met_on <= period_end:
            return end_of_month_after(period_end, months_count=RECENCY_MONTHS)
    return end_of_month_after(met_on, months_count=RECENCY_MONTHS)


def instruction_hours(pilot: Pilot, flight: Lesson) -> Finding:
    """The most flight training in any 24 hours that touch this flight [14CFR61.195]_."""
    limit = Limit(
        key="pilot.instruction_hours",
        label="flight training in any 24 h",
        unit="h",
        high=MOST_FLIGHT_H,
        tolerance=1.0,
        basis="law",
        source="14 CFR 61.195(a), read 2026-11-25",
    )
    if pilot.lessons is None:
        return unknown(limit, "[[lesson]] in pilot.toml; lesson = [] if there are no others")
    return Finding(
        limit=limit,
        value=most_hours_h([*pilot.lessons, flight], touching=flight),
        note=f"this flight {flight.flight_h:.1f} h, {len(pilot.lessons)} other lessons on file",
    )


def most_hours_h(lessons: Sequence[Lesson], *, touching: Lesson) -> float:
    """The most hours of these lessons in any 24 consecutive hours that touch one of them.

    The hours in a window change their slope only where an edge of the window meets an edge of
    a lesson, so the most is found at one of those.
    """
    edges = [edge for one in lessons for edge in (one.from_utc, one.until_utc)]
    begins = {begin for edge in edges for begin in (edge, edge - WINDOW)}
    first, last = touching.from_utc - WINDOW, touching.until_utc
    return max(
        sum(
            max(
                timedelta(0),
                min(one.until_utc, begin + WINDOW) - max(one.from_utc, begin),
            )
            / timedelta(hours=1)
            for one in lessons
        )
        for begin in begins
        if first <= begin <= last
    )
