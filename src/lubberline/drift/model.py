"""One measure over many flights, and what may be said about its course."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Literal

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.drift.chart import Chart
from lubberline.drift.conditions import Effect
from lubberline.errors import RangeError, ShapeError

Better = Literal["smaller", "larger"]


class DriftWord(StrEnum):
    """What the course of a measure comes to, in the words shown to the pilot."""

    IMPROVING = "improving"
    HOLDING = "holding"
    SLIPPING = "slipping"
    TOO_EARLY = "too early to say"


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Measure:
    """One number per flight, oldest first; every column has one entry for each of n flights.

    ``values`` are in ``unit`` and all known: a flight whose value is not known is left out.
    ``sigmas`` are the standard uncertainties of the measurement. ``better`` says which way the
    flying improves: a height error is better smaller, a margin is better larger. A signed error
    has no better side; give its size.
    """

    key: str
    label: str
    unit: str
    better: Better
    flown_utc: tuple[datetime, ...]
    values: FloatArray
    sigmas: FloatArray
    titles: tuple[str, ...]

    def __post_init__(self) -> None:
        """Copy and lock the columns, then hold them to their promises."""
        object.__setattr__(self, "flown_utc", tuple(self.flown_utc))
        object.__setattr__(self, "titles", tuple(self.titles))
        for name in ("values", "sigmas"):
            column = np.array(getattr(self, name), dtype=float)
            column.flags.writeable = False
            object.__setattr__(self, name, column)
        count = len(self.flown_utc)
        if {self.values.shape, self.sigmas.shape, (len(self.titles),)} != {(count,)}:
            raise ShapeError(
                f"{self.key}: {count} times, values {self.values.shape},"
                f" sigmas {self.sigmas.shape}, {len(self.titles)} titles; expected one of each"
                " per flight"
            )
        self._check_values()
        self._check_times()

    def __len__(self) -> int:
        """Number of flights."""
        return len(self.flown_utc)

    def _check_values(self) -> None:
        if not np.isfinite(self.values).all():
            first = int(np.flatnonzero(~np.isfinite(self.values))[0])
            raise RangeError(
                f"{self.key}: values[{first}] is {self.values[first]};"
                " leave out the flights whose value is not known"
            )
        bad = ~(np.isfinite(self.sigmas) & (self.sigmas >= 0.0))
        if bad.any():
            first = int(np.flatnonzero(bad)[0])
            raise RangeError(
                f"{self.key}: sigmas[{first}] is {self.sigmas[first]:g} {self.unit};"
                " expected 0 or more"
            )

    def _check_times(self) -> None:
        for title, when in zip(self.titles, self.flown_utc, strict=True):
            if when.tzinfo is None:
                raise RangeError(f"{self.key}: flown_utc of {title!r} has no time zone; give UTC")
        for index in range(1, len(self)):
            if self.flown_utc[index] < self.flown_utc[index - 1]:
                raise ShapeError(
                    f"{self.key}: {self.titles[index]!r} was flown before"
                    f" {self.titles[index - 1]!r}; order the flights oldest first"
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class Latest:
    """The latest flights against those before them, in the measure's unit.

    ``level`` is their mean and ``usual`` that of the flights before, both in usual conditions
    (of sizes, the square of the mean root); beyond ``low`` or ``high`` it is called a change.
    ``sigma`` is the measurement doubt of the level. ``smallest_change`` for the worse is named
    half the time once it has lasted for twelve flights.
    """

    flight_count: int
    before_count: int
    level: float
    usual: float
    low: float
    high: float
    sigma: float
    smallest_change: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """How often the word is wrong and right in simulated careers with so many flights before.

    ``false_percent`` of steady ones are called slipping within a year of one flight a week,
    ``found_percent`` of lasting slips by one usual scatter within twelve flights.
    """

    flight_count: int
    false_percent: float
    found_percent: float


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class DriftVerdict:
    """A word about the course of a measure, with what it rests on.

    ``flights_needed_count`` is how many more flights must be flown before anything can be said;
    0 once it was said. ``latest`` is what the word was said of, None while it is too early.
    ``chart`` is the moving average of the flights after the baseline against its limits, to
    look at; ``sigma`` the measurement doubt of its last point. ``effects`` are what was taken
    out for the conditions, on the scale worked on; ``explained_fraction`` their share of the
    scatter.
    """

    word: DriftWord
    flights_needed_count: int
    baseline_count: int
    chart: Chart | None = None
    sigma: float = 0.0
    note: str = ""
    latest: Latest | None = None
    effects: tuple[Effect, ...] = ()
    explained_fraction: float = 0.0
