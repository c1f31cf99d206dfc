"""A logbook as plain CSV (RFC 4180): read by a column map, written with our own headings.

Every row is kept as it stood beside what was understood of it, so that no column is lost. A file
with a row that cannot be understood is refused as a whole, all such rows named.
"""

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any, Final

from lubberline.errors import BadFile, Problem, RangeError
from lubberline.logbook.columns import NAMES, LogbookMap
from lubberline.logbook.model import COUNTS, HOURS, Entry
from lubberline.tomlfile import read_text

_MOST_PROBLEMS: Final = 20
_YES: Final = {**dict.fromkeys(("true", "yes", "y", "1", "x"), True)}
_NO: Final = {**dict.fromkeys(("false", "no", "n", "0"), False)}
_HEADINGS: Final = (*NAMES, "kept_as")


@dataclass(frozen=True, slots=True, kw_only=True)
class LogbookRow:
    """One row: its line in the file, what was understood, and the row by its headings."""

    line: int
    entry: Entry
    raw: Mapping[str, str]


def read_logbook(path: Path, columns: LogbookMap) -> tuple[LogbookRow, ...]:
    """Every row of a CSV logbook; rows with nothing in them are passed over.

    Raises
    ------
    BadFile
        If the file cannot be read, a mapped heading is not there, or rows cannot be understood.
    """
    text = read_text(path, "a CSV file").removeprefix("\ufeff")
    reader = csv.DictReader(io.StringIO(text, newline=""), delimiter=columns.delimiter, strict=True)
    rows, problems = [], []
    for record in _records(path, reader, columns):
        raw = {str(key): (value or "").strip() for key, value in record.items() if key is not None}
        if None in record:
            problems.append(
                _problem(reader.line_num, "row", "more cells than headings", "one for each")
            )
        elif any(raw.values()):
            try:
                entry = _entry(raw, columns, reader.line_num)
                rows.append(LogbookRow(line=reader.line_num, entry=entry, raw=raw))
            except _Unread as exc:
                problems.append(exc.problem)
    if problems:
        raise BadFile(path, problems[:_MOST_PROBLEMS])
    return tuple(rows)


def csv_text(entries: Iterable[tuple[Entry, str]]) -> str:
    """The entries as CSV, each with where it is kept; ``own_map`` reads it back."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(_HEADINGS)
    for entry, kept_as in entries:
        writer.writerow([*(_cell(getattr(entry, name)) for name in NAMES), kept_as])
    return out.getvalue()


def _records(
    path: Path, reader: "csv.DictReader[str]", columns: LogbookMap
) -> Iterator[dict[str | Any, Any]]:
    """Rows by heading; a quote that is never closed would swallow all rows after it."""
    try:
        reader.fieldnames = [heading.strip() for heading in reader.fieldnames or ()]
        _check_headings(path, reader.fieldnames, columns)
        yield from reader
    except csv.Error as exc:
        line = reader.line_num + 1  # where the row began
        problem = _problem(line, "row", f"no whole row ({exc})", "quotes in pairs", '"a, b"')
        raise BadFile(path, [problem]) from exc


class _Unread(Exception):  # noqa: N818 - carries the problem to where all are collected
    def __init__(self, problem: Problem) -> None:
        self.problem = problem


def _problem(line: int, key: str, found: str, expected: str, example: str = "") -> Problem:
    return Problem(line=line, key=key, found=found, expected=expected, example=example)


def _check_headings(path: Path, headings: list[str], columns: LogbookMap) -> None:
    """Every mapped heading; of our own form, those that were written are enough."""
    needed = list(columns.columns.items())
    if all(name == heading for name, heading in needed):
        needed = [(name, name) for name in ("flown_on", "total_h")]
    missing = [(name, heading) for name, heading in needed if heading not in headings]
    if missing:
        there = ", ".join(headings) or "no headings"
        raise BadFile(
            path,
            [_problem(1, name, there, f"a column {heading!r}") for name, heading in missing],
        )
    twice = [(name, one) for name, one in columns.columns.items() if headings.count(one) > 1]
    if twice:
        raise BadFile(
            path,
            [_problem(1, name, f"{one!r} more than once", "one column") for name, one in twice],
        )


def _entry(raw: Mapping[str, str], columns: LogbookMap, line: int) -> Entry:
    fields: dict[str, Any] = dict(columns.fixed)
    for name, heading in columns.columns.items():
        text = raw.get(heading, "")
        if text:
            fields[name] = _read(name, text, columns, line)
    of_type = columns.types.get(str(fields.get("type_name", "")))
    if of_type is not None:
        fields = {**of_type.model_dump(exclude_none=True), **fields}
    if "flown_on" not in fields:
        raise _Unread(_problem(line, "flown_on", "no date", "a date", "2026-11-25"))
    if fields.get("full_stop_count", 0) and not fields.get("landing_count"):
        fields["landing_count"] = fields["full_stop_count"]
    try:
        return Entry(**fields)
    except RangeError as exc:
        raise _Unread(_problem(line, "row", f"{exc}", "a flight that can be")) from exc


def _read(name: str, text: str, columns: LogbookMap, line: int) -> Any:
    try:
        if name == "flown_on":
            return _date(text, columns.date_form)
        if name in HOURS:
            return _hours(text, columns)
        if name in COUNTS:
            return int(text)
        if name == "tailwheel":
            return {**_YES, **_NO}[text.lower()]
    except (ValueError, KeyError) as exc:
        raise _Unread(_problem(line, name, repr(text), _expected(name, columns))) from exc
    return text


def _date(text: str, form: str) -> date:
    return datetime.strptime(text, form).date()  # noqa: DTZ007 - a day, not a moment


def _hours(text: str, columns: LogbookMap) -> float:
    if columns.hours == "h:mm":
        match = re.fullmatch(r"(\d{1,2}):([0-5]\d)", text)
        if match is None:
            raise ValueError(text)
        return int(match[1]) + int(match[2]) / 60.0
    return float(text.replace(",", ".") if columns.decimal_comma else text)


def _expected(name: str, columns: LogbookMap) -> str:
    if name == "flown_on":
        return f"a date as {columns.date_form}"
    if name in HOURS:
        return "hours as 1:30" if columns.hours == "h:mm" else "hours as 1.5"
    return "true or false" if name == "tailwheel" else "a whole number"


def _cell(value: object) -> str:
    match value:
        case None:
            return ""
        case bool():
            return f"{value}".lower()
        case float():
            return f"{value:.4g}"
        case date():
            return value.isoformat()
    return str(value)
