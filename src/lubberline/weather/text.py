"""Reads a weather text as the pilot pasted it: METAR, SPECI and TAF in any order.

A report begins with its keyword or with a station and a time, runs over any number of lines
and ends with "=", with the next one or, after an empty line, with a line that does not look
coded. Lines that start with # are comments. What cannot be read never stops the rest: a
pilot pastes whole briefings and wants the weather out of them, and what was left out shown
beside it. So every line that is not read is handed on with its number and the reason, and a
check that lacks its report comes out unknown. The latest report and forecast of a station hold; of
two with the same time the later in the text.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from typing import Final

from lubberline.weather.clock import check_zone
from lubberline.weather.forecast import read_taf
from lubberline.weather.groups import MOST_GROUPS_COUNT, read_groups
from lubberline.weather.model import Forecast, Report, Unread, UnreadableText
from lubberline.weather.report import read_metar

_FLAGS: Final = re.ASCII | re.IGNORECASE
_WORDS: Final = r"(?:(?:METAR|SPECI|TAF|AMD|COR)(?:\s+|$))"
_HEAD: Final = r"[A-Z][A-Z0-9]{3}\s+(?:\d{6}Z|\d{4}/\d{4})(?:\s|$)"
_START: Final = re.compile(rf"(?:METAR|SPECI|TAF)\b|{_HEAD}", _FLAGS)
_KEYWORDS_ALONE: Final = re.compile(rf"{_WORDS}+", _FLAGS)
_SECOND: Final = re.compile(rf"(?<=\s)(?=(?:METAR|SPECI|TAF)\s+{_WORDS}{{0,4}}{_HEAD})", _FLAGS)
_FORECAST: Final = re.compile(
    rf"TAF\b|{_WORDS}{{0,4}}[A-Z][A-Z0-9]{{3}}\s+(?:\d{{6}}Z\s+)?(?:(?:AMD|COR)\s+)?\d{{4}}/\d{{4}}",
    _FLAGS,
)
_CONTINUES: Final = re.compile(r"(?:FM\d|BECMG|TEMPO|INTER|PROB\d|RMK)", _FLAGS)


@dataclass(slots=True)
class _Block:
    """Lines that belong together, while they are gathered."""

    line: int
    parts: list[str]
    keywords_alone: bool
    open: bool = True  # no "=" has ended it
    after_gap: bool = False  # an empty line was the last one


@dataclass(slots=True)
class _Found:
    reports: dict[str, Report] = field(default_factory=dict)
    forecasts: dict[str, Forecast] = field(default_factory=dict)
    unread: list[Unread] = field(default_factory=list)


def read_weather_text(
    text: str, *, near_utc: datetime
) -> tuple[dict[str, Report], dict[str, Forecast]]:
    """The latest report and the latest forecast of each station in a text.

    Parameters
    ----------
    text : str
        METAR, SPECI and TAF, with or without keywords, among anything else.
    near_utc : datetime
        Time less than half a month from those in the text, with its zone.

    Returns
    -------
    tuple of dict
        Reports and forecasts by station. ``unread_weather`` gives what is in neither.

    Raises
    ------
    RangeError
        If ``near_utc`` names no time zone.
    """
    found = _read(text, near_utc)
    return found.reports, found.forecasts


def unread_weather(text: str, *, near_utc: datetime) -> tuple[Unread, ...]:
    """What ``read_weather_text`` leaves out of the same text, in order, each with its reason.

    Older reports of a station that has a later one are not among it, comments neither.
    """
    return tuple(sorted(_read(text, near_utc).unread, key=lambda piece: piece.line))


def _read(text: str, near_utc: datetime) -> _Found:
    check_zone("near_utc", near_utc)
    found = _Found()
    for block in _blocks(text, found.unread):
        try:
            _read_block(" ".join(block.parts), near_utc, found)
        except UnreadableText as exc:
            found.unread.append(
                Unread(line=block.line, text=" ".join(block.parts), reason=exc.reason)
            )
    return found


def _read_block(text: str, near_utc: datetime, found: _Found) -> None:
    if _FORECAST.match(text):
        forecast = read_taf(text, near_utc=near_utc)
        known = found.forecasts.get(forecast.station)
        if known is None or forecast.issued_utc >= known.issued_utc:
            found.forecasts[forecast.station] = forecast
        return
    report = read_metar(text, near_utc=near_utc)
    earlier = found.reports.get(report.station)
    if earlier is None or report.observed_utc >= earlier.observed_utc:
        found.reports[report.station] = report


def _blocks(text: str, unread: list[Unread]) -> list[_Block]:
    blocks: list[_Block] = []
    for number, piece, ended in _pieces(text):
        block = blocks[-1] if blocks else None
        if not piece:
            if block is not None:
                block.open, block.after_gap = block.open and not ended, True
        elif block is not None and _goes_on(block, piece):
            block.parts.append(piece)
            block.keywords_alone = False
            block.open, block.after_gap = not ended, False
        elif _START.match(piece):
            alone = _KEYWORDS_ALONE.fullmatch(piece) is not None
            blocks.append(_Block(line=number, parts=[piece], keywords_alone=alone, open=not ended))
        else:
            reason = "neither METAR, SPECI nor TAF, and no part of one"
            unread.append(Unread(line=number, text=piece, reason=reason))
    return blocks


def _pieces(text: str) -> Iterator[tuple[int, str, bool]]:
    """Line number, one report's part of a line, and whether "=" ends it; "" for a gap."""
    for number, raw in enumerate(text.splitlines(), start=1):
        line = raw.strip()
        if line.startswith("#"):
            continue
        *closed, last = line.split("=")
        for sentence, ended in [*((part, True) for part in closed), (last, False)]:
            parts = [part.strip() for part in _SECOND.split(sentence)]
            for part in parts[:-1]:
                yield number, part, True
            if parts[-1] or ended or not closed:
                yield number, parts[-1], ended


def _goes_on(block: _Block, piece: str) -> bool:
    """Whether a piece belongs to the report before it."""
    if not block.open:
        return False
    if block.keywords_alone and not _KEYWORDS_ALONE.match(piece):
        return True
    if _START.match(piece):
        return False
    return not block.after_gap or _looks_coded(piece)


def _looks_coded(piece: str) -> bool:
    """Whether at least half of the groups are those of a report."""
    groups = piece.upper().split()[:MOST_GROUPS_COUNT]
    return bool(_CONTINUES.match(piece)) or 2 * len(read_groups(groups).undecoded) <= len(groups)
