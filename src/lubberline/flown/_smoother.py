"""The forward filter and the backward smoother for a mass that is jerked about, many at once.

State of one channel: position, velocity, acceleration; the acceleration wanders as white jerk of
density ``q``. A recording is cut into pieces of equal length with samples of both neighbors at
their ends; all pieces are filtered side by side, so that the loop runs over one piece only. The
filter forgets within a few samples, far fewer than the pieces share. Nothing is checked here.
"""

from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray

BODY_COUNT: Final = 96  # samples of a piece that are kept ...
SHARED_COUNT: Final = 32  # ... and those of each neighbor that lead into it
VAGUE_VELOCITY: Final = 200.0**2  # before the first sample nothing is known of either
VAGUE_ACCELERATION: Final = 10.0**2


def smoothed(
    time_s: FloatArray, values: FloatArray, variances: FloatArray, jerk_densities: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Means (c, n, 3) and covariances (c, n, 3, 3) of c channels at n moments.

    ``values`` (c, n) may hold NaN: such a sample says nothing. ``variances`` (c, n) are those of
    the samples; ``jerk_densities`` (c,) in value^2 / s^5. The steps may be uneven; a long one
    widens the covariance by itself [BARSHALOM]_, [RTS1965]_.
    """
    rows, kept = _pieces(time_s.size)
    step_s = np.diff(time_s[rows], axis=1, prepend=time_s[rows[:, :1]])
    measured, doubt = values[:, rows], variances[:, rows]
    start = np.zeros((*measured.shape[:2], 3))
    start[..., 0] = _first_known(measured)
    steps = _steps(step_s)
    forward = _filter(steps, measured, doubt, jerk_densities, start)
    mean, covariance = _smooth(steps[0], *forward)
    return mean[:, kept], covariance[:, kept]


def _pieces(count: int) -> tuple[IntArray, BoolArray]:
    """Rows (p, m) of every piece, and which of them are its own; the last is filled up."""
    starts = np.arange(0, count, BODY_COUNT)
    length = min(count, BODY_COUNT + 2 * SHARED_COUNT)
    firsts = np.clip(starts - SHARED_COUNT, 0, count - length)
    rows = firsts[:, None] + np.arange(length)
    kept = (rows >= starts[:, None]) & (rows < starts[:, None] + BODY_COUNT)
    return rows.astype(np.int64), kept


def _first_known(measured: FloatArray) -> FloatArray:
    known = np.isfinite(measured)
    first = np.take_along_axis(measured, known.argmax(axis=-1)[..., None], axis=-1)[..., 0]
    return np.nan_to_num(first)


def _steps(step_s: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Transition and covariance of one unit of white jerk, (m, p, 3, 3) each [BARSHALOM]_."""
    step_s = step_s.T
    t, zero, one = step_s, np.zeros_like(step_s), np.ones_like(step_s)
    transition = [[one, t, t**2 / 2.0], [zero, one, t], [zero, zero, one]]
    jerked = [
        [t**5 / 20.0, t**4 / 8.0, t**3 / 6.0],
        [t**4 / 8.0, t**3 / 3.0, t**2 / 2.0],
        [t**3 / 6.0, t**2 / 2.0, t],
    ]
    return np.moveaxis(np.array(transition), (0, 1), (2, 3)), np.moveaxis(
        np.array(jerked), (0, 1), (2, 3)
    )


def _filter(
    steps: tuple[FloatArray, FloatArray],
    measured: FloatArray,
    doubt: FloatArray,
    jerk_densities: FloatArray,
    start: FloatArray,
) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
    """Filtered and predicted means (c, p, m, 3) and covariances (c, p, m, 3, 3)."""
    shape = measured.shape
    after = np.empty((*shape, 3))
    before = np.empty((*shape, 3))
    after_cov = np.empty((*shape, 3, 3))
    before_cov = np.empty((*shape, 3, 3))
    mean = start
    cov = np.zeros((*shape[:2], 3, 3))
    cov[..., 0, 0] = 1e6 * doubt.max()
    cov[..., 1, 1], cov[..., 2, 2] = VAGUE_VELOCITY, VAGUE_ACCELERATION
    weight = jerk_densities[:, None, None, None]
    for k in range(shape[2]):
        if k:
            transition, jerked = steps[0][k], steps[1][k]
            mean = np.einsum("pij,cpj->cpi", transition, mean)
            cov = transition @ cov @ np.swapaxes(transition, -1, -2) + weight * jerked
        before[:, :, k], before_cov[:, :, k] = mean, cov
        off = measured[:, :, k] - mean[..., 0]
        known = np.isfinite(off)
        gain = cov[..., :, 0] / (cov[..., 0, 0] + doubt[:, :, k])[..., None]
        gain = gain * known[..., None]
        mean = mean + gain * np.where(known, off, 0.0)[..., None]
        cov = cov - gain[..., :, None] * cov[..., None, 0, :]
        after[:, :, k], after_cov[:, :, k] = mean, cov
    return before, before_cov, after, after_cov


def _smooth(
    transitions: FloatArray,
    before: FloatArray,
    before_cov: FloatArray,
    after: FloatArray,
    after_cov: FloatArray,
) -> tuple[FloatArray, FloatArray]:
    """Backward from the last sample: what the later samples say is added [RTS1965]_."""
    mean, cov = after.copy(), after_cov.copy()
    for k in range(mean.shape[2] - 2, -1, -1):
        transition = transitions[k + 1]
        ahead = np.linalg.solve(before_cov[:, :, k + 1], transition @ after_cov[:, :, k])
        gain = np.swapaxes(ahead, -1, -2)
        off = mean[:, :, k + 1] - before[:, :, k + 1]
        mean[:, :, k] += np.einsum("cpij,cpj->cpi", gain, off)
        cov[:, :, k] += gain @ (cov[:, :, k + 1] - before_cov[:, :, k + 1]) @ ahead
    return mean, cov
