"""Reads everything a pilot pastes from a briefing: all forms of weather text, and notices.

Told apart by how they begin: tables of winds aloft, notices (in parentheses or after "!"), pilot
reports, AIRMET and SIGMET bulletins, areas as JSON; all else goes to ``text``, which reads METAR
and TAF. What is not read is handed on with its line and the reason, as there.
"""

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Final

from lubberline.weather.advice import Area, Locate, Notice, PilotReport
from lubberline.weather.area_json import read_areas_json
from lubberline.weather.area_text import read_areas
from lubberline.weather.clock import check_zone
from lubberline.weather.model import AloftTable, Unread, UnreadableText, Weather, WindsAloft
from lubberline.weather.notice import read_notice
from lubberline.weather.pilot_report import read_pilot_report
from lubberline.weather.text import read_weather_text, unread_weather
from lubberline.weather.winds_table import is_station_row, read_winds_table

_WINDS: Final = re.compile(
    r"\s*(?:(?:FB|FD)\w*\s+\w+\s+\d{6}|FB\w*\s*$|DATA BASED ON|VALID \d{6}Z)", re.I
)
_WINDS_GO_ON: Final = re.compile(
    r"\s*(?:DATA BASED ON|VALID \d{6}Z|FT\s+\d{4,5}\b|TEMPS NEG)", re.I
)
_NOTICE: Final = re.compile(
    r"\s*(?:\(?\s*[A-Z]\d{4}/\d{2}\s+NOTAM[NRC]\b|![A-Z0-9]{3,4}\s+\d)", re.I
)
_PILOT: Final = re.compile(r"\s*(?:[A-Z0-9]{3,4}\s+)?(?:UUA|UA)\s*/\s?OV\b", re.I)
_BULLETIN: Final = re.compile(
    r"\s*(?:W[ASVC][A-Z]{2}\d{2} [A-Z]{4} \d{6}|[A-Z]{4} (?:WA|WS|WST) \d{6}"
    r"|(?:[A-Z]{4} )?(?:CONVECTIVE )?(?:AIRMET|SIGMET) [A-Z0-9])",
    re.I,
)
_BULLETIN_HEAD: Final = re.compile(
    r"\s*(?:W[ASVC][A-Z]{2}\d{2} [A-Z]{4} \d{6}|[A-Z]{4} (?:WA|WS|WST) \d{6})", re.I
)
_REPORT: Final = re.compile(r"\s*(?:METAR|SPECI|TAF)\b", re.I)
_JSON: Final = re.compile(r'\s*(?:\[\s*(?:\{|\]|$)|\{\s*(?:"|$))')
_NO_MARK: Final = "\n"  # in no line
_STARTS: Final = (_WINDS, _NOTICE, _PILOT, _BULLETIN, _JSON, _REPORT)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Reader:
    """What reads the pieces of one kind, and what it has found."""

    near_utc: datetime
    locate: Locate | None
    tables: list[AloftTable] = field(default_factory=list)
    pilot_reports: list[PilotReport] = field(default_factory=list)
    areas: list[Area] = field(default_factory=list)
    notices: list[Notice] = field(default_factory=list)

    def winds(self, piece: str) -> None:
        """A table of winds aloft."""
        self.tables.append(read_winds_table(piece, near_utc=self.near_utc, locate=self.locate))

    def notice(self, piece: str) -> None:
        """One notice."""
        self.notices.append(read_notice(piece))

    def pilot(self, piece: str) -> None:
        """One pilot report."""
        told = read_pilot_report(piece, near_utc=self.near_utc, locate=self.locate)
        self.pilot_reports.append(told)

    def bulletin(self, piece: str) -> None:
        """The areas of a bulletin."""
        self.areas.extend(read_areas(piece, near_utc=self.near_utc, locate=self.locate))

    def document(self, piece: str) -> None:
        """The areas of a JSON document."""
        self.areas.extend(read_areas_json(piece))


