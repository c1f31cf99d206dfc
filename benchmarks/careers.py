"""Careers of known truth, judged flight by flight: how often the words are wrong, how soon right.

One flight a week. The first year is history; false words are counted over the second, a slip
comes at its start. Each flight has conditions that explain three tenths of its scatter, where
they are said to be known they are joined; sizes are distances from a mark, skewed. Run:

    make careers

``LUBBERLINE_CAREERS`` says how many of each kind (2,000); the table is that of
docs/science/drift.md.
"""

import os
from collections.abc import Mapping
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import repeat
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.drift import _recent as recently
from lubberline.drift.conditions import in_usual_conditions

YEAR_COUNT: Final = 52
WITHIN_COUNT: Final = 12
FLIGHTS_COUNT: Final = 2 * YEAR_COUNT
SEED: Final = 20_261_125
SHARE_FRACTION: Final = 0.3  # of the variance of a flight, from the conditions
NAMES: Final = ("wind", "crosswind", "gust", "weight", "runway", "night")


@dataclass(frozen=True, slots=True, kw_only=True)
class Career:
    """A kind of career: what changes, in scatters, and what the judge is told.

    ``slip_sigma`` comes at the start of the second year, ``decay_sigma`` is lost in a year from
    then on, ``learning_sigma`` is gained over the first year; ``windy`` is a windy month in the
    middle of the second. ``measure_count`` measures share the slip; their scatters correlate
    by three tenths and they are judged as their mean.
    """

    name: str
    slip_sigma: float = 0.0
    decay_sigma: float = 0.0
    learning_sigma: float = 0.0
    windy: bool = False
    known: bool = True
    conditions: bool = True
    history_count: int = YEAR_COUNT
    measure_count: int = 1
    doubt_sigma: float = 0.0
    sizes: bool = False

    @property
    def judged_count(self) -> int:
        """How many flights of the second year: after a slip, only those in which it counts."""
        return 2 * WITHIN_COUNT if self.slip_sigma else YEAR_COUNT


CAREERS: Final = (
    Career(name="steady"),
    Career(name="steady, conditions not known", known=False),
    Career(name="steady, no conditions", conditions=False),
    Career(name="steady, half of the scatter measurement", doubt_sigma=0.7),
    Career(name="steady, sizes", conditions=False, sizes=True),
    Career(name="windy month", windy=True),
    Career(name="windy month, wind not known", windy=True, known=False),
    Career(name="learning in the first year", learning_sigma=2.0),
    Career(name="slow decay, one scatter a year", decay_sigma=1.0),
    Career(name="slip of one scatter", slip_sigma=1.0),
    Career(name="slip of one scatter, conditions not known", slip_sigma=1.0, known=False),
    Career(name="slip of one scatter, no conditions", slip_sigma=1.0, conditions=False),
    Career(name="slip of one scatter, two years of history", slip_sigma=1.0, history_count=104),
    Career(name="slip of one scatter, after 24 flights", slip_sigma=1.0, history_count=24),
    Career(name="slip of one scatter in three measures", slip_sigma=1.0, measure_count=3),
    Career(name="slip of one scatter after learning", slip_sigma=1.0, learning_sigma=2.0),
    Career(name="slip of two scatters", slip_sigma=2.0),
)


def drawn(
    career: Career, rng: np.random.Generator, history_count: int
) -> tuple[FloatArray, dict[str, FloatArray]]:
    """Values of one career, worse upward, in scatters, and its conditions."""
    count = history_count + YEAR_COUNT
    flights = np.arange(count)
    since = flights - history_count
    columns = rng.standard_normal((len(NAMES), count))
    columns[1] = 0.6 * columns[0] + 0.8 * columns[1]  # crosswind goes with wind
    columns[5] = columns[5] > 1.0  # one flight in six at night
    if career.windy:
        columns[:3, (since >= 20) & (since < 25)] += 1.5
    usual = rng.standard_normal(6) * np.array([1.0, 0.5, 0.5, 0.3, 0.3, 1.0])
    weather = usual @ (columns - np.array([0.0] * 5 + [0.16])[:, None])
    weather *= np.sqrt(SHARE_FRACTION) / np.sqrt(usual @ _SPREAD @ usual)
    skill = career.slip_sigma * (since >= 0) + career.decay_sigma * np.maximum(since, 0) / 52.0
    skill = skill + career.learning_sigma * np.exp(-flights / 16.0)
    own = _scatter(career, rng, count)
    if career.conditions:
        own = weather + np.sqrt(1.0 - SHARE_FRACTION) * own
    return own + skill, dict(zip(NAMES, columns, strict=True)) if career.known else {}


