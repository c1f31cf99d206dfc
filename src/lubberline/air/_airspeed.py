"""Airspeed relations of subsonic, compressible, dry air in pure ratios.

Speeds are ratios to the speed of sound: calibrated airspeed to that of the standard sea level,
true airspeed (then the Mach number) to that of the air outside. Pressures are ratios to the
standard sea level. ``expm1`` and ``log1p`` keep every digit at low speed, where the plain
powers would subtract two numbers close to 1. Source: [NASA-RP1046]_, isentropic flow with a ratio
of specific heats of 1.4. Nothing here checks its input; the public functions in ``airspeed`` do.
"""

import numpy as np

from lubberline.arrays import FloatArray


def impact_ratio(mach_ratio: FloatArray) -> FloatArray:
    """Impact pressure over static pressure at a Mach number."""
    return np.expm1(3.5 * np.log1p(0.2 * mach_ratio**2))


def mach_ratio(impact_pressure_ratio: FloatArray) -> FloatArray:
    """Mach number where impact pressure over static pressure has this value."""
    return np.sqrt(5.0 * np.expm1(np.log1p(impact_pressure_ratio) / 3.5))
