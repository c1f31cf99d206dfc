"""A straight line fitted to a window around each sample, by sums over the window.

Windows are cut at the ends; samples that are not known are left out, and fewer than three give
NaN.
"""

import numpy as np

from lubberline.arrays import FloatArray


def line(values: FloatArray, half_count: int) -> tuple[FloatArray, FloatArray]:
    """Level and slope a sample at each sample."""
    known = np.isfinite(values)
    if not known.any():
        return np.full(values.shape, np.nan), np.full(values.shape, np.nan)
    middle = float(values[known][0])
    offset = np.where(known, values - middle, 0.0)
    k = np.arange(-half_count, half_count + 1, dtype=np.float64)
    if known.all():
        s0, s1, s2 = _whole_sums(known.size, half_count)
    else:
        s0, s1, s2 = (_windowed(known.astype(np.float64), k**power) for power in (0, 1, 2))
    sx, skx = _windowed(offset, k**0), _windowed(offset, k)
    spread = s0 * s2 - s1 * s1
    spread[s0 < 2.5] = np.nan
    return (s2 * sx - s1 * skx) / spread + middle, (s0 * skx - s1 * sx) / spread


def _whole_sums(count: int, half_count: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Sums of 1, k and k^2 over the windows of samples that are all known."""
    whole = min(count, 2 * half_count + 1)  # in between all windows are alike
    place = np.arange(whole, dtype=np.float64)
    before, after = np.minimum(place, half_count), np.minimum(whole - 1.0 - place, half_count)
    squares = before * (before + 1.0) * (2.0 * before + 1.0)
    squares += after * (after + 1.0) * (2.0 * after + 1.0)
    powers = (after * (after + 1.0) - before * (before + 1.0)) / 2.0
    often = np.ones(whole, dtype=np.int64)
    often[whole // 2] += count - whole
    s0, s1, s2 = np.repeat([before + after + 1.0, powers, squares / 6.0], often, axis=1)
    return s0, s1, s2


def _windowed(column: FloatArray, values: FloatArray) -> FloatArray:
    """Sum over the window around each sample of column times values, nothing beyond the ends."""
    half_count = values.size // 2
    full = np.convolve(column, values[::-1])
    return full[half_count : half_count + column.size]
