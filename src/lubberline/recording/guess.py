"""What a CSV's columns probably mean, from the words and units in its headings.

A height or a speed without a unit is not guessed at, and a date that could be read two ways is
not read. State vectors in the form of an open surveillance network [OPENSKY]_ are known by their
set of headings, whose units its documentation gives. Where the headings do not name time or
position, their values may (``propose``): such a guess is for the pilot to confirm. The guess is a
column map like the pilot's own, and the account prints it.
"""

import csv
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import chain
from typing import Final, Literal

from lubberline.recording.column_map import ColumnMap, Separator, Source, TimeSource
from lubberline.recording.measures import MEASURES, OURS, unit_of
from lubberline.recording.model import GnssReference
from lubberline.recording.propose import proposed_position, proposed_time, unix_form
from lubberline.recording.words import (
    DATE,
    ELAPSED,
    HEIGHT,
    LAT,
    LOCAL_DATE,
    LOCAL_TIME,
    LON,
    NOT_A_HEIGHT,
    OFFSET,
    PRESSURE,
    REFERENCES,
    SHORT_UNITS,
    STATE_VECTORS,
    TIME,
    WORDS,
)

HEADER_LINES: Final = 40  # own: the headings stand among the first so many lines
SEPARATORS: Final[tuple[Separator, ...]] = (",", ";", "\t", "|")
Decimal = Literal[".", ","]
COUNT: Final = re.compile(r"\d+(\.\d*)?")
NO_TIME: Final = "no column for time"
UNSAID: Final = ("deg", "rpm")  # units that go without saying
ENGINE: Final = re.compile(r"(?:e|eng|engine)_?(\d)_(.+)")  # which engine a column is of
ABOVE: Final = {"msl", "wgs", "baro"}  # what a unit may say a height is counted from


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """One heading taken apart: as it stands, its words run together, and its unit if it has one.

    ``name`` is the words as a name of ours would spell them; ``above`` is what its unit says a
    height is counted from: ft msl, ft wgs, or ft baro for the altimeter as it was set.
    """

    text: str
    words: str
    name: str
    unit: str | None
    above: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """The guessed map, what it rests on, and what it leaves out; its columns in file order.

    ``column_map`` is None where no time was recognized, or nothing else. ``by_values`` names the
    headings whose meaning only their values suggest, ``row`` is the first row of samples.
    """

    column_map: ColumnMap | None
    headings: tuple[str, ...]
    problems: tuple[str, ...]
    unused: tuple[str, ...]
    by_values: tuple[str, ...] = ()
    row: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Table:
    """The first lines of a CSV taken apart; ``row`` is the first of ``rows``, by heading."""

    separator: Separator
    header_line: int
    first_data_line: int
    headings: list[Heading]
    row: Mapping[str, str]
    rows: Iterable[list[str]]

    @property
    def names(self) -> list[str]:
        """The headings as they stand."""
        return [one.text for one in self.headings]

    @property
    def decimal(self) -> Decimal:
        """What stands before the fraction of a number."""
        return "," if self.separator != "," and _decimal_comma(self.row) else "."


def guess_column_map(lines: Sequence[str], further: Iterable[str] = ()) -> Guess:
    """The meaning of a CSV's columns by its first lines; at least the headings and one row.

    ``further`` are rows from all over the file, whose values are looked at where the headings
    say too little.
    """
    table = _table(lines, further)
    columns, reference = _columns(table.headings)
    time, problems = _time(table.headings, table.row)
    unclear = problems == [NO_TIME] or bool(_without_position(columns))
    rows = list(table.rows) if unclear else []
    by_values: list[str] = []
    if problems == [NO_TIME]:
        time, problems = _time_by_values(table, rows, by_values, or_none=bool(columns))
    columns = _with_position(table, rows, columns, by_values)
    if not columns or len(_without_position(columns)) == 1:
        problems = [*(f"no column for {name}" for name in _without_position(columns)), *problems]
    found = None
    if time is not None and not problems:
        found = ColumnMap(
            header_line=table.header_line,
            first_data_line=table.first_data_line,
            separator=table.separator,
            decimal=table.decimal,
            time=time,
            columns=columns,
            gnss_reference=reference,
        )
    used = {source.heading for source in columns.values()}
    used |= {time.heading, time.date_heading or "", time.offset_heading or ""} if time else set()
    return Guess(
        column_map=found,
        headings=tuple(table.names),
        problems=tuple(problems),
        unused=tuple(name for name in table.names if name and name not in used),
        by_values=tuple(by_values),
        row=table.row,
    )


