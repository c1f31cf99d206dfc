"""Due dates as an iCalendar file: one all-day event for each last good day [RFC5545]_.

An event keeps its identifier from one writing to the next, so that reading the file in again
moves it instead of doubling it. A file that this program did not write is left alone.
"""

import uuid
from collections import Counter
from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Final

from lubberline.cli.output import made
from lubberline.errors import BadFile, Problem
from lubberline.fit import ComingDue

if TYPE_CHECKING:
    from icalendar import Alarm, Event

PRODUCT: Final = "-//Lubberline//due//EN"
EVENTS: Final = uuid.uuid5(uuid.NAMESPACE_URL, "urn:lubberline:due")


def write_calendar(
    path: Path, rows: Iterable[ComingDue], *, made_utc: datetime, remind_days: int
) -> None:
    """Write the events; rows without a day are left out.

    Raises
    ------
    BadFile
        If the file cannot be written, or is there and was not written by this program.
    """
    _refuse_foreign(path)
    text = calendar_bytes(rows, made_utc=made_utc, remind_days=remind_days)
    try:
        made(path).write_bytes(text)
    except OSError as exc:
        found = exc.strerror or "an error"
        raise BadFile(path, [_problem(found, "a place that can be written to")]) from exc


def calendar_bytes(rows: Iterable[ComingDue], *, made_utc: datetime, remind_days: int) -> bytes:
    """The calendar as it stands in the file; ``remind_days`` 0 reminds of nothing."""
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("version", "2.0")
    calendar.add("prodid", PRODUCT)
    calendar.add("calscale", "GREGORIAN")
    seen: Counter[str] = Counter()
    for row in rows:
        if row.on is None:
            continue
        whose = f"{row.whose}/{row.finding.limit.key}"
        seen[whose] += 1  # two airplanes of one call sign still get two identifiers
        name = whose if seen[whose] == 1 else f"{whose}/{seen[whose]}"
        event = _event(row, row.on, made_utc=made_utc, remind_days=remind_days)
        event.add("uid", str(uuid.uuid5(EVENTS, name)))
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def _event(row: ComingDue, on: date, *, made_utc: datetime, remind_days: int) -> "Event":
    from icalendar import Event

    what = _plain(f"{row.whose}: {row.finding.limit.label}")
    event = Event()
    event.add("dtstamp", made_utc.astimezone(UTC).replace(microsecond=0))
    event.add("dtstart", on)
    event.add("dtend", on + timedelta(days=1))
    event.add("summary", f"{what}, {'estimated day' if row.estimated else 'last good day'}")
    event.add("description", _account(row))
    event.add("transp", "TRANSPARENT")
    if remind_days:
        event.add_component(_alarm(what, remind_days))
    return event


def _alarm(what: str, remind_days: int) -> "Alarm":
    from icalendar import Alarm

    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", what)
    alarm.add("trigger", timedelta(days=-remind_days))
    return alarm


def _account(row: ComingDue) -> str:
    """What stands behind the day: the end, how it came about, when it is asked for, the source."""
    finding = row.finding
    parts = (finding.where, finding.note, row.remark, finding.limit.source)
    return _plain("; ".join(part for part in parts if part))


def _plain(text: str) -> str:
    """Without control characters, which the format does not allow."""
    return "".join(sign if sign.isprintable() else " " for sign in text)


def _refuse_foreign(path: Path) -> None:
    if not path.exists():
        return
    if path.is_dir():
        raise BadFile(path, [_problem("a directory", "a file to write")])
    if PRODUCT.encode() not in path.read_bytes()[:4_000]:
        raise BadFile(path, [_problem("a file of another kind", "a new file, or one of ours")])


def _problem(found: str, expected: str) -> Problem:
    return Problem(key="--ics", found=found, expected=expected, example="--ics due.ics")
