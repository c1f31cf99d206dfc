"""Makes a report of plain words: what a pilot heard from a recording or by telephone.

The form is our own. Place, letter and time come first; then any number of items in any order,
several to a line if need be, each begun by its name: wind, visibility, weather, clouds,
temperature, dew point, altimeter, runway, remarks. What was not said is not known. A wind that is
spoken is magnetic, so that the variation at the field makes it true, as reports have it.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from lubberline.errors import BadFile, Problem
from lubberline.weather.clock import check_zone
from lubberline.weather.model import Report
from lubberline.weather.report import read_metar
from lubberline.weather.spoken import figures, letter
from lubberline.weather.spoken_groups import (
    Field,
    NotUnderstood,
    altimeter_group,
    clouds_group,
    degrees_group,
    visibility_group,
    weather_group,
    wind_group,
)

AHEAD: Final = timedelta(minutes=30)  # own: clocks differ; a later time is of the day before
MOST_REMARKS: Final = 100  # own: words that a report carries; the file keeps all
_NAMES: Final = {
    "wind": "winds?",
    "visibility": "(?<!vertical )vis(?:ibility)?",
    "weather": "weather",
    "clouds": "clouds?|sky(?: condition)?|ceiling|(?=vertical visibility)",
    "temperature": "temp(?:erature)?",
    "dew point": "dew ?point",
    "altimeter": "altimeter|qnh",
    "runway": "runways?",
    "remarks": "remarks?",
}
_EXAMPLES: Final = {
    "place": "QMRL information bravo 2053",
    "wind": "wind 280 at 12 gust 19",
    "visibility": "visibility 1 1/2",
    "weather": "weather light rain, mist",
    "clouds": "clouds few 2500, broken 4500",
    "temperature": "temperature 10",
    "dew point": "dew point minus 3",
    "altimeter": "altimeter 29.96",
}
_ITEM: Final = re.compile(
    r"\b(?:" + "|".join(f"(?P<{n.replace(' ', '_')}>{w})" for n, w in _NAMES.items()) + r")\b[ :,]*"
)
_HEAD: Final = re.compile(
    r"(?P<place>[a-z0-9]{3,5})(?: (?:information|info|atis|awos|asos))*(?: (?P<letter>[a-z-]+))?"
    r"(?: (?P<time>[0-9]{4}) ?(?:z|zulu|utc)?)?"
)
_NO_REMARK: Final = re.compile(r"NIL|METAR|SPECI|TAF|AMD|COR|RMK|T[01][0-9]{3}.*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """A report made of words: as it is read, and the lines that keep it in a weather file."""

    report: Report
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Item:
    line: int
    name: str
    said: str


def read_dictated(
    lines: Sequence[str], *, find: Callable[[str], Field | None], now_utc: datetime
) -> Heard:
    """The report that a pilot's words come to.

    Parameters
    ----------
    lines : sequence of str
        As typed; empty ones do not matter.
    find : callable
        A field's identifier and place by any of its names.
    now_utc : datetime
        With its zone. A time of day is the last one before it; none said is this one.

    Raises
    ------
    BadFile
        With one problem for every item that is not understood.
    RangeError
        If ``now_utc`` names no zone.

    References
    ----------
    [AIM-7-1]_, for the groups that are made; spoken winds are magnetic (memory).

    Examples
    --------
    >>> said = ["QMRL bravo 2053", "wind calm", "clouds broken 4500", "altimeter 2996"]
    >>> now_utc = datetime.fromisoformat("2026-11-25T21:00Z")
    >>> read_dictated(said, find=lambda name: (name, 41.0, -131.0), now_utc=now_utc).report.text
    'METAR QMRL 252053Z 00000KT BKN045 A2996 RMK HEARD INFO B'
    """
    check_zone("now_utc", now_utc)
    spoken = [(n, figures(line)) for n, line in enumerate(lines, 1) if line.strip()]
    first, head = spoken[0] if spoken else (1, "")
    begun = _ITEM.search(head)
    head = head[: begun.start()] if begun else head
    problems: list[Problem] = []
    items = list(_items(spoken, problems))
    field, told, at_utc = _head(head.strip(" ,"), first, find, now_utc, problems)
    groups = _groups(items, field, at_utc, problems)
    if not items and not problems:
        problems.append(_problem(_Item(first, "wind", "nothing after the place"), "what you heard"))
    if problems or field is None:
        order = sorted(problems, key=lambda one: one.line or 0)
        raise BadFile(Path("what you said"), order)
    remarks = [f"INFO {told}"] if told else []
    remarks += [f"RWY {one.said.upper()}" for one in items if one.name == "runway"]
    remarks += [one.said.upper() for one in items if one.name == "remarks"]
    body = [f"METAR {field[0]} {at_utc:%d%H%M}Z", *groups, "RMK HEARD", *_safe(remarks)]
    report = read_metar(" ".join(body), near_utc=at_utc)
    kept = [f"#   {' '.join(line.split())}" for line in lines if line.strip()]
    return Heard(
        report=report,
        lines=("# heard, in your own words:", *kept, f"{report.text}="),
    )


def _items(spoken: Sequence[tuple[int, str]], problems: list[Problem]) -> Iterator[_Item]:
    """Every item with its line; remarks take the rest of theirs. Twice the same is a problem."""
    seen: set[str] = set()
    for index, (number, text) in enumerate(spoken):
        text, remark = _before_remarks(text)
        marks = list(_ITEM.finditer(text))
        stray = text[: marks[0].start()] if marks else text
        if index and stray.strip():
            expected = f"an item that begins with one of {', '.join(_NAMES)}"
            problems.append(_problem(_Item(number, "line", text), expected))
            continue
        for item in _of_line(number, text, marks, remark):
            if item.name in seen and item.name not in {"clouds", "runway", "remarks"}:
                problems.append(_problem(item, f"{item.name} once"))
            seen.add(item.name)
            yield item


def _of_line(number: int, text: str, marks: list[re.Match[str]], remark: str) -> Iterator[_Item]:
    """The items of one line; what follows a visibility after a comma is the weather."""
    ends = [*(one.start() for one in marks[1:]), len(text)]
    for mark, end in zip(marks, ends, strict=False):
        name, said = str(mark.lastgroup).replace("_", " "), text[mark.end() : end].strip(" ,;")
        said, comma, more = said.partition(",") if name == "visibility" else (said, "", "")
        yield _Item(number, name, said)
        if comma:
            yield _Item(number, "weather", more.strip())
    if remark:
        yield _Item(number, "remarks", remark)


def _before_remarks(text: str) -> tuple[str, str]:
    before, mark, after = re.sub(r"\bremarks?\b[ :,]*", "\n", text, count=1).partition("\n")
    return before, after if mark else ""


def _head(
    text: str,
    line: int,
    find: Callable[[str], Field | None],
    now_utc: datetime,
    problems: list[Problem],
) -> tuple[Field | None, str, datetime]:
    """Field, letter and time of the first line."""
    match = _HEAD.fullmatch(text)
    told = letter(match["letter"]) if match and match["letter"] else ""
    time = (match["time"] or f"{now_utc:%H%M}") if match else "0000"
    if match is None or (match["letter"] and not told) or time[2:] > "59" or time[:2] > "23":
        expected = "a field, the letter if there is one, and hours and minutes UTC"
        problems.append(_problem(_Item(line, "place", text), expected))
        return None, "", now_utc
    field = find(match["place"].upper())
    if field is None:
        expected = "a field that this flight's places know"
        problems.append(_problem(_Item(line, "place", match["place"].upper()), expected))
    at_utc = now_utc.replace(hour=int(time[:2]), minute=int(time[2:]), second=0, microsecond=0)
    return field, told, at_utc - timedelta(days=1) if at_utc > now_utc + AHEAD else at_utc


def _groups(
    items: Sequence[_Item], field: Field | None, at_utc: datetime, problems: list[Problem]
) -> list[str]:
    """The coded groups of all items in the order of a report."""
    makers: dict[str, Callable[[str], str]] = {
        "wind": lambda said: wind_group(said, field, at_utc),
        "visibility": visibility_group,
        "weather": weather_group,
        "clouds": clouds_group,
        "temperature": degrees_group,
        "dew point": degrees_group,
        "altimeter": altimeter_group,
    }
    made: dict[str, list[str]] = {name: [] for name in makers}
    for item in items:
        if item.name not in makers:
            continue
        try:
            made[item.name].append(makers[item.name](item.said))
        except NotUnderstood as exc:
            problems.append(_problem(item, f"{exc}"))
    air, dew = ("".join(made.pop(name)) for name in ("temperature", "dew point"))
    pressure = made.pop("altimeter")
    both = [f"{air}/{dew}"] if air or dew else []
    return [group for groups in (*made.values(), both, pressure) for group in groups if group]


def _problem(item: _Item, expected: str) -> Problem:
    example = _EXAMPLES.get(item.name, "")
    found = item.said or "nothing"
    return Problem(line=item.line, key=item.name, found=found, expected=expected, example=example)


def _safe(remarks: Sequence[str]) -> list[str]:
    """Words that a report can carry without being taken for anything else."""
    words = re.sub(r"[^A-Z0-9/+.,:-]", " ", " ".join(remarks)).split()
    return [word for word in words if not _NO_REMARK.fullmatch(word)][:MOST_REMARKS]
