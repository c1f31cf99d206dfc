"""Day-and-hour groups, resolved to the month nearest a time that the caller names.

METAR and TAF name neither month nor year. A group is taken to mean the day nearest the given
time, so a text must be read with a time less than about half a month from its own.
"""

from datetime import UTC, datetime, timedelta

from lubberline.errors import RangeError


def nearest_utc(day: int, hour: int, minute: int = 0, *, near_utc: datetime) -> datetime | None:
    """The time nearest ``near_utc`` that has this day of the month; None if there is none.

    Hour 24 is the midnight that ends the day, as TAF writes it.

    Raises
    ------
    RangeError
        If ``near_utc`` names no time zone.

    Examples
    --------
    >>> near_utc = datetime(2026, 11, 30, 23, tzinfo=UTC)
    >>> f"{nearest_utc(1, 2, near_utc=near_utc):%Y-%m-%d %H:%M}"
    '2026-12-01 02:00'
    """
    check_zone("near_utc", near_utc)
    if minute > 59 or hour * 60 + minute > 24 * 60:
        return None
    near_utc = near_utc.astimezone(UTC)
    months = range(near_utc.year * 12 + near_utc.month - 2, near_utc.year * 12 + near_utc.month + 1)
    times = [_on_day(month, day, timedelta(hours=hour, minutes=minute)) for month in months]
    known = [time for time in times if time is not None]
    return min(known, key=lambda time: abs(time - near_utc)) if known else None


def check_zone(name: str, time: datetime) -> None:
    """Raise RangeError for a time that names no zone."""
    if time.tzinfo is None:
        raise RangeError(f"{name} is {time.isoformat()} without a time zone; expected UTC")


def _on_day(months_count: int, day: int, past_midnight: timedelta) -> datetime | None:
    """That day of the month, counted from January of the year 0; None if it has no such day."""
    year, month_index = divmod(months_count, 12)
    try:
        return datetime(year, month_index + 1, day, tzinfo=UTC) + past_midnight
    except (ValueError, OverflowError):
        return None
