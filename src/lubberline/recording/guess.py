"""What a CSV's columns probably mean, from the words and units in its headings.

Only what the headings say is used: a height or a speed without a unit is not guessed at, and a
date that could be read two ways is not read. State vectors in the form of an open surveillance
network [OPENSKY]_ are known by their set of headings, whose units its documentation gives. The
guess is a column map like the pilot's own, and the account prints it.
"""

import csv
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from lubberline.recording.column_map import ColumnMap, Separator, Source, TimeSource
from lubberline.recording.measures import MEASURES, OURS, unit_of
from lubberline.recording.model import GnssReference

HEADER_LINES: Final = 40  # own: the headings stand among the first so many lines
SEPARATORS: Final[tuple[Separator, ...]] = (",", ";", "\t", "|")

LAT: Final = {"lat", "latitude", "gpslat", "gpslatitude", "latdeg", "positionlat"}
LON: Final = {"lon", "lng", "long", "longitude", "gpslon", "gpslongitude", "positionlong"}
TIME: Final = {
    *("time", "timestamp", "datetime", "utc", "utctime", "timeutc", "gpstime", "epoch"),
    *("unixtime", "posixtime", "unixtimestamp", "gpsutctime", "dateutc", "datetimeutc"),
    *("timestampms", "timems", "unixtimems"),
}
DATE: Final = {"date", "utcdate", "gpsdate", "dateutc", "gpsutcdate"}
LOCAL_DATE: Final = {"localdate", "lcldate"}
LOCAL_TIME: Final = {"localtime", "lcltime"}
OFFSET: Final = {"utcoffset", "utcofst", "offsetutc"}

# Words of a quantity: our name without its unit, and the unit we keep it in.
WORDS: Final = {
    **dict.fromkeys(("gs", "groundspeed", "gndspd", "gspeed", "sog"), ("ground", "kt")),
    **dict.fromkeys(("speedoverground", "ground", "gpsspeed"), ("ground", "kt")),
    **dict.fromkeys(("ias", "indicatedairspeed"), ("ias", "kt")),
    **dict.fromkeys(("tas", "trueairspeed"), ("tas", "kt")),
    **dict.fromkeys(("cas", "calibratedairspeed"), ("cas", "kt")),
    **dict.fromkeys(("vs", "vspd", "verticalspeed", "verticalrate", "vertrate"), ("climb", "fpm")),
    **dict.fromkeys(("climb", "climbrate", "rateofclimb", "roc", "vario"), ("climb", "fpm")),
    **dict.fromkeys(("headingmag", "magneticheading", "hdgmag"), ("heading_mag", "deg")),
    **dict.fromkeys(("headingtrue", "trueheading", "hdgtrue"), ("heading_true", "deg")),
    **dict.fromkeys(("tracktrue", "truetrack", "trktrue", "cog"), ("track_true", "deg")),
    **dict.fromkeys(("trackmag", "magnetictrack", "trkmag"), ("track_mag", "deg")),
    **dict.fromkeys(("altind", "indicatedaltitude", "indicated"), ("indicated", "ft")),
    **dict.fromkeys(("agl", "heightagl", "altitudeagl", "altagl"), ("agl", "ft")),
    **dict.fromkeys(("altimetersetting", "qnh", "baroset", "altimeter"), ("altimeter", "inhg")),
    **dict.fromkeys(("heading", "hdg"), ("heading", "deg")),
    **dict.fromkeys(("track", "trk", "course"), ("track", "deg")),
    **dict.fromkeys(("pitch",), ("pitch", "deg")),
    **dict.fromkeys(("roll", "bank"), ("roll", "deg")),
}
PRESSURE: Final = re.compile(r"press|baro|qne")
NOT_A_HEIGHT: Final = re.compile(r"accuracy|error|dop|rate|speed|setting|count")
HEIGHT: Final = re.compile(r"alt|height|hgt|elev|^ele$|msl$|hae|gnss$|geoid|ellipsoid")
REFERENCES: Final[Mapping[GnssReference, re.Pattern[str]]] = {
    "msl": re.compile(r"msl|geoid|orthometric"),
    "ellipsoid": re.compile(r"ellips|hae|wgs"),
}

