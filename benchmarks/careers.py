"""Careers of known truth, judged flight by flight: how often the words are wrong, how soon right.

One flight a week. The first year is history; false words are counted over the second, a slip
comes at its start. Each flight has conditions that explain three tenths of its scatter, where
they are said to be known they are joined; sizes are distances from a mark, skewed. Run:

    make careers

``LUBBERLINE_CAREERS`` says how many of each kind (2,000); the table is that of
docs/science/drift.md. All careers of a kind are judged at once.
"""

import os
from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.drift import _recent as recently
from lubberline.drift._shrunk import taken_out

YEAR_COUNT: Final = 52
WITHIN_COUNT: Final = 12
FLIGHTS_COUNT: Final = 2 * YEAR_COUNT
BATCH_COUNT: Final = 500  # judged at once
SEED: Final = 20_261_125
SHARE_FRACTION: Final = 0.3  # of the variance of a flight, from the conditions
GAP_FRACTION: Final = 0.1  # of the flights, after a pause
GAP_SIGMA: Final = 0.3  # lost for one flight by every doubling of the days beyond a week
NAMES: Final = ("wind", "crosswind", "gust", "weight", "runway", "night")


@dataclass(frozen=True, slots=True, kw_only=True)
class Career:
    """A kind of career: what changes, in scatters, and what the judge is told.

    ``slip_sigma`` comes at the start of the second year, ``decay_sigma`` is lost in a year from
    then on, ``learning_sigma`` is gained over the first year; ``windy`` is a windy month in the
    middle of the second. ``measure_count`` measures share the slip; their scatters correlate
    by three tenths and they are judged as their mean. With ``gaps`` one flight in ten comes after
    4 to 16 weeks, which costs that flight something by every doubling of the days; the days
    are told.
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
    gaps: bool = False

    @property
    def judged_count(self) -> int:
        """How many flights of the second year: after a slip, only those in which it counts."""
        return 2 * WITHIN_COUNT if self.slip_sigma else YEAR_COUNT


_HISTORIES: Final = (12, 24, 52, 104)
_SLIP: Final = "slip of one scatter"
CAREERS: Final = (
    *(Career(name=f"steady, {n} flights before", history_count=n) for n in _HISTORIES),
    *(
        Career(name=f"steady, {n} before, no conditions", conditions=False, history_count=n)
        for n in _HISTORIES
    ),
    Career(name="steady, conditions not known", known=False),
    Career(name="steady, half of the scatter measurement", doubt_sigma=0.7),
    Career(name="steady, sizes", conditions=False, sizes=True),
    Career(name="windy month", windy=True),
    Career(name="windy month, wind not known", windy=True, known=False),
    Career(name="gaps of one to four months", gaps=True),
    Career(name="learning in the first year", learning_sigma=2.0),
    Career(name="slow decay, one scatter a year", decay_sigma=1.0),
    *(
        Career(name=f"{_SLIP}, {n} flights before", slip_sigma=1.0, history_count=n)
        for n in _HISTORIES
    ),
    *(
        Career(
            name=f"{_SLIP}, {n} before, no conditions",
            slip_sigma=1.0,
            conditions=False,
            history_count=n,
        )
        for n in _HISTORIES
    ),
    Career(name=f"{_SLIP}, conditions not known", slip_sigma=1.0, known=False),
    Career(name=f"{_SLIP} with gaps", slip_sigma=1.0, gaps=True, history_count=104),
    Career(name=f"{_SLIP} in three measures", slip_sigma=1.0, measure_count=3),
    Career(name=f"{_SLIP} after learning", slip_sigma=1.0, learning_sigma=2.0),
    Career(name="slip of two scatters", slip_sigma=2.0),
)


def drawn(career: Career, rng: np.random.Generator, runs: int) -> tuple[FloatArray, FloatArray]:
    """Values of careers, worse upward, in scatters, (runs, n), and conditions, (runs, n, k)."""
    count = career.history_count + career.judged_count
    since = np.arange(count) - career.history_count
    columns = rng.standard_normal((runs, count, len(NAMES)))
    columns[..., 1] = 0.6 * columns[..., 0] + 0.8 * columns[..., 1]  # crosswind goes with wind
    columns[..., 5] = columns[..., 5] > 1.0  # one flight in six at night
    if career.windy:
        columns[:, (since >= 20) & (since < 25), :3] += 1.5
    usual = rng.standard_normal((runs, 6, 1)) * np.array([1.0, 0.5, 0.5, 0.3, 0.3, 1.0])[:, None]
    weather = ((columns - np.array([0.0] * 5 + [0.16])) @ usual)[..., 0]
    spread2 = (np.swapaxes(usual, 1, 2) @ _SPREAD @ usual)[..., 0]
    weather *= np.sqrt(SHARE_FRACTION / spread2)
    values = _scatter(career, rng, (runs, count))
    if career.conditions:
        values = weather + np.sqrt(1.0 - SHARE_FRACTION) * values
    values += career.slip_sigma * (since >= 0) + career.decay_sigma * np.maximum(since, 0) / 52.0
    values += career.learning_sigma * np.exp(-np.arange(count) / 16.0)
    if career.gaps:
        weeks = np.where(
            rng.random((runs, count)) < GAP_FRACTION, rng.uniform(4, 16, (runs, count)), 1
        )
        doublings = np.log2(1.0 + 7.0 * weeks)
        values += GAP_SIGMA * (doublings - 3.0)
        columns = np.concatenate([columns, doublings[..., None]], axis=-1)
    if career.sizes:  # as roots, from well above nothing, as the judge does
        values = np.sqrt(np.maximum(values + np.sqrt(np.pi / 2.0) / 0.655, 0.0))
    return values, columns if career.known else columns[..., :0]


_SPREAD: Final = np.array(
    [[1, 0.6, 0, 0, 0, 0], [0.6, 1, 0, 0, 0, 0], *np.eye(6)[2:5], [0, 0, 0, 0, 0, 0.134]]
)


def _scatter(career: Career, rng: np.random.Generator, shape: tuple[int, int]) -> FloatArray:
    """What is left to chance, of mean 0 and variance 1 (less where measures are averaged)."""
    if career.sizes:
        skewed = rng.rayleigh(1.0, shape) - np.sqrt(np.pi / 2.0)
        return np.asarray(skewed / np.sqrt(2.0 - np.pi / 2.0))
    if career.measure_count == 1:
        return rng.standard_normal(shape)
    shared, each = rng.standard_normal(shape), rng.standard_normal((career.measure_count, *shape))
    return np.asarray(np.sqrt(0.3) * shared + np.sqrt(0.7) * each.mean(axis=0))


def words(values: FloatArray, columns: FloatArray, career: Career) -> IntArray:
    """1 slipping, -1 improving, 0 neither, after each flight in question, (runs, judged)."""
    said = []
    for end in range(career.history_count + 1, values.shape[1] + 1):
        kept = np.s_[:, max(0, end - recently.KEPT_COUNT) : end]
        seen = values[kept]
        taken = taken_out(seen, columns[kept], recently.latest_column(seen.shape[1]))
        tamed = recently.tame(taken.values)
        found = recently.compare(
            tamed,
            np.full_like(seen, career.doubt_sigma),
            first_index=recently.settled_index(tamed),
            shifts=taken.shifts,
            used_count=taken.used_count,
        )
        said.append(np.sign(found.latest - found.usual) * (found.beyond_sigma > 0.0))
    return np.array(said, dtype=np.int64).T


def run(career: Career, runs: int) -> IntArray:
    """The words of so many careers of a kind."""
    rng = np.random.default_rng([SEED, CAREERS.index(career)])
    parts = [min(BATCH_COUNT, runs - at) for at in range(0, runs, BATCH_COUNT)]
    return np.concatenate([words(*drawn(career, rng, part), career) for part in parts])


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
    for career in CAREERS:
        cells = [f"{share:.1f}" for share in shares(run(career, count))]
        if career.slip_sigma:
            cells[2] = "-"  # judged for 24 flights only
        print(f"| {career.name} | {' | '.join(cells)} |", flush=True)


if __name__ == "__main__":
    main()
