"""What air warmer or colder than standard does to a height shown by an altimeter, in feet.

An altimeter divides the air by pressure. Between the station that gave its setting and the
airplane, the real column is longer (warm) or shorter (cold) than the one it shows. The
relation is [ICAO8168]_, Part III, Section 1, Chapter 4: it takes one deviation from standard
for the whole column, and is exact for it but for the term that the humidity would add.
Nothing here checks its input; the public functions in ``altimetry`` do.
"""

from typing import Final

import numpy as np

from lubberline.air._atmosphere import LAPSE_K_PER_M, T0_K
from lubberline.arrays import FloatArray
from lubberline.units import M_PER_FT

_LAPSE_K_PER_FT: Final = LAPSE_K_PER_M * M_PER_FT  # the fall of temperature, so positive
_NEWTON_STEPS: Final = 6  # the error squares each step; four reach float precision


def standard_k(msl_ft: FloatArray) -> FloatArray:
    """Standard temperature at a height below the tropopause."""
    return T0_K - _LAPSE_K_PER_FT * msl_ft


def true_above_ft(
    shown_above_ft: FloatArray, source_ft: FloatArray, deviation_k: FloatArray
) -> FloatArray:
    """True height above the setting's source where the altimeter shows this height above it."""
    column = np.log1p(-_LAPSE_K_PER_FT * shown_above_ft / standard_k(source_ft))
    return shown_above_ft - deviation_k / _LAPSE_K_PER_FT * column


def shown_above_ft(
    wanted_ft: FloatArray, source_ft: FloatArray, deviation_k: FloatArray
) -> FloatArray:
    """Inverse of true_above_ft, by Newton; one step without iterating errs by hundreds of feet."""
    shown_ft = wanted_ft
    for _ in range(_NEWTON_STEPS):
        slope = 1.0 + deviation_k / standard_k(source_ft + shown_ft)
        shown_ft = shown_ft - (true_above_ft(shown_ft, source_ft, deviation_k) - wanted_ft) / slope
    return shown_ft


def indicated_ft(true_ft: FloatArray, source_ft: FloatArray, oat_k: FloatArray) -> FloatArray:
    """Indicated altitude at a true altitude whose air has this temperature, by Newton.

    The deviation belongs to the indicated altitude that is sought, so it moves with it.
    """
    shown_ft = true_ft
    for _ in range(_NEWTON_STEPS):
        here_k = standard_k(shown_ft)
        above_ft = shown_ft - source_ft
        error_ft = source_ft + true_above_ft(above_ft, source_ft, oat_k - here_k) - true_ft
        slope = oat_k / here_k - np.log1p(-_LAPSE_K_PER_FT * above_ft / standard_k(source_ft))
        shown_ft = shown_ft - error_ft / slope
    return shown_ft
