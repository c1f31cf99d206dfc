"""A learner by task codes, one pilot over types, and several pilots: from what the store keeps.

Whoever is not the folder's own pilot is shown only if ``school.toml`` names them as having
agreed to it. What is left out for that reason is counted, never shown.
"""

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Annotated, Final

import numpy as np
from pydantic import Field

from lubberline.errors import NoSolution
from lubberline.flown import Standard
from lubberline.line import Finding, Verdict, worst_first
from lubberline.loop.course import no_flights, store_path
from lubberline.loop.practice_tasks import bounds_words, skill_of
from lubberline.pilot import read_pilot
from lubberline.store import StoredFlight, findings_of, flights_between, list_flights, open_store
from lubberline.tomlfile import Schema, read_toml

SCHOOL_FILE: Final = "school.toml"
CODE: Final = re.compile(r"\b[A-Z]{2}\.[IVX]+\.[A-Z](?:\.[A-Z]\d+[a-z]?)?\b")
MET_COUNT: Final = 3  # own: met on so many flights in a row is met
FEWEST_COUNT: Final = 3  # own: of fewer flights in a type nothing is said
SAME_RATIO: Final = 1.25  # own: up to a quarter worse at first, a skill carries over
ANEW_RATIO: Final = 1.6  # own: from here on it is learned anew
_ALL: Final = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """One finding of one flight that speaks of a task code."""

    flown_utc: datetime
    flight_id: int
    title: str
    aircraft: str
    type_name: str | None
    recording_sha256: str
    finding: Finding


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskRecord:
    """A task code with everything that the flights show of it, oldest first."""

    code: str
    label: str
    evidence: tuple[Evidence, ...]

    @property
    def met_count(self) -> int:
        """On how many of the latest flights in a row it was met."""
        met = 0
        for _, verdicts in self._by_flight()[::-1]:
            if Verdict.OUTSIDE in verdicts:
                break
            met += 1
        return met

    @property
    def flight_count(self) -> int:
        """How many flights show it."""
        return len(self._by_flight())

    @property
    def word(self) -> str:
        """Where the learner stands, in words."""
        if not self.evidence:
            return "not shown yet"
        if self.met_count >= MET_COUNT:
            return f"met, {self.met_count} flights in a row"
        if self.met_count:
            return f"met on the latest {self.met_count} of {self.flight_count}"
        return "outside on the latest flight"

    @property
    def telling(self) -> Evidence:
        """The worst piece of the latest flight: what its standing rests on."""
        latest = self.evidence[-1].flight_id
        there = [one for one in self.evidence if one.flight_id == latest]
        worst = worst_first(one.finding for one in there)[0]
        return next(one for one in there if one.finding is worst)

    def _by_flight(self) -> list[tuple[int, set[Verdict]]]:
        found: dict[int, set[Verdict]] = {}
        for one in self.evidence:
            found.setdefault(one.flight_id, set()).add(one.finding.verdict)
        return list(found.items())


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One measure in one type or of one pilot: its median size, of how many flights."""

    value: float
    flight_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Across:
    """One measure over types or pilots, in the order of ``columns``; None where never flown.

    ``words`` say, by type after the first, whether the skill carried over.
    """

    key: str
    label: str
    unit: str
    allowed: str
    cells: tuple[Cell | None, ...]
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AcrossTable:
    """Measures by rows, types or pilots by columns, and how many flights were left out."""

    columns: tuple[str, ...]
    rows: tuple[Across, ...]
    left_out_count: int = 0


class _SchoolFile(Schema):
    """The file format."""

    shared: Annotated[tuple[str, ...], Field(examples=["['B. Learner']"])] = ()


def shown_pilots(home: Path) -> tuple[str, ...]:
    """The folder's own pilot, and those who agreed to be shown."""
    path = home / SCHOOL_FILE
    shared = read_toml(path, _SchoolFile).shared if path.exists() else ()
    return tuple(dict.fromkeys((read_pilot(home / "pilot.toml").name, *shared)))


def learner_record(
    home: Path, learner: str, standard: Standard | None = None
) -> tuple[TaskRecord, ...]:
    """Every task code that flights show, with its evidence; codes of ``standard`` shown or not.

    Raises
    ------
    NoSolution
        If the learner has not agreed to be shown, or has no flights.
    """
    if learner not in shown_pilots(home):
        raise NoSolution(
            f"{learner} has not agreed to be shown here;"
            f' if so, write shared = ["{learner}"] into {home / SCHOOL_FILE}'
        )
    by_code: dict[str, list[Evidence]] = defaultdict(list)
    given = {} if standard is None else standard.tolerances
    labels = {one.code: one.label for one in given.values()}
    for flight, findings in _flown_by(home, learner):
        for finding in findings:
            code = code_of(finding)
            if code is not None and finding.value is not None:
                by_code[code].append(_evidence(flight, finding))
                labels.setdefault(code, finding.limit.label)
    if not by_code:
        raise NoSolution(f"no flight of {learner} shows any task of a standard yet")
    return tuple(
        TaskRecord(code=code, label=label, evidence=tuple(by_code.get(code, ())))
        for code, label in labels.items()
    )


