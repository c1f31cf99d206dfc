"""The latest flights against those before them, for several lengths of "latest" at once.

For each length the difference of the two means is held against Student's distribution. The bar is
lowest for twelve flights and higher for the others: a large slip shows in three flights, a small
one in twelve, a slow one in twenty-four, and together they cry wolf as seldom as is wanted. The
last axis is flights in order, oldest first; before it stand series, judged at once. Nothing here
checks its input; ``verdict`` does.
"""

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray, IntArray

BEFORE_MIN_COUNT: Final = 8  # own: fewer say too little about their scatter
BEFORE_MAX_COUNT: Final = 100  # own: two years at one a week; what is older is another pilot
# Own: how many standard deviations of a known difference are called a change. From simulation: five
# steady measures in a hundred are called slipping in 52 flights; of the bars that keep this, these
# find nearly the most slips by one scatter within twelve flights.
BARS_SIGMA: Final = {3: 3.95, 4: 3.8, 6: 3.55, 8: 3.4, 12: 3.0, 24: 3.3}
LATEST_COUNTS: Final = tuple(BARS_SIGMA)
KEPT_COUNT: Final = LATEST_COUNTS[-1] + BEFORE_MAX_COUNT
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


def settled_index(values: FloatArray) -> IntArray:
    """The first flight of the level that the earlier flights of each series have settled at.

    Who has learned is held against what was learned: flights before a clear step among those
    before the latest twelve no longer count, if enough are left.
    """
    before = values[..., : max(values.shape[-1] - 12, 0)]
    size = before.shape[-1]
    first = np.arange(3, size - BEFORE_MIN_COUNT + 1)
    if first.size == 0:
        return np.zeros(values.shape[:-1], dtype=np.int64)
    away = before - before.mean(axis=-1, keepdims=True)
    total = np.cumsum(away, axis=-1)[..., first - 1]
    gains = total**2 * size / (first * (size - first))
    gain = gains.max(axis=-1)
    seen = ((away**2).sum(axis=-1) - gain) / (size - 2)
    return np.where(gain > NEW_USUAL_SIGMA**2 * seen, first[gains.argmax(axis=-1)], 0)


def compare(
    values: FloatArray,
    sigmas: FloatArray,
    *,
    first_index: IntArray | int = 0,
    shifts: FloatArray | None = None,
    used_count: FloatArray | float = 0.0,
) -> Recent:
    """The latest against the earlier values, shape (..., n), n at least 11.

    Flights before ``first_index``, shape (...), do not count. ``shifts``, shape (..., n, k), are
    one-sigma columns that the values may be shifted by together: what was taken out for the
    conditions is itself in doubt. ``used_count`` degrees of freedom went into it. Values of great
    measurement doubt weigh less; doubt beyond the scatter seen widens the bar.
    """
    size = values.shape[-1]
    columns = np.zeros((0, *values.shape)) if shifts is None else np.moveaxis(shifts, -1, 0)
    rows = []
    for latest in (one for one in LATEST_COUNTS if size - one >= BEFORE_MIN_COUNT):
        first = np.maximum(first_index, size - latest - BEFORE_MAX_COUNT)
        weights = _weights(values, sigmas) * (np.arange(size) >= np.expand_dims(first, -1))
        freedom_count = np.maximum(size - first - 2.0 - used_count, 1.0)
        bar = _student_bar(BARS_SIGMA[latest], freedom_count)
        with np.errstate(divide="ignore", invalid="ignore"):  # too few before them: told below
            mean, usual = _two_means(values, weights, latest)
            moved, moved_usual = _two_means(columns, weights, latest)
            spread2 = _spread2(values, weights, sigmas, latest, freedom_count)
            reach = bar * np.sqrt(spread2 + ((moved - moved_usual) ** 2).sum(axis=0))
            beyond = np.where(reach > 0.0, (np.abs(mean - usual) / reach - 1.0) * bar, -bar)
        before_count = size - latest - first
        beyond = np.where(before_count >= BEFORE_MIN_COUNT, beyond, -np.inf)
        rows.append((latest, before_count, mean, usual, reach, beyond))
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
    values: FloatArray, weights: FloatArray, latest: int
) -> tuple[FloatArray, FloatArray]:
    """Mean of the latest and mean of the earlier."""
    weighted = weights * values
    late, early = np.s_[..., -latest:], np.s_[..., :-latest]
    return (
        weighted[late].sum(axis=-1) / weights[late].sum(axis=-1),
        weighted[early].sum(axis=-1) / weights[early].sum(axis=-1),
    )


def _spread2(
    values: FloatArray,
    weights: FloatArray,
    sigmas: FloatArray,
    latest: int,
    freedom_count: FloatArray,
) -> FloatArray:
    """Variance of the difference of the two means; doubt beyond the scatter seen widens it."""
    means = np.stack(_two_means(values, weights, latest)[::-1], axis=-1)
    left = values - np.repeat(means, (values.shape[-1] - latest, latest), axis=-1)
    one = (weights * left**2).sum(axis=-1) / freedom_count
    late, early = weights[..., -latest:], weights[..., :-latest]
    shares = 1.0 / late.sum(axis=-1) + 1.0 / early.sum(axis=-1)
    counted = weights > 0.0
    count = counted.sum(axis=-1)
    seen = one * count / weights.sum(axis=-1)
    claimed = (sigmas**2 * counted).sum(axis=-1) / count
    excess = np.maximum(claimed - seen, 0.0) * (1.0 / latest + 1.0 / (count - latest))
    return np.asarray(one * shares + excess)


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


def _student_bar(bar_sigma: float, freedom_count: FloatArray) -> FloatArray:
    """The same chance where the scatter is estimated [JCGM100]_ G.3.2."""
    from scipy.special import ndtr, stdtrit

    return np.asarray(-stdtrit(freedom_count, ndtr(-bar_sigma)))
