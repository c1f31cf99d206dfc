"""Which volumes are in force while a flight is in the air.

A volume that is active at any moment of the span counts as active for all of it: flights are
late. So do hours that were not understood, and hours in a local time whose zone is not known.
"""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from lubberline.places.model import Volume, WeeklySpan


def in_force(
    volumes: tuple[Volume, ...], start_utc: datetime, end_utc: datetime
) -> tuple[Volume, ...]:
    """The volumes that hold between two times, those outside their hours as what they then are.

    Volumes out of their validity, and those that are nothing outside their hours, are left out.
    """
    held = (_held(one, start_utc, end_utc) for one in volumes)
    return tuple(one for one in held if one is not None)


def _held(volume: Volume, start_utc: datetime, end_utc: datetime) -> Volume | None:
    if volume.valid_from_utc is not None and end_utc < volume.valid_from_utc:
        return None
    if volume.valid_until_utc is not None and start_utc >= volume.valid_until_utc:
        return None
    spans = volume.schedule.spans if volume.schedule is not None else None
    if spans is None or any(_overlaps(span, start_utc, end_utc) for span in spans):
        return volume
    if not volume.otherwise_class:
        return None
    return replace(volume, airspace_class=volume.otherwise_class)


def _overlaps(span: WeeklySpan, start_utc: datetime, end_utc: datetime) -> bool:
    """Whether a weekly span touches the time between two moments."""
    if span.zone == "local":
        return True
    zone = UTC if span.zone == "UTC" else ZoneInfo(span.zone)
    day = start_utc.astimezone(zone).replace(hour=0, minute=0, second=0, microsecond=0)
    while day <= end_utc:
        if day.weekday() in span.weekdays:
            from_utc = day + timedelta(minutes=span.from_min)
            until_utc = day + timedelta(minutes=span.until_min)
            if from_utc <= end_utc and start_utc < until_utc:
                return True
        day += timedelta(days=1)
    return False
