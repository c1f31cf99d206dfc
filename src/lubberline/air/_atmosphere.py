"""Standard-atmosphere relations up to 20 km, in SI, by geopotential height.

Below 11 km temperature falls linearly with height, so pressure, density and height are powers
of one another; above it the layer is isothermal and they are exponentials. Each function is
one closed formula and gives NaN where an input is NaN. Nothing here checks its input; the
public functions in ``atmosphere`` do. Every constant is from [ISA]_, section 2.
"""

from typing import Final

import numpy as np

from lubberline.arrays import FloatArray

T0_K: Final = 288.15
P0_PA: Final = 101_325.0
LAPSE_K_PER_M: Final = 0.0065  # the fall of temperature, so positive
_G0_MPS2: Final = 9.80665
_GAS_J_PER_KG_K: Final = 287.05287
_HEAT_RATIO: Final = 1.4
_TROPOPAUSE_M: Final = 11_000.0

_PRESSURE_EXP: Final = _G0_MPS2 / (_GAS_J_PER_KG_K * LAPSE_K_PER_M)
_DENSITY_EXP: Final = _PRESSURE_EXP - 1.0
_TROPOPAUSE_K_RATIO: Final = 1.0 - LAPSE_K_PER_M * _TROPOPAUSE_M / T0_K
_TROPOPAUSE_PRESSURE_RATIO: Final = _TROPOPAUSE_K_RATIO**_PRESSURE_EXP
_TROPOPAUSE_DENSITY_RATIO: Final = _TROPOPAUSE_K_RATIO**_DENSITY_EXP
_SCALE_M: Final = _GAS_J_PER_KG_K * T0_K * _TROPOPAUSE_K_RATIO / _G0_MPS2


def isa_temperature_k(height_m: FloatArray) -> FloatArray:
    """Temperature at a height."""
    return T0_K - LAPSE_K_PER_M * np.minimum(height_m, _TROPOPAUSE_M)


def isa_pressure_ratio(height_m: FloatArray) -> FloatArray:
    """Pressure at a height over that at sea level."""
    below = (isa_temperature_k(height_m) / T0_K) ** _PRESSURE_EXP
    return below * np.exp(-np.maximum(height_m - _TROPOPAUSE_M, 0.0) / _SCALE_M)


def isa_height_m(pressure_ratio: FloatArray) -> FloatArray:
    """Height where pressure over that at sea level has this value."""
    below_m = (T0_K / LAPSE_K_PER_M) * (1.0 - pressure_ratio ** (1.0 / _PRESSURE_EXP))
    above_m = _TROPOPAUSE_M - _SCALE_M * np.log(pressure_ratio / _TROPOPAUSE_PRESSURE_RATIO)
    return np.where(pressure_ratio < _TROPOPAUSE_PRESSURE_RATIO, above_m, below_m)


def isa_height_of_density_m(density_ratio: FloatArray) -> FloatArray:
    """Height where density over that at sea level has this value."""
    below_m = (T0_K / LAPSE_K_PER_M) * (1.0 - density_ratio ** (1.0 / _DENSITY_EXP))
    above_m = _TROPOPAUSE_M - _SCALE_M * np.log(density_ratio / _TROPOPAUSE_DENSITY_RATIO)
    return np.where(density_ratio < _TROPOPAUSE_DENSITY_RATIO, above_m, below_m)


def speed_of_sound_mps(temperature_k: FloatArray) -> FloatArray:
    """Speed of sound in dry air."""
    return np.sqrt(_HEAT_RATIO * _GAS_J_PER_KG_K * temperature_k)
