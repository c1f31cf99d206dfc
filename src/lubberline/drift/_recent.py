"""The latest flights against those before them, for several lengths of "latest" at once.

For each length the difference of the two means is held against Student's distribution, with a
bar that is higher for short lengths: a large slip shows in three flights, a small one in
twelve, a slow one in twenty-four, and together they cry wolf as seldom as is wanted. The last
axis is flights in order, oldest first. Nothing here checks its input; ``verdict`` does.
"""

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray, IntArray

LATEST_COUNTS: Final = (3, 4, 5, 6, 8, 10, 12, 16, 24)  # own
BEFORE_MIN_COUNT: Final = 8  # own: fewer say too little about their scatter
BEFORE_MAX_COUNT: Final = 100  # own: two years at one a week; what is older is another pilot
KEPT_COUNT: Final = LATEST_COUNTS[-1] + BEFORE_MAX_COUNT
# Own, from simulation: five steady measures in a hundred are called slipping in 52 flights.
BAR_SIGMA: Final = 2.75
SHORT_BAR_SIGMA: Final = 4.0  # own: over the number of flights, a higher bar where they are few
LONG_BAR_SIGMA: Final = 0.4
NEW_USUAL_SIGMA: Final = 4.0  # own: so clear a step among the earlier flights makes a new usual
WILD_SIGMA: Final = 3.0  # own: what lies farther from the median counts as if it lay there


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Recent:
    """The most telling length of each series, shape (...): its mean, the usual, and the bar.

    ``beyond_sigma`` is how far the difference is beyond its bar, negative where it is not;
    ``reach`` the difference that lies on the bar, ``twelve_reach`` that of twelve flights.
    """

    latest_count: IntArray
    before_count: IntArray
    latest: FloatArray
    usual: FloatArray
    reach: FloatArray
    twelve_reach: FloatArray
    beyond_sigma: FloatArray


def bar_sigma(latest_count: int) -> float:
    """How many standard deviations of a known difference are called a change."""
    return BAR_SIGMA + max(SHORT_BAR_SIGMA / latest_count, LONG_BAR_SIGMA)


def tame(values: FloatArray) -> FloatArray:
    """Values with the wild ones brought in: one wild flight is not a change."""
    middle = np.median(values, axis=-1, keepdims=True)
    away = np.median(np.abs(values - middle), axis=-1, keepdims=True) / 0.67449  # normal quartile
    reach = np.where(away > 0.0, WILD_SIGMA * away, np.inf)
    return np.clip(values, middle - reach, middle + reach)


def latest_column(count: int) -> FloatArray:
    """1 for the latest twelve flights (fewer of few) and 0 for the others, shape (count,).

    Fitted beside the conditions, it keeps them from explaining away what changed of late.
    """
    latest = max(LATEST_COUNTS[0], min(12, count - BEFORE_MIN_COUNT))
    return np.asarray(np.arange(count) >= count - latest, dtype=float)


def settled_index(values: FloatArray) -> int:
    """The first flight of the level that the earlier flights, shape (n,), have settled at.

    Who has learned is held against what was learned: flights before a clear step among those
    before the latest twelve no longer count, if enough are left.
    """
    before = values[: max(values.size - 12, 0)]
    first = np.arange(3, before.size - BEFORE_MIN_COUNT + 1)
    if first.size == 0:
        return 0
    total = np.cumsum(before - before.mean())[first - 1]
    gain = total**2 * before.size / (first * (before.size - first))
    best = int(gain.argmax())
    index = int(first[best])
    parts = (before[:index], before[index:])
    seen = sum(float(((part - part.mean()) ** 2).sum()) for part in parts) / (before.size - 2)
    return index if gain[best] > NEW_USUAL_SIGMA**2 * seen else 0