def _table(lines: Sequence[str], further: Iterable[str]) -> _Table:
    separator, index = _header(lines)
    names = split(lines[index], separator)
    units, first = _units_line(lines, index, separator, len(names))
    whole = (split(line, separator) for line in chain(lines[first:], further) if line.strip())
    rows = (row for row in whole if len(row) == len(names))
    row = next(rows, None)
    return _Table(
        separator=separator,
        header_line=index + 1,
        first_data_line=first + 1,
        headings=[
            heading(name, unit)
            for name, unit in zip(names, units or [""] * len(names), strict=True)
        ],
        row={} if row is None else dict(zip(names, row, strict=True)),
        rows=() if row is None else chain([row], rows),
    )


def _time_by_values(
    table: _Table, rows: Sequence[Sequence[str]], by_values: list[str], *, or_none: bool
) -> tuple[TimeSource | None, list[str]]:
    """A time that only its values show; none at all is one, too, where the pilot may say it."""
    time = proposed_time(table.names, rows)
    if time is not None:
        by_values += [one for one in (time.date_heading, time.heading) if one is not None]
        return time, []
    return (TimeSource(heading="", form="rows"), []) if or_none else (None, [NO_TIME])


def _with_position(
    table: _Table,
    rows: Sequence[Sequence[str]],
    columns: dict[str, Source],
    by_values: list[str],
) -> dict[str, Source]:
    """The columns, and what else of a position the values show; half of one stays as it is."""
    if not _without_position(columns):
        return columns
    proposed = proposed_position(table.names, rows, decimal=table.decimal)
    if any(proposed.get(name, one) != one for name, one in columns.items()):
        return columns
    by_values += [one.heading for name, one in proposed.items() if name not in columns]
    return {**proposed, **columns}


def split(line: str, separator: str) -> list[str]:
    """The fields of one line, without quotes and outer blanks."""
    row = next(csv.reader([line.lstrip("﻿")], delimiter=separator), [])
    return [text.strip() for text in row]


def heading(text: str, unit_text: str = "") -> Heading:
    """A heading's words and unit: in brackets, as its last word, or from a line of units."""
    plain = text.strip().lstrip("#").strip()
    bracket = re.fullmatch(r"(.*?)\s*[\[(]([^\[\]()]*)[\])]", plain)
    unit, above = None, ""
    if bracket:
        plain, (unit, above) = bracket[1], _unit(bracket[2], bracket[1])
    else:
        parts = re.split(r"[\s_\-]+", plain)
        if len(parts) > 1 and (unit := unit_of(parts[-1])):
            plain = " ".join(parts[:-1])
    if unit is None and unit_text:
        unit, above = _unit(unit_text.strip().strip("#[]()"), plain)
    name = re.sub(r"[^a-z0-9]+", "_", plain.lower()).strip("_")
    return Heading(text=text, words=name.replace("_", ""), name=name, unit=unit, above=above)


def _unit(text: str, words: str) -> tuple[str | None, str]:
    """A unit and what a height in it is counted from; short ones by the words they belong to."""
    plain = text.strip().lower()
    first, _, above = plain.partition(" ")
    if above in ABOVE:
        return unit_of(first), above
    for short, fits, unit in SHORT_UNITS:
        if plain == short and fits.search(words.lower()):
            return unit, ""
    return unit_of(plain), ""


def _header(lines: Sequence[str]) -> tuple[Separator, int]:
    """The line most like headings: with a latitude and longitude if any, else with most fields."""
    best: tuple[int, int, Separator, int] = (-1, 0, ",", 0)
    for index, line in enumerate(lines[:HEADER_LINES]):
        for separator in SEPARATORS:
            if (2, line.count(separator) + 1) <= best[:2]:
                continue  # rows of data, mostly: no better whatever stands in them
            words = [heading(name).words for name in split(line, separator)]
            score = int(any(w in LAT for w in words)) + int(any(w in LON for w in words))
            if (score, len(words)) > best[:2]:
                best = (score, len(words), separator, index)
    return best[2], best[3]


