"""When did the level of a measure change? One step, with the flights it may have come at.

Every division of the flights into a first and a second level is weighed by how well it fits.
Whether there is a step at all is decided by shuffling: where nothing changed, every order of
the flights is as good as the one that was flown.
"""

from dataclasses import dataclass, replace
from math import log, sqrt
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray
from lubberline.errors import RangeError

FEWEST_ON_A_SIDE_COUNT: Final = 3  # own: two flights say nothing about their scatter
_SHUFFLE_COUNT: Final = 1_999  # own: a chance of 5 % is met to half a percent
_SEED: Final = 20_261_125


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """The likeliest step: ``index`` is the first flight after it, between two bounds.

    The bounds hold the true place in at least 95 % of cases. ``p_ratio`` is the chance of as
    clear a step where nothing changed.
    """

    index: int
    earliest_index: int
    latest_index: int
    before: float
    after: float
    p_ratio: float


def step(values: ArrayLike) -> Step:
    """The likeliest step of a series, shape (n,), n at least 6, oldest first, all known.

    Raises
    ------
    RangeError
        If there are fewer, or any is not known.

    References
    ----------
    Least squares over all divisions; chance by shuffling, [FISHER1935]_ 21. Bounds: the
    likelihood ratio of a place has the distribution (1 - exp(-x/2))^2 [HANSEN2000]_; a chi-square
    would be too narrow, as a simulation shows.
    """
    values = np.asarray(values, dtype=float)
    if values.ndim != 1 or values.size < 2 * FEWEST_ON_A_SIDE_COUNT:
        raise RangeError(
            f"{values.size} values; a step needs at least {FEWEST_ON_A_SIDE_COUNT} on either side"
        )
    if not np.isfinite(values).all():
        raise RangeError("leave out the flights whose value is not known")
    gain = _gain(values)
    best = int(gain.argmax())
    index = best + FEWEST_ON_A_SIDE_COUNT
    near = np.flatnonzero(_log_likelihood(values, gain) > _within(values, gain, best))
    shuffled = _gain(np.random.default_rng(_SEED).permuted(
        np.tile(values, (_SHUFFLE_COUNT, 1)), axis=1
    )).max(axis=1)  # fmt: skip
    as_clear_count = int((shuffled >= gain[best] * (1.0 - 1e-12)).sum())
    return Step(
        index=index,
        earliest_index=int(near[0]) + FEWEST_ON_A_SIDE_COUNT,
        latest_index=int(near[-1]) + FEWEST_ON_A_SIDE_COUNT,
        before=float(values[:index].mean()),
        after=float(values[index:].mean()),
        p_ratio=(1 + as_clear_count) / (1 + _SHUFFLE_COUNT),
    )


def steps(values: ArrayLike, *, chance_ratio: float = 0.01) -> tuple[Step, ...]:
    """Every step that is clearer than chance, oldest first; none where there are too few flights.

    The likeliest step divides the flights, then each part is asked again. ``chance_ratio`` is
    how often one is found where nothing changed, for each part asked.

    References
    ----------
    Division by halves [VOSTRIKOVA1981]_ of ``step``.
    """
    values = np.asarray(values, dtype=float)
    if values.size < 2 * FEWEST_ON_A_SIDE_COUNT:
        return ()
    found = step(values)
    if found.p_ratio > chance_ratio:
        return ()
    before = steps(values[: found.index], chance_ratio=chance_ratio)
    after = (
        replace(
            one,
            index=one.index + found.index,
            earliest_index=one.earliest_index + found.index,
            latest_index=one.latest_index + found.index,
        )
        for one in steps(values[found.index :], chance_ratio=chance_ratio)
    )
    return (*before, found, *after)


def _gain(values: FloatArray) -> FloatArray:
    """How much less the squares add up to with a step at each place, shape (..., places)."""
    count = values.shape[-1]
    first = np.arange(FEWEST_ON_A_SIDE_COUNT, count - FEWEST_ON_A_SIDE_COUNT + 1)
    away = values - values.mean(axis=-1, keepdims=True)
    total = np.cumsum(away, axis=-1)[..., first - 1]
    return np.asarray(total**2 * count / (first * (count - first)))


def _log_likelihood(values: FloatArray, gain: FloatArray) -> FloatArray:
    """Up to a constant, with the scatter at its best for each place."""
    whole = float(((values - values.mean()) ** 2).sum())
    left = np.maximum(whole - gain, 1e-12 * max(whole, 1e-300))
    return np.asarray(-0.5 * values.size * np.log(left))


def _within(values: FloatArray, gain: FloatArray, best: int) -> float:
    """The least likelihood that is still within 95 % of the best [HANSEN2000]_."""
    return float(_log_likelihood(values, gain)[best] + log(1.0 - sqrt(0.95)))


def flights_to_know_count(change_sigma: float, *, power_fraction: float = 0.8) -> int:
    """How many flights on each side show a step of so many scatters, at 5 % on both sides.

    n = 2 (z_a + z_b)^2 / d^2, for normal values of known scatter (common practice in sample size
    tables, no source); rounded up and at least the fewest on a side.
    """
    from scipy.special import ndtri

    if not change_sigma > 0.0:
        raise RangeError(f"change_sigma is {change_sigma:g}; expected a size above 0")
    reach = float(ndtri(0.975) + ndtri(power_fraction)) * sqrt(2.0)
    return max(FEWEST_ON_A_SIDE_COUNT, int(np.ceil((reach / change_sigma) ** 2)))
