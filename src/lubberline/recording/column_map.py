"""What the columns of a CSV recording mean: the pilot's small TOML, or a guess in the same form.

A map names the line with the headings, the column and form of the time, and for each column of
ours the heading and unit it has in the file. Column names of ours end in their unit, so that the
conversion follows from the two.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Final, Literal

from pydantic import Field, field_validator

from lubberline.errors import BadFile, Problem
from lubberline.recording.measures import MEASURES, SPELLINGS, unit_of, unit_of_name
from lubberline.recording.model import GnssReference
from lubberline.tomlfile import Schema, lines_of, read_toml

Separator = Literal[",", ";", "\t", "|"]
NUMBER_FORMS: Final = {"unix_s": 1.0, "unix_ms": 1e-3, "unix_us": 1e-6, "unix_ns": 1e-9}
POSITION: Final = ("lat_deg", "lon_deg")

EXAMPLE: Final = """\
header_line = 1
separator = ","
gnss_reference = "unknown"  # msl, ellipsoid or unknown

[time]
column = "time"
form = "iso"  # iso, unix_s, unix_ms, elapsed_s with start_utc, or "%d.%m.%Y %H:%M:%S"
zone = "UTC"

[columns]
lat_deg = { column = "latitude", unit = "deg" }
lon_deg = { column = "longitude", unit = "deg" }
gnss_ft = { column = "gps altitude", unit = "m" }
pressure_ft = { column = "pressure altitude", unit = "ft" }
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where a column of ours comes from: the heading in the file, and the unit it has there."""

    heading: str
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TimeSource:
    """Where the time comes from, and how it is written.

    ``form`` is ``iso``, a key of NUMBER_FORMS, ``elapsed_s`` since ``start_utc`` (else since what
    the pilot says when it is read), or a pattern of the C library's strftime; ``rows`` is none at
    all: a sample every so often. A date in a column of its own is put before the time. ``zone`` is
    UTC, an offset such as +02:00 or a name of the time zone database; an offset column, if any,
    takes its place.
    """

    heading: str
    form: str
    zone: str = "UTC"
    date_heading: str | None = None
    offset_heading: str | None = None
    start_utc: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnMap:
    """How to read one CSV file. Lines count from 1; ``columns`` is keyed by our names."""

    header_line: int
    first_data_line: int
    separator: Separator
    decimal: Literal[".", ","]
    time: TimeSource
    columns: Mapping[str, Source]
    gnss_reference: GnssReference = "unknown"
    only_heading: str | None = None
    only_value: str | None = None


class _Source(Schema):
    column: Annotated[str, Field(min_length=1, examples=['"altitude"'])]
    unit: Annotated[str, Field(examples=['"ft"'])]

    @field_validator("unit")
    @classmethod
    def _known(cls, text: str) -> str:
        unit = unit_of(text)
        if unit is None:
            known = ", ".join(sorted({*MEASURES, *SPELLINGS}))
            raise ValueError(f"a unit that is known: {known}")
        return unit


class _Time(Schema):
    column: Annotated[str, Field(min_length=1, examples=['"time"'])]
    form: Annotated[str, Field(examples=['"iso"'])]
    zone: Annotated[str, Field(examples=['"UTC"'])] = "UTC"
    date_column: Annotated[str | None, Field(examples=['"date"'])] = None
    offset_column: Annotated[str | None, Field(examples=['"utc offset"'])] = None
    start_utc: Annotated[datetime | None, Field(examples=["2026-06-01T14:02:10Z"])] = None

    @field_validator("form")
    @classmethod
    def _known(cls, form: str) -> str:
        if form not in ("iso", "elapsed_s", *NUMBER_FORMS) and "%" not in form:
            forms = ", ".join(["iso", *NUMBER_FORMS, "elapsed_s"])
            raise ValueError(f"{forms} or a pattern such as %d.%m.%Y %H:%M:%S")
        return form


class _Only(Schema):
    column: Annotated[str, Field(min_length=1, examples=['"icao24"'])]
    value: Annotated[str, Field(min_length=1, examples=['"a0b1c2"'])]


class _MapFile(Schema):
    header_line: Annotated[int, Field(ge=1, examples=[1])] = 1
    first_data_line: Annotated[int | None, Field(ge=2, examples=[2])] = None
    separator: Annotated[Separator, Field(examples=['","'])] = ","
    decimal: Annotated[Literal[".", ","], Field(examples=['"."'])] = "."
    gnss_reference: Annotated[GnssReference, Field(examples=['"unknown"'])] = "unknown"
    time: _Time
    columns: dict[str, _Source]
    only: _Only | None = None

    def to_model(self) -> ColumnMap:
        time = TimeSource(
            heading=self.time.column,
            form=self.time.form,
            zone=self.time.zone,
            date_heading=self.time.date_column,
            offset_heading=self.time.offset_column,
            start_utc=_aware(self.time.start_utc),
        )
        return ColumnMap(
            header_line=self.header_line,
            first_data_line=self.first_data_line or self.header_line + 1,
            separator=self.separator,
            decimal=self.decimal,
            time=time,
            columns={
                name: Source(heading=one.column, unit=one.unit)
                for name, one in self.columns.items()
            },
            gnss_reference=self.gnss_reference,
            only_heading=self.only.column if self.only else None,
            only_value=self.only.value if self.only else None,
        )


def read_column_map(path: Path) -> ColumnMap:
    """The map in a TOML file.

    Raises
    ------
    BadFile
        If it does not fit the schema, gives half a position, or asks for a conversion
        between units that do not measure the same: all problems together.
    """
    file = read_toml(path, _MapFile)
    problems = [*_missing(file), *_mismatched(path, file)]
    if problems:
        raise BadFile(path, problems)
    return file.to_model()


def headings_of(column_map: ColumnMap) -> list[str]:
    """Every heading that a map names, once."""
    time = column_map.time
    named = [time.heading, time.date_heading, time.offset_heading, column_map.only_heading]
    named += [source.heading for source in column_map.columns.values()]
    return list(dict.fromkeys(heading for heading in named if heading))


def column_map_toml(column_map: ColumnMap) -> str:
    """The map as the TOML that ``read_column_map`` reads, for the pilot to keep and correct."""
    time = column_map.time
    lines = [
        f"header_line = {column_map.header_line}",
        f"first_data_line = {column_map.first_data_line}",
        f"separator = {_quoted(column_map.separator)}",
        f"decimal = {_quoted(column_map.decimal)}",
        f"gnss_reference = {_quoted(column_map.gnss_reference)}",
        "",
        "[time]",
        f"column = {_quoted(time.heading)}",
        f"form = {_quoted(time.form)}",
        f"zone = {_quoted(time.zone)}",
    ]
    if time.date_heading is not None:
        lines.append(f"date_column = {_quoted(time.date_heading)}")
    if time.offset_heading is not None:
        lines.append(f"offset_column = {_quoted(time.offset_heading)}")
    if time.start_utc is not None:
        lines.append(f"start_utc = {time.start_utc:%Y-%m-%dT%H:%M:%SZ}")
    lines += ["", "[columns]"]
    for name, source in column_map.columns.items():
        heading, unit = _quoted(source.heading), _quoted(source.unit)
        lines.append(f"{name} = {{ column = {heading}, unit = {unit} }}")
    if column_map.only_heading is not None and column_map.only_value is not None:
        lines += ["", "[only]", f"column = {_quoted(column_map.only_heading)}"]
        lines.append(f"value = {_quoted(column_map.only_value)}")
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\t", "\\t")
    return f'"{escaped}"'


def _aware(moment: datetime | None) -> datetime | None:
    if moment is None:
        return None
    return moment.astimezone(UTC) if moment.tzinfo else moment.replace(tzinfo=UTC)


def _missing(file: _MapFile) -> list[Problem]:
    given = [name for name in POSITION if name in file.columns]
    found = [
        Problem(
            key=f"columns.{name}",
            found="nothing",
            expected="the other half of the position",
            example=f'{name} = {{ column = "{name}", unit = "deg" }}',
        )
        for name in POSITION
        if given and name not in file.columns
    ]
    if not file.columns:
        found.append(
            Problem(
                key="columns",
                found="none",
                expected="at least one that is measured",
                example='lat_deg = { column = "latitude", unit = "deg" }',
            )
        )
    return found


def _mismatched(path: Path, file: _MapFile) -> list[Problem]:
    found: list[Problem] = []
    for name, source in file.columns.items():
        ours = unit_of_name(name)
        if ours is not None and MEASURES[ours].kind == MEASURES[source.unit].kind:
            continue
        line = lines_of(path).get(("columns", name))
        what = f"{name!r}" if ours is None else f"{source.unit!r} for {name!r}"
        expected = "a name that ends in a unit" if ours is None else f"a unit of {_kind(ours)}"
        found.append(
            Problem(
                line=line,
                key=f"columns.{name}",
                found=what,
                expected=expected,
                example='ground_kt = { column = "speed", unit = "m/s" }',
            )
        )
    return found


def _kind(unit: str) -> str:
    return MEASURES[unit].kind
