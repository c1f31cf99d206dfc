"""The forward filter and the backward smoother for a mass that is jerked about.

State of one channel: position, velocity, acceleration; the acceleration wanders as white jerk of
density ``q``. Its array (4, 3) holds the mean and the rows of the covariance. A recording is
smoothed in pieces of equal length with samples of both neighbors at their ends: the filter forgets
within a few samples, far fewer than the pieces share. Nothing is checked here. The loops are
compiled when they are first called, and kept on disk.
"""

from collections.abc import Callable
from typing import Any, Final, TypeVar, cast

import numba
import numpy as np

from lubberline.arrays import FloatArray

BODY_COUNT: Final = 96  # samples of a piece that are kept ...
SHARED_COUNT: Final = 32  # ... and those of each neighbor that lead into it
VAGUE_FACTOR: Final = 1e6  # before the first sample nothing is known of the position, ...
VAGUE_VELOCITY: Final = 200.0**2  # ... nor of these
VAGUE_ACCELERATION: Final = 10.0**2

Function = TypeVar("Function", bound=Callable[..., object])


def _compiled(function: Function) -> Function:
    """The function, compiled when it is first called; no kernel makes arrays of its own (nrt)."""
    options: dict[str, Any] = {"error_model": "numpy", "_nrt": False}
    try:
        return cast(Function, numba.njit(cache=True, **options)(function))
    except RuntimeError:  # no folder to keep it in can be written
        return cast(Function, numba.njit(**options)(function))