def read_briefing(
    text: str, *, near_utc: datetime, aloft: WindsAloft, locate: Locate | None = None
) -> Weather:
    """All that a text tells, and what of it was not read.

    Parameters
    ----------
    text : str
        METAR, TAF, winds aloft, notices, pilot reports, AIRMET and SIGMET in any order.
    near_utc : datetime
        Time less than half a month from those in the text, with its zone.
    aloft : WindsAloft
        What is to hold aloft; ``winds_along`` makes it from the tables.
    locate : callable, optional
        Finds radio aids, fixes and fields by their identifier.

    Raises
    ------
    RangeError
        If ``near_utc`` names no time zone.
    """
    check_zone("near_utc", near_utc)
    near_utc = near_utc.astimezone(UTC)
    found = _Reader(near_utc=near_utc, locate=locate)
    left: list[Unread] = []
    rest = text.splitlines()
    for start, end, read in _pieces(rest, found):
        piece = "\n".join(rest[start:end])
        try:
            read(piece)
        except UnreadableText as exc:
            left.append(Unread(line=start + 1, text=piece.strip(), reason=exc.reason))
        rest[start:end] = ["=", *[""] * (end - start - 1)]
    plain = "\n".join(rest)
    reports, forecasts = read_weather_text(plain, near_utc=near_utc)
    unread = (*left, *unread_weather(plain, near_utc=near_utc))
    return Weather(
        reports=reports,
        forecasts=forecasts,
        aloft=aloft,
        unread=tuple(sorted(unread, key=lambda piece: piece.line)),
        tables=tuple(found.tables),
        pilot_reports=tuple(found.pilot_reports),
        areas=tuple(found.areas),
        notices=tuple(found.notices),
    )


def _pieces(lines: list[str], found: _Reader) -> Iterator[tuple[int, int, Callable[[str], None]]]:
    """First line, line after the last, and reader of every piece that is not METAR or TAF."""
    kinds = (
        (_JSON, _json_end, found.document),
        (_WINDS, _winds_end, found.winds),
        (_NOTICE, _notice_end, found.notice),
        (_PILOT, _end, found.pilot),
        (_BULLETIN, _bulletin_end, found.bulletin),
    )
    at = 0
    while at < len(lines):
        kind = next((kind for kind in kinds if kind[0].match(lines[at])), None)
        end = kind[1](lines, at) if kind else None
        if kind is not None and end is not None:
            yield at, end, kind[2]
        at = end or at + 1


def _end(lines: list[str], at: int, ends: str = "=") -> int:
    """The first line after a piece: an empty one, a comment, another piece, or after its mark."""
    end = at + 1
    while end < len(lines) and ends not in lines[end - 1] and _is_more(lines[end]):
        end += 1
    return end


def _is_more(line: str) -> bool:
    return bool(line.strip()) and not line.startswith("#") and not _starts(line)


def _starts(line: str) -> bool:
    return any(form.match(line) for form in _STARTS)


def _notice_end(lines: list[str], at: int) -> int:
    return _end(lines, at, _NO_MARK)


def _winds_end(lines: list[str], at: int) -> int:
    """A table ends where a line is none of its own, or where the next begins after its levels."""
    end, levels = at, False
    while end < len(lines):
        line = lines[end]
        if levels and _WINDS.match(line):
            break
        own = _WINDS.match(line) or _WINDS_GO_ON.match(line) or is_station_row(line)
        if line.strip() and not own:
            break
        levels = levels or line.lstrip().upper().startswith("FT")
        end += 1
    return max(end, at + 1)


def _bulletin_end(lines: list[str], at: int) -> int:
    """A bulletin ends at an empty line, another kind of piece, or the head of the next one."""
    end, body = at, False
    while end < len(lines):
        line = lines[end]
        new = _BULLETIN_HEAD.match(line) is not None and body
        if new or not line.strip() or not (_BULLETIN.match(line) or _is_more(line)):
            break
        body = body or "MET " in line.upper()
        end += 1
        if "=" in line:
            break
    return max(end, at + 1)


def _json_end(lines: list[str], at: int) -> int | None:
    """The line after a JSON document that starts there; None if none does."""
    text = "\n".join(lines[at:])
    begin = len(text) - len(text.lstrip())
    try:
        value, stop = json.JSONDecoder().raw_decode(text, begin)
    except (ValueError, RecursionError):
        return None
    rest_of_line = text[stop:].split("\n", 1)[0].strip()
    if rest_of_line or not isinstance(value, list | dict):
        return None
    return at + text[:stop].count("\n") + 1
