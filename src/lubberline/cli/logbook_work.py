"""Working code of ``lubberline logbook``."""

import os
from collections.abc import Sequence
from dataclasses import asdict
from datetime import date, datetime
from itertools import groupby
from pathlib import Path

from lubberline.cli.due import local_today
from lubberline.cli.output import document, made, say, wrapped
from lubberline.errors import BadFile, Problem
from lubberline.logbook import csv_text, own_map, read_logbook, read_logbook_map, totals
from lubberline.loop import store_path
from lubberline.loop.logbook import Line, logbook_lines
from lubberline.pilot import read_pilot
from lubberline.store import add_entries, correct_flight, open_store, withdraw_entry


def show_totals(home: Path, pilot: str | None, on: datetime | None, *, as_json: bool) -> None:
    """Every line of totals, by group."""
    name, day = _name(home, pilot), _day(on)
    lines = logbook_lines(home, name)
    added = totals([line.entry for line in lines if line.counts], on=day)
    if as_json:
        document(pilot=name, on=day.isoformat(), totals=[asdict(one) for one in added])
        return
    say(f"LOGBOOK  {name}, up to {day.isoformat()}")
    if not added:
        wrapped("No flights yet: bring in a CSV logbook, or keep flights with lubberline flown.")
        return
    say(f"  {'':40}{'all':>12}{'365 days':>12}{'90 days':>12}")
    for group, rows in groupby(added, key=lambda one: one.group):
        say(f"{group}")
        for one in rows:
            digits = 1 if one.unit else 0
            values = "".join(f"{value:12,.{digits}f}" for value in one.values)
            say(f"  {one.label[:39]:40}{values}")
    _left_out(lines)


def show_lines(home: Path, pilot: str | None, count: int, *, as_json: bool) -> None:
    """The latest lines, with where each is kept and whether it counts."""
    name = _name(home, pilot)
    lines = logbook_lines(home, name)[-count:]
    if as_json:
        document(pilot=name, lines=[asdict(line) for line in lines])
        return
    say(f"LOGBOOK  {name}")
    say(f"  {'kept as':11}{'day':12}{'airplane':10}{'from and to':16}{'h':>5}{'land':>5}  remark")
    for line in lines:
        one = line.entry
        way = " to ".join(filter(None, (one.from_id, one.to_id)))
        say(
            f"  {line.kept_as:11}{one.flown_on.isoformat():12}{one.call_sign[:9]:10}{way[:15]:16}"
            f"{one.total_h:5.1f}{one.landing_count:5}  {one.remark[:17]}".rstrip()
        )
        if not line.counts:
            wrapped(f"does not count: {line.reason}", indent=13)


def bring_in(home: Path, path: Path, columns: Path | None, pilot: str | None) -> None:
    """Add what is new of a CSV file, all of it or nothing."""
    name = _name(home, pilot)
    rows = read_logbook(path, own_map() if columns is None else read_logbook_map(columns))
    with open_store(store_path(home)) as store, store.writing() as session:
        count = add_entries(session, name, rows, source_name=path.name)
    hours_h = sum(row.entry.total_h for row in rows)
    say(f"{len(rows)} rows read, {hours_h:,.1f} h; {count} lines added to the logbook of {name}")
    if count < len(rows):
        say(f"{len(rows) - count} were there already")
    late = sum(row.entry.flown_on > local_today() for row in rows)
    if late:
        wrapped(f"{late} of the rows lie in the future: is date_form the right one?")
    bare = sum(row.entry.category_class is None or row.entry.tailwheel is None for row in rows)
    if bare:
        wrapped(
            f"{bare} rows do not say category_class and tailwheel: they count in the sums, but not"
            " for recency. [fixed] or [types] in the column map would supply them."
        )


def give_out(home: Path, path: Path, pilot: str | None) -> None:
    """Write the lines that count as CSV."""
    lines = [line for line in logbook_lines(home, _name(home, pilot)) if line.counts]
    text = csv_text((line.entry, line.kept_as) for line in lines)
    _new_file(path, text.encode())
    say(f"wrote {path}: {len(lines)} lines")


def print_pages(
    home: Path, path: Path, pilot: str | None, on: datetime | None, *, letter: bool
) -> None:
    """Write the printed logbook."""
    from lubberline.loop.logbook_print import logbook_pdf

    name = _name(home, pilot)
    paper = "letter" if letter else "a4"
    pdf = logbook_pdf(logbook_lines(home, name), pilot=name, on=_day(on), paper=paper)
    made(path).write_bytes(pdf)
    say(f"wrote {path}")


def withdraw(home: Path, line: int, reason: str) -> None:
    """Withdraw one line."""
    with open_store(store_path(home)) as store, store.writing() as session:
        gone = withdraw_entry(session, line, reason=reason)
    one = gone.entry
    wrapped(
        f"withdrawn: line {line}, {one.flown_on.isoformat()} {one.call_sign}, {one.total_h:.1f} h."
        " It counts no longer and stays in the store."
    )


def correct(home: Path, flight: int, field: str, text: str, reason: str) -> None:
    """Correct one field of a kept flight."""
    with open_store(store_path(home)) as store, store.writing() as session:
        done = correct_flight(session, flight, field, text, reason=reason)
    wrapped(
        f"flight {flight}, {field}: {done.was or 'nothing'} is now {done.becomes}; what it said"
        " before is kept."
    )


def _left_out(lines: Sequence[Line]) -> None:
    """How many lines do not count, and where to see why."""
    out = sum(not line.counts for line in lines)
    if out:
        wrapped(f"{out} more lines do not count; 'lubberline logbook list' says why.")
    silent = sum(line.no_role and line.counts for line in lines)
    if silent:
        wrapped(
            f"{silent} recorded flights do not say who you were aboard: they count as in command."
            " 'lubberline logbook correct FOLDER FLIGHT role dual --reason ...' changes that."
        )


def _name(home: Path, pilot: str | None) -> str:
    return pilot or read_pilot(home / "pilot.toml").name


def _day(on: datetime | None) -> date:
    return on.date() if on else local_today()


def _new_file(path: Path, content: bytes) -> None:
    """A new file; one that is there is never written over."""
    try:
        with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o644), "wb") as file:
            file.write(content)
    except OSError as exc:
        found = exc.strerror or "a place that cannot be written"
        problem = Problem(key="file", found=found, expected="a name that is free, in a folder")
        raise BadFile(path, [problem]) from exc
