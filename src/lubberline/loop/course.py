"""From the store to the course of one measure over many flights."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import numpy as np

from lubberline.drift import DriftVerdict, Measure, drift_finding, judge
from lubberline.errors import NoSolution, RangeError
from lubberline.line import finding_record

STORE_NAME: Final = "lubberline.db"
MOST_FLIGHTS: Final = 1_000  # own: what one chart can show


def store_path(home: Path) -> Path:
    """Where a pilot's folder keeps its flights."""
    return home / STORE_NAME


@dataclass(frozen=True, slots=True, kw_only=True)
class Drifted:
    """One measure over the flights of a store, and the word about it."""

    measure: Measure
    verdict: DriftVerdict

    def record(self) -> dict[str, Any]:
        """The measure, its values and the word about it as plain values."""
        measure = self.measure
        return {
            "key": measure.key,
            "label": measure.label,
            "unit": measure.unit,
            "word": str(self.verdict.word),
            "flights_needed_count": self.verdict.flights_needed_count,
            "flights": [
                {"flown_utc": when.isoformat(), "title": title, "value": value, "sigma": sigma}
                for when, title, value, sigma in zip(
                    measure.flown_utc,
                    measure.titles,
                    measure.values.tolist(),
                    measure.sigmas.tolist(),
                    strict=True,
                )
            ],
            "finding": finding_record(drift_finding(measure, self.verdict)),
        }


def is_known(home: Path, key: str) -> bool:
    """Whether any flight in a pilot's folder has a known value of a finding."""
    from lubberline.store import measure_keys, open_store

    if not store_path(home).exists():
        return False
    with open_store(store_path(home)) as store, store.reading() as session:
        return any(each.key == key for each in measure_keys(session))


def follow(directory: Path, key: str) -> Drifted:
    """The course of one finding over the latest flights of a folder's store."""
    from lubberline.store import measure_keys, measures, open_store

    path = store_path(directory) if directory.is_dir() else directory
    if not path.exists():
        raise NoSolution(f"{path} has no flights yet; add one with: lubberline flown")
    with open_store(path) as store, store.reading() as session:
        flights = measures(session, key, limit=MOST_FLIGHTS)
        known = {each.key: each for each in measure_keys(session)}
    if key not in known:
        shown = ", ".join(sorted(known)) or "none yet"
        raise RangeError(f"--measure is {key!r}; expected one of: {shown}")
    measure = Measure(
        key=key,
        label=known[key].label,
        unit=known[key].unit,
        better="smaller",
        flown_utc=tuple(flight.flown_utc for flight in flights),
        values=np.abs([flight.value for flight in flights]),
        sigmas=np.array([flight.sigma for flight in flights]),
        titles=tuple(flight.title for flight in flights),
    )
    return Drifted(measure=measure, verdict=judge(measure))
