"""The calendar file against IETF RFC 5545 (2009), and read back by another reader.

Section 3.1: lines end in CR LF and are at most 75 octets long without it, folded by CR LF and
a space. 3.6: a calendar has PRODID and VERSION once each. 3.6.1: an event has UID and DTSTAMP
once each, and DTSTART. 3.3.5: DTSTAMP is in UTC. 3.3.11: commas, semicolons and backslashes in
text are escaped. 3.6.6: a display alarm has ACTION, DESCRIPTION and TRIGGER.
"""

import re
from datetime import UTC, date, datetime, timedelta

import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.cli.ics import calendar_bytes
from lubberline.fit import ComingDue
from lubberline.line import Finding, Limit

MADE = datetime(2026, 11, 25, 20, 41, 7, 123_456, tzinfo=UTC)
TEXT = st.text(max_size=120)


def row(whose: str, label: str, note: str, on: date | None, key: str = "annual") -> ComingDue:
    limit = Limit(
        key=f"airplane.{key}", label=label, unit="days", low=0.0, basis="law", source="14 CFR, x"
    )
    return ComingDue(whose=whose, finding=Finding(limit=limit, value=1.0, note=note), on=on)


LONG = row(
    "Q-HRN", "propeller; overhaul, largest", "höchstens \\ 6 Jahre, " * 12, date(2028, 2, 29)
)
SHORT = row("Q-HRN", "annual inspection", "", date(2027, 3, 31), key="elt")


def lines(content: bytes) -> list[str]:
    """Unfolded content lines, after the rules for lines were checked."""
    assert content.endswith(b"\r\n")
    assert b"\n" not in content.replace(b"\r\n", b"")
    assert b"\r" not in content.replace(b"\r\n", b"")
    physical = content.split(b"\r\n")[:-1]
    assert all(len(line) <= 75 for line in physical)
    assert all(physical)
    return content.replace(b"\r\n ", b"").decode("utf-8").split("\r\n")[:-1]


def events(content: bytes) -> list[icalendar.Event]:
    calendar = icalendar.Calendar.from_ical(content)
    assert calendar.errors == []
    return [one for one in calendar.walk("VEVENT") if isinstance(one, icalendar.Event)]


def test_lines_are_folded_at_75_octets_and_end_in_cr_lf() -> None:
    folded = calendar_bytes([LONG, SHORT], made_utc=MADE, remind_days=30)
    assert b"\r\n " in folded
    assert lines(folded)[0] == "BEGIN:VCALENDAR"


def test_calendar_and_events_have_what_the_standard_requires_once() -> None:
    content = lines(calendar_bytes([LONG, SHORT], made_utc=MADE, remind_days=0))
    assert content.count("VERSION:2.0") == 1
    assert [line for line in content if line.startswith("PRODID:")] == [
        "PRODID:-//Lubberline//due//EN"
    ]
    bodies = "\n".join(content).split("BEGIN:VEVENT")[1:]
    assert len(bodies) == 2
    for body in bodies:
        for name in ("UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY"):
            assert len(re.findall(rf"^{name}[:;]", body, re.MULTILINE)) == 1
        assert re.search(r"^DTSTAMP:20261125T204107Z$", body, re.MULTILINE)
        assert re.search(r"^DTSTART;VALUE=DATE:\d{8}$", body, re.MULTILINE)


def test_text_is_escaped_in_the_file_and_whole_when_read_back() -> None:
    content = calendar_bytes([LONG], made_utc=MADE, remind_days=0)
    assert "propeller\\; overhaul\\, largest" in "\n".join(lines(content))
    (event,) = events(content)
    assert str(event["SUMMARY"]) == "Q-HRN: propeller; overhaul, largest, last good day"
    assert str(event["DESCRIPTION"]).startswith("höchstens \\ 6 Jahre, ")


def test_an_event_fills_its_last_good_day() -> None:
    (event,) = events(calendar_bytes([LONG], made_utc=MADE, remind_days=0))
    assert event.start == date(2028, 2, 29)
    assert event.end == date(2028, 3, 1)  # the end does not belong to it: 3.6.1


def test_the_reminder_comes_so_many_days_before() -> None:
    (event,) = events(calendar_bytes([SHORT], made_utc=MADE, remind_days=30))
    (alarm,) = event.walk("VALARM")
    assert isinstance(alarm, icalendar.Alarm)
    assert str(alarm["ACTION"]) == "DISPLAY"
    assert str(alarm["DESCRIPTION"]) == "Q-HRN: annual inspection"
    assert timedelta(days=-30) == alarm.TRIGGER


def test_identifiers_differ_and_stay() -> None:
    def identifiers(*asked: ComingDue) -> list[str]:
        content = calendar_bytes(asked, made_utc=MADE, remind_days=0)
        return [str(event["UID"]) for event in events(content)]

    first = identifiers(LONG, SHORT, LONG)
    assert len(set(first)) == 3
    moved = row("Q-HRN", "annual inspection", "", date(2028, 3, 31), key="elt")
    assert identifiers(moved) == first[1:2]


def test_what_has_no_day_is_left_out() -> None:
    content = calendar_bytes([row("Q-HRN", "oil", "", None)], made_utc=MADE, remind_days=0)
    assert events(content) == []
    assert lines(content)[-1] == "END:VCALENDAR"


@given(TEXT, TEXT, TEXT, st.dates(date(1970, 1, 1), date(2199, 1, 1)), st.integers(0, 365))
def test_any_text_keeps_the_rules_and_is_read_back(
    whose: str, label: str, note: str, on: date, remind_days: int
) -> None:
    content = calendar_bytes([row(whose, label, note, on)], made_utc=MADE, remind_days=remind_days)
    assert not re.search("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", "".join(lines(content)))
    (event,) = events(content)
    assert event.start == on
    plain = "".join(sign if sign.isprintable() else " " for sign in f"{whose}: {label}")
    assert str(event["SUMMARY"]) == f"{plain}, last good day"


@pytest.mark.parametrize("count", [0, 1, 40])
def test_as_many_events_as_days(count: int) -> None:
    asked = [row("Q-HRN", "oil", "", date(2027, 1, 1), key=f"k{n}") for n in range(count)]
    assert len(events(calendar_bytes(asked, made_utc=MADE, remind_days=14))) == count