def _units_line(
    lines: Sequence[str], index: int, separator: str, width: int
) -> tuple[list[str] | None, int]:
    """The units beside the headings, if a line gives them, and where the data begins."""
    for other in (index + 1, index - 1):
        if not 0 <= other < len(lines):
            continue
        fields = [text.strip("#[]() ") for text in split(lines[other], separator)]
        known = [bool(_unit(text, "")[0]) for text in fields if text]
        if len(fields) == width and known and sum(known) >= max(2, len(known) // 3):
            return fields, max(index, other) + 1
    return None, index + 1


def _columns(headings: Iterable[Heading]) -> tuple[dict[str, Source], GnssReference]:
    names = {one.text for one in headings}
    if {"time", "icao24", "lat", "lon", "velocity"} <= names:
        known = {
            name: Source(heading=text, unit=unit)
            for name, (text, unit) in STATE_VECTORS.items()
            if text in names
        }
        return known, "ellipsoid"
    columns: dict[str, Source] = {}
    reference: GnssReference = "unknown"
    for one in headings:
        meaning = _meaning(one)
        if meaning is None:
            continue
        above = _reference(one.words + one.above) if meaning[0] == "gnss_ft" else "unknown"
        if meaning[0] in columns and not (above == "msl" != reference):
            continue  # the first one, but of satellite heights the one above the sea
        columns[meaning[0]] = Source(heading=one.text, unit=meaning[1])
        reference = above if meaning[0] == "gnss_ft" else reference
    return columns, reference


def _meaning(one: Heading) -> tuple[str, str] | None:
    """Our name for a column and the unit it comes in; None if it is not to be guessed."""
    if one.words in LAT:
        return "lat_deg", one.unit or "deg"
    if one.words in LON:
        return "lon_deg", one.unit or "deg"
    engine = ENGINE.fullmatch(f"{one.name}_rpm" if one.unit == "rpm" else one.name)
    plain = engine[2] if engine else one.name
    name, ours = WORDS.get(plain.replace("_", ""), ("", ""))
    unit = one.unit or (ours if ours in UNSAID else None)
    if unit is None or one.words in TIME | DATE or MEASURES[unit].kind == "time":
        return None
    if one.above == "baro":
        name, ours = "indicated", "ft"
    if not name and HEIGHT.search(one.words) and not NOT_A_HEIGHT.search(one.words):
        return _height(one.words, unit)
    if not name and plain:
        name, ours = plain, OURS[MEASURES[unit].kind]
    if engine and engine[1] != "1":
        name = f"{name}_{engine[1]}"
    same_kind = MEASURES[ours].kind == MEASURES[unit].kind
    return (f"{name}_{ours}", unit) if name and same_kind else None


def _height(words: str, unit: str) -> tuple[str, str] | None:
    if MEASURES[unit].kind != "length":
        return None
    if PRESSURE.search(words):
        return "pressure_ft", unit
    return "gnss_ft", unit


def _reference(words: str) -> GnssReference:
    return next((name for name, what in REFERENCES.items() if what.search(words)), "unknown")


def _without_position(columns: Mapping[str, Source]) -> list[str]:
    wanted = {"lat_deg": "latitude", "lon_deg": "longitude"}
    return [what for name, what in wanted.items() if name not in columns]


def _time(
    headings: Sequence[Heading], row: Mapping[str, str]
) -> tuple[TimeSource | None, list[str]]:
    """The column of the time and its form, or why that is not clear."""
    first = {one.words: one.text for one in reversed(headings)}

    def among(words: set[str]) -> str | None:
        return next((text for word, text in first.items() if word in words), None)

    time, date, offset = among(TIME), among(DATE - TIME), among(OFFSET)
    if time is None and (local := among(LOCAL_TIME)) is not None:
        if offset is None:
            return None, [f"{local!r} is local time, and no column gives its offset from UTC"]
        time, date = local, among(LOCAL_DATE)
    if time is None and (counted := among(ELAPSED)) is not None:
        return TimeSource(heading=counted, form="elapsed_s"), []
    if time is None:
        return None, [NO_TIME]
    unit = next(one.unit for one in headings if one.text == time)
    day = row.get(date, "") if date is not None else ""
    form = _form(row.get(time, ""), day, unit)
    if form is None and COUNT.fullmatch(row.get(time, "")):
        form = "elapsed_s"
    if form is None:
        return None, [_unclear(time, " ".join((day, row.get(time, ""))))]
    source = TimeSource(
        heading=time,
        form=form,
        date_heading=date if form == "iso" else None,
        offset_heading=offset if date is not None else None,
    )
    return source, []


def _form(text: str, date_text: str, unit: str | None) -> str | None:
    """``iso`` or a count since 1970; None where a date is missing or ambiguous."""
    both = f"{date_text} {text}".strip()
    if re.match(r"\d{4}[-/]\d\d?[-/]\d\d?[T ]\s*\d\d?:\d\d", both):
        return "iso"
    return unix_form(text) if unit in (None, "s") else None


def _unclear(time: str, text: str) -> str:
    if not text.strip():
        return f"headings and no rows: nothing under {time!r}"
    shown = f"the time {text.strip()!r} in {time!r}"
    if not re.search(r"\d\d\d\d|\d\d?[./-]\d\d?[./-]\d\d", text):
        return f"{shown} has no date"
    return f"{shown} can be read in more than one way"


def _decimal_comma(row: Mapping[str, str]) -> bool:
    """Whether there are numbers with a comma and none with a point."""
    written = {mark for mark in ".," for text in row.values() if _number(text, mark)}
    return written == {","}


def _number(text: str, mark: str) -> bool:
    return bool(re.fullmatch(rf"[+-]?\d+{re.escape(mark)}\d+", text))
