"""From the store to the course of a pilot's measures over many flights."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from lubberline.arrays import FloatArray
from lubberline.drift import (
    DriftVerdict,
    DriftWord,
    Measure,
    drift_finding,
    flights_to_show_count,
    judge,
)
from lubberline.errors import NoSolution, RangeError
from lubberline.line import finding_record

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

FOLLOWED: Final = "flown.cruise_height_rms"
STORE_NAME: Final = "lubberline.db"
MOST_ROWS: Final = 1_000  # own: what one chart can show
KEPT_ROWS: Final = 400  # own: more than are ever compared, also with three of a kind in a flight
WORST_FIRST: Final = (
    *(DriftWord.SLIPPING, DriftWord.IMPROVING),
    *(DriftWord.HOLDING, DriftWord.TOO_EARLY),
)


def store_path(home: Path) -> Path:
    """Where a pilot's folder keeps its flights."""
    return home / STORE_NAME


def no_flights(where: str) -> NoSolution:
    """That nothing was kept there, and what would change that."""
    return NoSolution(f"{where} has no flights yet; add one with: lubberline flown")


def store_file(directory: Path) -> Path:
    """The store of a folder, or the file itself that was named in its place."""
    return store_path(directory) if directory.is_dir() else directory


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Drifted:
    """One measure over the flights of a store, what it was flown in, and the word about it."""

    measure: Measure
    verdict: DriftVerdict
    conditions: Mapping[str, FloatArray] = field(default_factory=dict)

    def summary(self) -> dict[str, Any]:
        """The word and what it rests on as plain values, without the flights."""
        measure, verdict = self.measure, self.verdict
        return {
            "key": measure.key,
            "label": measure.label,
            "unit": measure.unit,
            "better": measure.better,
            "word": str(verdict.word),
            "flight_count": len(measure),
            "flights_needed_count": verdict.flights_needed_count,
            "flights_to_show_count": flights_to_show_count(verdict),
            "latest": asdict(verdict.latest) if verdict.latest is not None else None,
            "explained_fraction": verdict.explained_fraction,
            "effects": [asdict(one) for one in verdict.effects],
            "finding": finding_record(drift_finding(measure, verdict)),
        }

    def record(self) -> dict[str, Any]:
        """The measure, its values and the word about it as plain values."""
        measure = self.measure
        columns = (measure.titles, measure.values.tolist(), measure.sigmas.tolist())
        return {
            **self.summary(),
            "flights": [
                {"flown_utc": when.isoformat(), "title": title, "value": value, "sigma": sigma}
                for when, title, value, sigma in zip(measure.flown_utc, *columns, strict=True)
            ],
        }


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Courses:
    """Every measure of one pilot in a store, what slips first."""

    pilot: str
    drifted: tuple[Drifted, ...]

    @property
    def told(self) -> Drifted | None:
        """The one to look at first: the worst that anything can be said of, else the longest."""
        if not self.drifted or self.drifted[0].verdict.word is not DriftWord.TOO_EARLY:
            return self.drifted[0] if self.drifted else None
        return max(self.drifted, key=lambda one: (len(one.measure), one.measure.key == FOLLOWED))


def follow(directory: Path, key: str, *, pilot: str | None = None) -> Drifted:
    """The course of one finding over the latest flights of a folder's store.

    ``pilot`` is who flew the newest flight unless another is named. "together" is all errors
    at once.
    """
    from lubberline.loop.measures import TOGETHER

    if key == TOGETHER:
        courses = follow_all(directory, pilot=pilot)
        found = next((one for one in courses.drifted if one.measure.key == key), None)
        if found is None:
            raise NoSolution(
                "fewer than two measures have the 11 flights that are needed to take them together"
            )
        return found
    with reading_of(directory, pilot) as (session, who):
        drifted = drifted_of(session, key, who)
        if drifted is None:
            from lubberline.store import measure_keys

            shown = ", ".join(sorted(each.key for each in measure_keys(session))) or "none yet"
            raise RangeError(f"the measure is {key!r}; expected one of: {shown}")
    return drifted


def follow_all(directory: Path, *, pilot: str | None = None) -> Courses:
    """The course of every finding of a pilot, and of all errors together, what slips first."""
    from lubberline.loop.measures import columns_of, measure_of, together
    from lubberline.store import measure_keys
    from lubberline.store.courses import values_of

    with reading_of(directory, pilot) as (session, who):
        flown_in, same = _flown_in(session, who), _same(session, who)
        rows = [
            (each.key, values_of(session, each.key, row_limit=KEPT_ROWS, pilot=who))
            for each in measure_keys(session)
        ]
    measures = [measure_of(key, of_key, same) for key, of_key in rows if of_key]
    joined = together(measures)
    drifted = [
        _judged(measure, columns_of(ids, flown_in))
        for measure, ids in ([joined] if joined is not None else []) + measures
    ]
    return Courses(pilot=who, drifted=tuple(sorted(drifted, key=_rank)))


def _rank(one: Drifted) -> tuple[int, float, str]:
    """What slips first, and of it what slips the most."""
    latest = one.verdict.latest
    far = 0.0
    if latest is not None and latest.high > latest.usual:
        far = abs(latest.level - latest.usual) / (latest.high - latest.usual)
    return WORST_FIRST.index(one.verdict.word), -far, one.measure.key


def _judged(measure: Measure, conditions: Mapping[str, FloatArray]) -> Drifted:
    return Drifted(measure=measure, verdict=judge(measure, conditions), conditions=conditions)


def drifted_of(session: "Session", key: str, pilot: str) -> Drifted | None:
    """One measure of one pilot; None if no flight knows it."""
    from lubberline.loop.measures import columns_of, measure_of
    from lubberline.store.courses import values_of

    rows = values_of(session, key, row_limit=MOST_ROWS, pilot=pilot)
    if not rows:
        return None
    measure, ids = measure_of(key, rows, _same(session, pilot))
    return _judged(measure, columns_of(ids, _flown_in(session, pilot)))


def _flown_in(session: "Session", pilot: str) -> dict[int, dict[str, float]]:
    from lubberline.loop.measures import conditions_by_flight
    from lubberline.store import flights_with_conditions

    return conditions_by_flight(flights_with_conditions(session, pilot=pilot))


def _same(session: "Session", pilot: str) -> dict[int, int]:
    """Further recordings of one flight, each with the flight it holds."""
    from lubberline.loop.same_flight import recorded_before
    from lubberline.store.courses import spans_of

    spans = spans_of(session, pilot=pilot)
    return recorded_before(((first, last), number) for number, first, last in spans)


def _pilot(session: "Session", asked: str | None) -> str:
    from lubberline.store.courses import latest_pilot

    found = asked or latest_pilot(session)
    if found is None:
        raise no_flights("the store")
    return found


@contextmanager
def reading_of(directory: Path, pilot: str | None) -> "Iterator[tuple[Session, str]]":
    """A reading session of a folder's store (or a store file), and the pilot asked for."""
    from lubberline.store import open_store

    path = store_file(directory)
    if not path.exists() or not path.stat().st_size:  # an empty file of anybody's stays one
        raise no_flights(f"{path}")
    with open_store(path) as store, store.reading() as session:
        yield session, _pilot(session, pilot)