def compare(
    values: FloatArray,
    sigmas: FloatArray,
    *,
    shifts: FloatArray | None = None,
    used_count: float = 0.0,
) -> Recent:
    """The latest against the earlier values, shape (..., n), n at least 11.

    ``shifts``, shape (n, k), are one-sigma columns that the values may be shifted by together:
    what was taken out for the conditions is itself in doubt. ``used_count`` degrees of freedom
    went into it. Values of great measurement doubt weigh less; doubt beyond the scatter seen
    widens the bar.
    """
    size = values.shape[-1]
    weights = _weights(values, sigmas)
    claimed = (sigmas**2).mean(axis=-1)
    rows = []
    for latest in (one for one in LATEST_COUNTS if size - one >= BEFORE_MIN_COUNT):
        first = max(0, size - latest - BEFORE_MAX_COUNT)
        before, last = slice(first, size - latest), slice(size - latest, size)
        count = size - first
        freedom_count = max(count - 2.0 - used_count, 1.0)
        mean, usual, spread2, seen = _two_means(values, weights, (before, last), freedom_count)
        spread2 += np.maximum(claimed - seen, 0.0) * (1.0 / latest + 1.0 / (count - latest))
        if shifts is not None:
            apart = shifts[last].mean(axis=0) - shifts[before].mean(axis=0)
            spread2 = spread2 + float(apart @ apart)
        bar = _student_bar(bar_sigma(latest), freedom_count)
        reach = bar * np.sqrt(spread2)
        with np.errstate(divide="ignore", invalid="ignore"):
            beyond = np.where(reach > 0.0, (np.abs(mean - usual) / reach - 1.0) * bar, -bar)
        rows.append((latest, count - latest, mean, usual, reach, beyond))
    return _most_telling(rows, values.shape[:-1])


def _most_telling(rows: list[tuple[Any, ...]], shape: tuple[int, ...]) -> Recent:
    columns = [np.stack([np.broadcast_to(row[at], shape) for row in rows]) for at in range(6)]
    best = columns[5].argmax(axis=0)[None]
    latest, before, mean, usual, reach, beyond = (
        np.take_along_axis(column, best, axis=0)[0] for column in columns
    )
    twelve = max((at for at, row in enumerate(rows) if row[0] <= 12), default=0)
    return Recent(
        latest_count=latest,
        before_count=before,
        latest=mean,
        usual=usual,
        reach=reach,
        twelve_reach=columns[4][twelve],
        beyond_sigma=beyond,
    )


def _two_means(
    values: FloatArray, weights: FloatArray, parts: tuple[slice, slice], freedom_count: float
) -> tuple[FloatArray, ...]:
    """Means of the latest and of the earlier, variance of their difference, and of one value."""
    means, squares, shares = [], 0.0, 0.0
    for part in parts:
        x, w = values[..., part], weights[..., part]
        total = w.sum(axis=-1)
        mean = (w * x).sum(axis=-1) / total
        squares = squares + (w * (x - mean[..., None]) ** 2).sum(axis=-1)
        shares = shares + 1.0 / total
        means.append(mean)
    one = np.asarray(squares / freedom_count)
    return means[1], means[0], one * shares, one / weights.mean(axis=-1)


def _weights(values: FloatArray, sigmas: FloatArray) -> FloatArray:
    """Weight of each value: the less its measurement is in doubt, the more.

    The scatter comes from neighbors [NIST-EHB]_ 6.3.2.2, so a change does not inflate it; what
    the doubts do not explain of it is the flying, at least a tenth.
    """
    seen = (np.diff(values, axis=-1) ** 2).mean(axis=-1, keepdims=True) / 2.0
    claimed = (sigmas**2).mean(axis=-1, keepdims=True)
    flying = np.maximum(seen - claimed, 0.1 * seen)
    variance = np.where(flying + sigmas**2 > 0.0, flying + sigmas**2, 1.0)
    return np.asarray(1.0 / variance)


def _student_bar(bar_sigma: float, freedom_count: float) -> float:
    """The same chance where the scatter is estimated [JCGM100]_ G.3.2."""
    from scipy.special import ndtr, stdtrit

    return -float(stdtrit(freedom_count, ndtr(-bar_sigma)))