def smoothed(
    time_s: FloatArray, values: FloatArray, variances: FloatArray, jerk_densities: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Means and variances (c, 3, n) of c channels at n moments.

    ``values`` (c, n) may hold NaN: such a sample says nothing. ``variances`` (c,) are those of
    the samples; ``jerk_densities`` (c,) in value^2 / s^5. The steps may be uneven; a long one
    widens the variance by itself [BARSHALOM]_, [RTS1965]_.
    """
    length = min(time_s.size, BODY_COUNT + 2 * SHARED_COUNT)
    before, after = np.empty((2, length, 4, 3))
    before[0, 1:] = np.diag([VAGUE_FACTOR * variances.max(), VAGUE_VELOCITY, VAGUE_ACCELERATION])
    found = np.empty((len(values), 2, 3, time_s.size))
    step_s = np.diff(time_s, prepend=time_s[:1])
    noises = variances.tolist(), jerk_densities.tolist()
    for column, out, variance, jerk_density in zip(values, found, *noises, strict=True):
        _pieces(step_s, column, variance, jerk_density, before, after, np.empty((2, 3, 3)), out)
    return found[:, 0], found[:, 1]


@_compiled
def _pieces(
    step_s: FloatArray,
    values: FloatArray,
    variance: float,
    jerk_density: float,
    before: FloatArray,
    after: FloatArray,
    work: FloatArray,
    found: FloatArray,
) -> None:
    """Mean and variance (2, 3, n) of one channel, piece by piece."""
    count, length = values.size, len(after)
    for start in range(0, count, BODY_COUNT):
        first = min(max(start - SHARED_COUNT, 0), count - length)
        _filter(first, step_s, values, variance, jerk_density, before, after)
        _smooth(first, step_s, before, after, work)
        for k in range(start, min(start + BODY_COUNT, count)):
            for i in range(3):
                found[0, i, k] = after[k - first, 0, i]
                found[1, i, k] = after[k - first, 1 + i, i]


@_compiled
def _filter(
    first: int,
    step_s: FloatArray,
    values: FloatArray,
    variance: float,
    jerk_density: float,
    before: FloatArray,
    after: FloatArray,
) -> None:
    """States (m, 4, 3) before and after each sample of a piece [BARSHALOM]_."""
    before[0, 0, 0] = before[0, 0, 1] = before[0, 0, 2] = 0.0
    for k in range(len(after) - 1, -1, -1):
        if np.isfinite(values[first + k]):
            before[0, 0, 0] = values[first + k]
    for k in range(len(after)):
        if k:
            _step(step_s[first + k], jerk_density, after[k - 1], before[k])
        value = values[first + k]
        heed = 1.0 / (before[k, 1, 0] + variance) if np.isfinite(value) else 0.0
        off = value - before[k, 0, 0] if np.isfinite(value) else 0.0
        for i in range(3):
            gain = before[k, 1 + i, 0] * heed
            after[k, 0, i] = before[k, 0, i] + gain * off
            for j in range(3):
                after[k, 1 + i, j] = before[k, 1 + i, j] - gain * before[k, 1, j]


@_compiled
def _step(step_s: float, jerk_density: float, state: FloatArray, ahead: FloatArray) -> None:
    """A state moved on, its covariance widened by white jerk [BARSHALOM]_."""
    t, q = step_s, jerk_density
    for i in range(4):  # the mean, and each row of the covariance, times F'
        ahead[i, 0] = state[i, 0] + t * state[i, 1] + t**2 / 2.0 * state[i, 2]
        ahead[i, 1] = state[i, 1] + t * state[i, 2]
        ahead[i, 2] = state[i, 2]
    for j in range(3):  # F times that
        ahead[1, j] += t * ahead[2, j] + t**2 / 2.0 * ahead[3, j]
        ahead[2, j] += t * ahead[3, j]
    ahead[1, 0] += q * t**5 / 20.0
    ahead[2, 1] += q * t**3 / 3.0
    ahead[3, 2] += q * t
    for i, j, wider in ((0, 1, q * t**4 / 8.0), (0, 2, q * t**3 / 6.0), (1, 2, q * t**2 / 2.0)):
        ahead[1 + i, j] += wider
        ahead[1 + j, i] += wider


@_compiled
def _smooth(
    first: int, step_s: FloatArray, before: FloatArray, after: FloatArray, work: FloatArray
) -> None:
    """Backward from the last sample, in place: what the later samples say is added [RTS1965]_."""
    gain, added = work[0], work[1]
    for k in range(len(after) - 2, -1, -1):
        _gain(step_s[first + k + 1], after[k], before[k + 1], gain)
        for i in range(3):
            for j in range(3):
                after[k, 0, i] += gain[i, j] * (after[k + 1, 0, j] - before[k + 1, 0, j])
                added[i, j] = 0.0
                for m in range(3):
                    added[i, j] += gain[i, m] * (after[k + 1, 1 + m, j] - before[k + 1, 1 + m, j])
        for i in range(3):
            for j in range(3):
                for m in range(3):
                    after[k, 1 + i, j] += added[i, m] * gain[j, m]


@_compiled
def _gain(step_s: float, state: FloatArray, ahead: FloatArray, gain: FloatArray) -> None:
    """Covariance times F', over that ahead by the factors L D L' of the latter."""
    t = step_s
    low_10, low_20 = ahead[2, 0] / ahead[1, 0], ahead[3, 0] / ahead[1, 0]
    size_1 = ahead[2, 1] - low_10 * ahead[2, 0]
    low_21 = (ahead[3, 1] - low_20 * ahead[2, 0]) / size_1
    size_2 = ahead[3, 2] - low_20 * ahead[3, 0] - low_21**2 * size_1
    for i in range(3):
        moved_0 = state[1 + i, 0] + t * state[1 + i, 1] + t**2 / 2.0 * state[1 + i, 2]
        moved_1 = state[1 + i, 1] + t * state[1 + i, 2] - low_10 * moved_0
        moved_2 = state[1 + i, 2] - low_20 * moved_0 - low_21 * moved_1
        gain[i, 2] = moved_2 / size_2
        gain[i, 1] = moved_1 / size_1 - low_21 * gain[i, 2]
        gain[i, 0] = moved_0 / ahead[1, 0] - low_10 * gain[i, 1] - low_20 * gain[i, 2]
