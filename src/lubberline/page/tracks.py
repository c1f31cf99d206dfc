"""A recorded track made fit for a picture: broken at its gaps, and no finer than can be seen."""

from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, IntArray

MOST_POINTS: Final = 4_000  # own: more cannot be told apart in a picture


def thinned(segment_index: IntArray, *columns: FloatArray) -> list[FloatArray]:
    """Columns with a break (NaN) at each gap, and not more samples than a picture can show."""
    every = max(1, -(-segment_index.size // MOST_POINTS))
    kept = slice(None, None, every)
    breaks = np.flatnonzero(np.diff(segment_index[kept])) + 1
    return [np.insert(column[kept].astype(float), breaks, np.nan) for column in columns]
