"""The flight as a calendar entry, with an alarm when it begins to be missed [RFC5545]_."""

import uuid
from datetime import UTC, datetime, timedelta

from lubberline.card.watch_note import WatchNote
from lubberline.fit import times_utc
from lubberline.flight import Plan
from lubberline.ways import Way


def flight_calendar(plan: Plan, way: Way, note: WatchNote | None, *, made_utc: datetime) -> bytes:
    """One event from block to block; with a note, its overdue time as an alarm."""
    from icalendar import Alarm, Calendar, Event

    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", "-//Lubberline//flight//EN")
    calendar.add("calscale", "GREGORIAN")
    event = Event()
    off_utc, on_utc = plan.flight.off_block_utc, times_utc(plan, way)[2]
    event.add(
        "uid", str(uuid.uuid5(uuid.NAMESPACE_URL, f"lubberline:{plan.flight.title}:{off_utc}"))
    )
    event.add("dtstamp", _whole(made_utc))
    event.add("dtstart", _whole(off_utc))
    event.add("dtend", _whole(on_utc))
    event.add("summary", f"{plan.flight.title} ({plan.aircraft.call_sign})")
    if note is not None:
        event.add("description", note.text())
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", f"{note.overdue} {note.steps[1]}")
        # Without its type a trigger is read as a span of time: RFC 5545, 3.8.6.3.
        alarm.add("trigger", _whole(note.overdue_utc), parameters={"VALUE": "DATE-TIME"})
        event.add_component(alarm)
    calendar.add_component(event)
    return bytes(calendar.to_ical())


def _whole(when: datetime) -> datetime:
    """In UTC, to the nearest second."""
    return (when.astimezone(UTC) + timedelta(milliseconds=500)).replace(microsecond=0)
