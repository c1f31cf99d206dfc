"""Due dates as findings: days left on the day of the flight of what is good for some months."""

from datetime import date, timedelta

from lubberline.line import Finding, Limit, unknown
from lubberline.months import end_of_month_after

SOON_DAYS = 30.0  # own: one step of margin for a due date


def age_years_count(born_on: date, on: date) -> int:
    """Age in whole years; a birthday counts from the day itself."""
    return on.year - born_on.year - ((on.month, on.day) < (born_on.month, born_on.day))


def due_finding(limit: Limit, last_day: date, flight_day: date, *, note: str = "") -> Finding:
    """Days left on the day of the flight; 0 on the last good day, negative after it."""
    days = (last_day - flight_day) / timedelta(days=1)
    return Finding(limit=limit, value=days, where=f"good through {last_day}", note=note)


def due_limit(key: str, label: str, source: str, *, buffer_days: float) -> Limit:
    """The limit of every due date: no days left is the last day that is inside."""
    return Limit(
        key=key,
        label=label,
        unit="days",
        low=0.0,
        buffer=buffer_days,
        tolerance=SOON_DAYS,
        basis="law",
        source=source,
    )


def due_after_months(
    limit: Limit, done_on: date | None, flight_day: date, *, months_count: int, supplied_by: str
) -> Finding:
    """What must be done every so many calendar months; unknown if its date is not on file."""
    if done_on is None:
        return unknown(limit, supplied_by)
    last_day = end_of_month_after(done_on, months_count=months_count)
    return due_finding(limit, last_day, flight_day, note=f"done {done_on}")
