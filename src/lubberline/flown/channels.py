"""Recorded channels at the even steps."""

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.flown.case import Case


def at_even_steps(case: Case, name: str) -> FloatArray:
    """A recorded channel at every even step, from its nearest sample; NaN where none is near."""
    column = case.track.channels.get(name)
    time_s, even_s = case.track.time_s, case.even.time_s
    if column is None or time_s.size < 2:
        return np.full(even_s.shape, np.nan)
    after = np.clip(np.searchsorted(time_s, even_s), 1, time_s.size - 1)
    nearest = np.where(even_s - time_s[after - 1] < time_s[after] - even_s, after - 1, after)
    near = np.abs(time_s[nearest] - even_s) <= 2.0 * case.even.step_s
    return np.where(near, column[nearest], np.nan)