# Headings of state vectors and the units its documentation gives them.
STATE_VECTORS: Final = {
    "lat_deg": ("lat", "deg"),
    "lon_deg": ("lon", "deg"),
    "pressure_ft": ("baroaltitude", "m"),
    "gnss_ft": ("geoaltitude", "m"),
    "ground_kt": ("velocity", "mps"),
    "track_true_deg": ("heading", "deg"),
    "climb_fpm": ("vertrate", "mps"),
    "on_ground_fraction": ("onground", "bool"),
    "position_update_s": ("lastposupdate", "s"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """One heading taken apart: as it stands, its words run together, and its unit if it has one.

    ``name`` is the words as a name of ours would spell them.
    """

    text: str
    words: str
    name: str
    unit: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """The guessed map, None if position or time was not recognized, and what it leaves out."""

    column_map: ColumnMap | None
    headings: tuple[str, ...]
    problems: tuple[str, ...]
    unused: tuple[str, ...]


def guess_column_map(lines: Sequence[str]) -> Guess:
    """The meaning of a CSV's columns by its first lines; at least the headings and one row."""
    separator, index = _header(lines)
    names = split(lines[index], separator)
    units, first = _units_line(lines, index, separator, len(names))
    headings = [
        heading(name, unit) for name, unit in zip(names, units or [""] * len(names), strict=True)
    ]
    row = dict(zip(names, split(lines[first], separator), strict=False)) if lines[first:] else {}
    columns, reference = _columns(headings)
    time, problems = _time(headings, row)
    problems = [*(f"no column for {name}" for name in _without_position(columns)), *problems]
    used = {source.heading for source in columns.values()}
    used |= {time.heading, time.date_heading or "", time.offset_heading or ""} if time else set()
    found = None
    if time is not None and not problems:
        found = ColumnMap(
            header_line=index + 1,
            first_data_line=first + 1,
            separator=separator,
            decimal="," if separator == ";" and _decimal_comma(row, columns) else ".",
            time=time,
            columns=columns,
            gnss_reference=reference,
        )
    return Guess(
        column_map=found,
        headings=tuple(names),
        problems=tuple(problems),
        unused=tuple(name for name in names if name and name not in used),
    )


def split(line: str, separator: str) -> list[str]:
    """The fields of one line, without quotes and outer blanks."""
    row = next(csv.reader([line.lstrip("﻿")], delimiter=separator), [])
    return [text.strip() for text in row]


def heading(text: str, unit_text: str = "") -> Heading:
    """A heading's words and unit: in brackets, as its last word, or from a line of units."""
    plain = text.strip().lstrip("#").strip()
    bracket = re.fullmatch(r"(.*?)\s*[\[(]([^\[\]()]*)[\])]", plain)
    if bracket:
        plain, unit = bracket[1], unit_of(bracket[2])
    else:
        unit = None
        parts = re.split(r"[\s_\-]+", plain)
        if len(parts) > 1 and (unit := unit_of(parts[-1])):
            plain = " ".join(parts[:-1])
    if unit is None and unit_text:
        unit = unit_of(unit_text.strip().strip("#[]()").strip())
    name = re.sub(r"[^a-z0-9]+", "_", plain.lower()).strip("_")
    return Heading(text=text, words=name.replace("_", ""), name=name, unit=unit)


def _header(lines: Sequence[str]) -> tuple[Separator, int]:
    """The line most like headings: with a latitude and longitude if any, else with most fields."""
    best: tuple[int, int, Separator, int] = (-1, 0, ",", 0)
    for index, line in enumerate(lines[:HEADER_LINES]):
        for separator in SEPARATORS:
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
        known = [bool(unit_of(text)) for text in fields if text]
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
        if meaning is None or meaning[0] in columns:
            continue
        columns[meaning[0]] = Source(heading=one.text, unit=meaning[1])
        if meaning[0] == "gnss_ft":
            reference = _reference(one.words)
    return columns, reference


def _meaning(one: Heading) -> tuple[str, str] | None:
    """Our name for a column and the unit it comes in; None if it is not to be guessed."""
    if one.words in LAT:
        return "lat_deg", one.unit or "deg"
    if one.words in LON:
        return "lon_deg", one.unit or "deg"
    name, ours = WORDS.get(one.words, ("", ""))
    unit = one.unit or ("deg" if ours == "deg" else None)
    if unit is None or one.words in TIME | DATE or MEASURES[unit].kind == "time":
        return None
    if not name and HEIGHT.search(one.words) and not NOT_A_HEIGHT.search(one.words):
        return _height(one.words, unit)
    if not name:
        name, ours = one.name, OURS[MEASURES[unit].kind]
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
    if time is None:
        return None, ["no column for time"]
    unit = next(one.unit for one in headings if one.text == time)
    form = _form(row.get(time, ""), row.get(date or "", ""), unit)
    if form is None:
        return None, [_unclear(time, " ".join((row.get(date or "", ""), row.get(time, ""))))]
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
    if not re.fullmatch(r"[+]?\d+(\.\d*)?([eE][+]?\d+)?", text):
        return None
    count = float(text)
    # Since 1970 these are all between 1980 and 2100; nothing else is this large.
    bounds = {"unix_s": 1.0, "unix_ms": 1e3, "unix_us": 1e6, "unix_ns": 1e9}
    fits = [form for form, scale in bounds.items() if 3.1e8 <= count / scale <= 4.2e9]
    return fits[0] if fits and unit in (None, "s") else None


def _unclear(time: str, text: str) -> str:
    if not text.strip():
        return f"headings and no rows: nothing under {time!r}"
    shown = f"the time {text.strip()!r} in {time!r}"
    if re.fullmatch(r"\s*\d+(\.\d*)?", text):
        return f'{shown} counts from an unknown start (form = "elapsed_s" with start_utc says it)'
    if not re.search(r"\d\d\d\d|\d\d?[./-]\d\d?[./-]\d\d", text):
        return f"{shown} has no date"
    return f"{shown} can be read in more than one way"


def _decimal_comma(row: Mapping[str, str], columns: Mapping[str, Source]) -> bool:
    texts = [row.get(source.heading, "") for source in columns.values()]
    return any(re.fullmatch(r"[+-]?\d+,\d+", text) for text in texts)