_SPREAD: Final = np.array(
    [[1, 0.6, 0, 0, 0, 0], [0.6, 1, 0, 0, 0, 0], *np.eye(6)[2:5], [0, 0, 0, 0, 0, 0.134]]
)


def _scatter(career: Career, rng: np.random.Generator, count: int) -> FloatArray:
    """What is left to chance, of mean 0 and variance 1 (less where measures are averaged)."""
    if career.sizes:
        skewed = rng.rayleigh(1.0, count) - np.sqrt(np.pi / 2.0)
        return np.asarray(skewed / np.sqrt(2.0 - np.pi / 2.0))
    if career.measure_count == 1:
        return rng.standard_normal(count)
    shared, each = rng.standard_normal(count), rng.standard_normal((career.measure_count, count))
    return np.asarray(np.sqrt(0.3) * shared + np.sqrt(0.7) * each.mean(axis=0))


def words(
    values: FloatArray, conditions: Mapping[str, FloatArray], career: Career, history_count: int
) -> IntArray:
    """1 slipping, -1 improving, 0 neither, after each flight in question."""
    said = np.zeros(career.judged_count, dtype=np.int64)
    sigmas = np.full(values.size, career.doubt_sigma)
    for at in range(career.judged_count):
        kept = slice(max(0, history_count + at + 1 - recently.KEPT_COUNT), history_count + at + 1)
        adjusted = in_usual_conditions(
            values[kept],
            {name: column[kept] for name, column in conditions.items()},
            course=recently.latest_column(values[kept].size),
        )
        tamed = recently.tame(adjusted.values)
        first = recently.settled_index(tamed)
        found = recently.compare(
            tamed[first:],
            sigmas[kept][first:],
            shifts=adjusted.shifts[first:],
            used_count=adjusted.used_count,
        )
        said[at] = np.sign(found.latest - found.usual) * (found.beyond_sigma > 0.0)
    return said


def run(career: Career, count: int) -> IntArray:
    """The words of so many careers of a kind, shape (count, 52), or 24 after a slip."""
    rng = np.random.default_rng([SEED, CAREERS.index(career)])
    said = []
    for _ in range(count):
        values, conditions = drawn(career, rng, career.history_count)
        if career.sizes:  # as roots, from well above nothing, as the judge does
            values = np.sqrt(np.maximum(values + np.sqrt(np.pi / 2.0) / 0.655, 0.0))
        said.append(words(values, conditions, career, career.history_count))
    return np.array(said)


def shares(said: IntArray) -> tuple[float, float, float, float]:
    """Percent called slipping in 12 flights, in 24, in the year; called improving in the year."""
    slipping: BoolArray = said > 0
    return (
        100.0 * float(slipping[:, :WITHIN_COUNT].any(axis=1).mean()),
        100.0 * float(slipping[:, : 2 * WITHIN_COUNT].any(axis=1).mean()),
        100.0 * float(slipping.any(axis=1).mean()),
        100.0 * float((said < 0).any(axis=1).mean()),
    )


def main() -> None:
    """Print the table of docs/science/drift.md."""
    count = int(os.environ.get("LUBBERLINE_CAREERS", "2000"))
    print(f"| {count} careers of each kind | 12 flights | 24 flights | year | improving |")
    print("|---|---|---|---|---|")
    with ProcessPoolExecutor(max_workers=int(os.environ.get("LUBBERLINE_WORKERS", "2"))) as workers:
        for career, said in zip(CAREERS, workers.map(run, CAREERS, repeat(count)), strict=True):
            cells = [f"{share:.1f}" for share in shares(said)]
            if career.slip_sigma:
                cells[2] = "-"  # judged for 24 flights only
            print(f"| {career.name} | {' | '.join(cells)} |", flush=True)


if __name__ == "__main__":
    main()
