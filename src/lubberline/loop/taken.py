"""The row of a recording taken into the logbook as a line of it, once.

The line keeps which recording it came from and when it was flown, so that neither the same file nor
another recorder's of the same flight is taken again. A day in that airplane that was written into
the logbook otherwise is taken only if the pilot says that this is another flight.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from lubberline.fit import local_day
from lubberline.flight import Plan
from lubberline.flown import Flown, at_utc, logbook_row
from lubberline.logbook import ROLE_WORDS, Entry, LogbookRow, role_hours
from lubberline.loop.course import store_path
from lubberline.loop.logbook import counts_of
from lubberline.loop.same_flight import Span, overlap, raw_span, taken_span
from lubberline.pilot import FlownAs
from lubberline.units import MIN_PER_H

if TYPE_CHECKING:
    from lubberline.store import StoredEntry

SOURCE: Final = "recording"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogAsked:
    """What the pilot wants of the logbook: who they were aboard, to take the row, that it is new.

    ``another`` says that the logbook's line of that day in that airplane is another flight.
    """

    role: FlownAs | None = None
    take: bool = False
    another: bool = False


NOTHING_ASKED: Final = LogAsked()


@dataclass(frozen=True, slots=True, kw_only=True)
class Role:
    """Who the pilot was aboard; ``by`` is where that was said, "" if it is assumed."""

    name: FlownAs
    by: str


def role_of(plan: Plan, asked: FlownAs | None) -> Role:
    """As said with the command, in the flight's file or the pilot's; else in command, assumed.

    A student's flight is under instruction unless it is said to be solo.
    """
    said: tuple[tuple[FlownAs | None, str], ...] = (
        (asked, "--role"),
        (plan.flight.role, "flight.toml"),
        (plan.pilot.usual_role, "usual_role in pilot.toml"),
        ("dual" if plan.pilot.certificate == "student" else None, "the student certificate"),
    )
    return next(
        (Role(name=name, by=by) for name, by in said if name is not None),
        Role(name="command", by=""),
    )


def role_words(role: Role) -> str:
    """Who the pilot was aboard and who says so, in a sentence."""
    if role.by:
        return f"Aboard: {ROLE_WORDS[role.name]}, by {role.by}."
    return (
        f"Nobody said who the pilot was aboard: {ROLE_WORDS[role.name]} is assumed; --role, role in"
        " flight.toml or usual_role in pilot.toml says it."
    )


def take_row(home: Path, plan: Plan, flown: Flown, role: Role, asked: LogAsked) -> str:
    """Take the row if that was asked for and it is not there; one sentence about it."""
    if logbook_row(flown) is None:
        why = "the recording has no positions" if flown.movements else "no take-off and no landing"
        return f"No row for the logbook: {why}."
    if not asked.take and not store_path(home).exists():
        return "The row is not in the logbook; --log takes it."
    from lubberline.store import add_entries, entries_of, open_store

    span = (at_utc(flown.movements[0].time_s), at_utc(flown.movements[-1].time_s))
    entry = _entry(plan, flown, role.name)
    with open_store(store_path(home)) as store, store.writing() as session:
        there = _there(entries_of(session, pilot=plan.pilot.name), entry, span, asked)
        if there or not asked.take:
            return there or "The row is not in the logbook; --log takes it."
        if entry.total_h == 0.0:
            return "Not taken: the recording does not hold both ends of the flight; write it down."
        raw = {
            "recording_sha256": flown.recording.sha256,
            **raw_span(span),
            "taken_utc": datetime.now(UTC).isoformat(),
        }
        add_entries(
            session,
            plan.pilot.name,
            [LogbookRow(line=0, entry=entry, raw=raw)],
            source_name=SOURCE,
        )
        line = max(one.entry_id for one in entries_of(session, pilot=plan.pilot.name))
    return f"Taken into the logbook of {plan.pilot.name} as line {line}."


def _there(entries: "Iterable[StoredEntry]", entry: Entry, span: Span, asked: LogAsked) -> str:
    """What the logbook has of this flight already; "" if nothing."""
    for one in entries:
        other = taken_span(one)
        if other is not None and overlap(span, other):
            return f"This flight is in the logbook already, as line {one.entry_id}."
        same_day = (one.entry.flown_on, one.entry.call_sign) == (entry.flown_on, entry.call_sign)
        if other is None and same_day and not asked.another:
            return (
                f"The logbook has {entry.flown_on.isoformat()} in {entry.call_sign} already, as"
                f" line {one.entry_id}; if that is another flight, --log --another takes the row."
            )
    return ""


def _entry(plan: Plan, flown: Flown, role: FlownAs) -> Entry:
    """The row as a line; what the recording does not hold is left empty."""
    from lubberline.loop.debriefing_kept import stored_movement

    row = logbook_row(flown)
    assert row is not None  # there are movements, with places
    first, plane = flown.movements[0], plan.aircraft
    total_h = round((row.block_min or row.air_min or 0.0) / MIN_PER_H, 3)
    return Entry(
        flown_on=local_day(first.lon_deg, at_utc(first.time_s)),
        from_id=row.from_id or "",
        to_id=row.to_id or "",
        call_sign=plane.call_sign,
        type_name=plane.type_name,
        category_class=plane.category_class,
        tailwheel=plane.tailwheel,
        total_h=total_h,
        night_h=round(min((row.night_min or 0.0) / MIN_PER_H, total_h), 3),
        cross_country_h=total_h if row.cross_country_min else 0.0,
        remark=plan.flight.title,
        **role_hours(role, total_h),
        **counts_of([stored_movement(one) for one in flown.movements], role),
    )
