"""Working code of ``lubberline due``: a folder's airplanes and pilot, as rows and as a calendar."""

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from math import isfinite
from pathlib import Path
from typing import Any, Final

from lubberline.aircraft import read_aircraft
from lubberline.cli.ics import write_calendar
from lubberline.cli.output import document, say, wrapped
from lubberline.errors import BadFile, Problem, RangeError
from lubberline.fit import (
    ComingDue,
    NotAsked,
    airplane_due,
    airplane_not_asked,
    pilot_due,
    soonest_first,
)
from lubberline.line import Verdict, finding_record
from lubberline.loop import recorded_movements
from lubberline.pilot import read_pilot
from lubberline.wording import CAUTION, SHAPES, value_text

FIRST_DAY: Final = date(1970, 1, 1)  # own: no flight is planned outside these
LAST_DAY: Final = date(2150, 1, 1)
WHAT_WIDTH: Final = 34
WHOSE_WIDTH: Final = 14


@dataclass(frozen=True, slots=True, kw_only=True)
class DueList:
    """What comes due from a day on: within the days and hours asked for, and what is not known."""

    today: date
    days: int
    hours_h: float
    rows: tuple[ComingDue, ...]
    unknown: tuple[ComingDue, ...]
    not_asked: tuple[NotAsked, ...]
    later_count: int
    remind_days: int


def list_due(directory: Path, *, today: date, days: int, hours_h: float) -> DueList:
    """What comes due for all airplanes and the pilot of a folder.

    Raises
    ------
    BadFile
        If it is no pilot's folder, or one of its files is wrong.
    RangeError
        If the day is not one of this age, or the hours are no number.
    """
    _check_asked(today, hours_h)
    if not (directory / "pilot.toml").is_file():
        problem = Problem(
            key="folder",
            found="no pilot.toml in it",
            expected="a pilot's folder",
            example="lubberline init myfolder",
        )
        raise BadFile(directory, [problem])
    pilot = read_pilot(directory / "pilot.toml")
    tomorrow_utc = datetime(today.year, today.month, today.day, tzinfo=UTC) + timedelta(days=1)
    pilot = replace(pilot, recorded=recorded_movements(directory, pilot.name, tomorrow_utc))
    airplanes = [read_aircraft(path) for path in sorted((directory / "aircraft").glob("*.toml"))]
    found = [*pilot_due(pilot, today), *(r for one in airplanes for r in airplane_due(one, today))]
    known = [row for row in soonest_first(found) if row.is_known]
    within = tuple(row for row in known if row.is_within(today, days=days, hours_h=hours_h))
    return DueList(
        today=today,
        days=days,
        hours_h=hours_h,
        rows=within,
        unknown=tuple(row for row in soonest_first(found) if not row.is_known),
        not_asked=tuple(row for one in airplanes for row in airplane_not_asked(one)),
        later_count=len(known) - len(within),
        remind_days=pilot.own.due_buffer_days,
    )


def _check_asked(today: date, hours_h: float) -> None:
    if not FIRST_DAY <= today <= LAST_DAY:
        raise RangeError(f"--on is {today}; expected {FIRST_DAY} to {LAST_DAY}")
    if not isfinite(hours_h):
        raise RangeError(f"--hours is {hours_h}; expected a number")


def local_today() -> date:
    """The day on this machine's calendar."""
    return datetime.now(UTC).astimezone().date()


def write_ics(due: DueList, path: Path) -> int:
    """Write the rows that have a day as a calendar file; how many there are."""
    dated = [row for row in due.rows if row.on is not None]
    write_calendar(path, dated, made_utc=datetime.now(UTC), remind_days=due.remind_days)
    return len(dated)


def show_due(due: DueList, ics: str, *, as_json: bool) -> None:
    """Text at 80 columns, or one JSON document."""
    if as_json:
        document(**_record(due, ics))
        return
    say(f"DUE  from {due.today}: in {due.days} days or {due.hours_h:g} hours")
    _show_rows(due)
    if due.unknown:
        say("\nNot known:")
    for row in due.unknown:
        remark = f" ({row.remark})" if row.remark else ""
        words = f"{row.whose}, {row.finding.limit.label}{remark}: {row.finding.missing}"
        wrapped(words, indent=2)
    if due.not_asked:
        say("\nNothing asked for by:")
    for one in due.not_asked:
        wrapped(f"{one.whose}, {one.label}: {one.why}", indent=2)
    say()
    if ics:
        say(ics)
    wrapped(CAUTION)


def _show_rows(due: DueList) -> None:
    if due.rows:
        say(f"  {'last good day':14}{'left':>8}  {'whose':{WHOSE_WIDTH}} what")
    else:
        say("Nothing comes due.")
    for row in due.rows:
        _show_row(row)
    if any(row.estimated for row in due.rows):
        say("~ estimated from the airplane's usual week")
    if due.later_count:
        say(f"{due.later_count} more later")


def _show_row(row: ComingDue) -> None:
    finding = row.finding
    shape = SHAPES[Verdict.OUTSIDE] if finding.verdict is Verdict.OUTSIDE else " "
    about = "~" if row.estimated else " "
    on = f"{about}{row.on}" if row.on else " by the clock"
    label, *more = _broken(finding.limit.label)
    say(
        f"{shape} {on:12} {value_text(finding):>9}  {row.whose[:WHOSE_WIDTH]:{WHOSE_WIDTH}} {label}"
    )
    for line in more:
        say(f"{'':41}{line}")
    told = [finding.where if finding.limit.unit != "days" else "", row.remark]
    if any(told):
        wrapped("; ".join(part for part in told if part), indent=6)


def _broken(label: str) -> list[str]:
    import textwrap

    return textwrap.wrap(label, WHAT_WIDTH) or [""]


def _record(due: DueList, ics: str) -> dict[str, Any]:
    return {
        "today": due.today,
        "days": due.days,
        "hours_h": due.hours_h,
        "due": [_row_record(row) for row in due.rows],
        "unknown": [_row_record(row) for row in due.unknown],
        "not_asked": [
            {"whose": one.whose, "label": one.label, "why": one.why} for one in due.not_asked
        ],
        "later_count": due.later_count,
        "ics": ics or None,
        "caution": CAUTION,
    }


def _row_record(row: ComingDue) -> dict[str, Any]:
    return {
        "whose": row.whose,
        "on": row.on,
        "estimated": row.estimated,
        "remark": row.remark,
        "finding": finding_record(row.finding),
    }