def code_of(finding: Finding) -> str | None:
    """The task code that a published standard gives for a finding; None for any other limit."""
    if finding.limit.basis != "standard":
        return None
    found = CODE.search(finding.limit.source)
    return None if found is None else found[0]


def across_types(home: Path, pilot: str) -> AcrossTable:
    """A pilot's measures by type of airplane, in the order in which the types were first flown."""
    sizes: _Sizes = defaultdict(lambda: defaultdict(list))
    types: dict[str, None] = {}
    limits: dict[str, Finding] = {}
    for flight, findings in _flown_by(home, pilot):
        name = flight.type_name or "type not known"
        types.setdefault(name)
        for one in _measured(findings):
            sizes[one.limit.key][name].append(one.value or 0.0)
            limits[one.limit.key] = one
    rows = [
        _across(limits[key], [sizes[key].get(name, []) for name in types], transfer=True)
        for key in limits
    ]
    return AcrossTable(columns=tuple(types), rows=tuple(rows))


def across_pilots(home: Path) -> AcrossTable:
    """The measures of the own pilot and of those who agreed; flights of others are left out."""
    shown = shown_pilots(home)
    sizes: _Sizes = defaultdict(lambda: defaultdict(list))
    limits: dict[str, Finding] = {}
    for name in shown:
        for _, findings in _flown_by(home, name):
            for one in _measured(findings):
                sizes[one.limit.key][name].append(one.value or 0.0)
                limits[one.limit.key] = one
    with open_store(store_path(home)) as store, store.reading() as session:
        left_out = sum(one.pilot not in shown for one in list_flights(session, limit=_ALL))
    rows = [_across(limits[key], [sizes[key].get(name, []) for name in shown]) for key in limits]
    return AcrossTable(columns=shown, rows=tuple(rows), left_out_count=left_out)


def transfer_word(before_ratio: Sequence[float], after_ratio: Sequence[float]) -> str:
    """Whether a skill carried over from the flights before to the first in another type.

    Both are shares of the tolerance used up, in the order in which they were flown.
    """
    if min(len(before_ratio), len(after_ratio)) < FEWEST_COUNT:
        return "too early to say"
    old, new = (
        float(np.sqrt(np.mean(np.square(part)))) for part in (before_ratio[-5:], after_ratio[:3])
    )
    if new <= SAME_RATIO * old:
        return "carried over"
    return "learned anew" if new >= ANEW_RATIO * old else "carried over in part"


_Sizes = defaultdict[str, defaultdict[str, list[float]]]


def _across(latest: Finding, columns: list[list[float]], *, transfer: bool = False) -> Across:
    limit = latest.limit
    words = []
    if transfer:
        used = [[max(0.0, 1.0 - limit.steps(value)) for value in part] for part in columns]
        words = [transfer_word(used[0], part) for part in used[1:]]
    return Across(
        key=limit.key,
        label=limit.label,
        unit=limit.unit,
        allowed=bounds_words(limit),
        cells=tuple(
            Cell(value=float(np.median(np.abs(column))), flight_count=len(column))
            if column
            else None
            for column in columns
        ),
        words=tuple(words),
    )


def _measured(findings: Iterable[Finding]) -> Iterator[Finding]:
    """What of a flight is a skill, known and limited; one of each key, the worst."""
    worst: dict[str, Finding] = {}
    for one in worst_first(findings):
        if one.value is None or skill_of(one.limit.key) is None or one.margin is None:
            continue
        worst.setdefault(one.limit.key, one)
    yield from worst.values()


def _flown_by(home: Path, pilot: str) -> Iterator[tuple[StoredFlight, list[Finding]]]:
    """A pilot's flights, oldest first, with their findings."""
    path = store_path(home)
    if not path.exists():
        raise no_flights(f"{path}")
    ever = (datetime.fromisoformat(f"{year}-01-01T00:00:00+00:00") for year in (1900, 2200))
    with open_store(path) as store, store.reading() as session:
        for flight in flights_between(session, pilot, *ever):
            yield flight, findings_of(session, flight.flight_id)


def _evidence(flight: StoredFlight, finding: Finding) -> Evidence:
    return Evidence(
        flown_utc=flight.flown_utc,
        flight_id=flight.flight_id,
        title=flight.title,
        aircraft=flight.aircraft,
        type_name=flight.type_name,
        recording_sha256=flight.recording_sha256,
        finding=finding,
    )
