"""The standard atmosphere by pressure altitude, and what a real temperature makes of it.

Pressure altitude stands for pressure: it is the geopotential height at which the standard
atmosphere has that pressure. Air is dry; moisture thins it by at most a few hundred feet of
density altitude. Altimeter settings belong to ``altimetry``.
"""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.air import _atmosphere as kernel
from lubberline.arrays import FloatArray, broadcast, check_range
from lubberline.units import FT_PER_M, KELVIN_AT_0_DEGC, KT_PER_MPS, M_PER_FT, PA_PER_HPA

LOWEST_FT: Final = -16_420.0  # [ISA]_ begins 5 km below sea level
HIGHEST_FT: Final = 65_617.0  # the second layer ends at 20 km
_COLDEST_DEGC, _HOTTEST_DEGC = -90.0, 60.0  # own: wider than any reported air temperature


def check_oat(oat_degc: FloatArray) -> None:
    """Raise RangeError where an air temperature cannot be one in degrees Celsius."""
    check_range("oat_degc", oat_degc, _COLDEST_DEGC, _HOTTEST_DEGC, "degC")


def check_pressure_altitude(pressure_ft: FloatArray) -> None:
    """Raise RangeError where a pressure altitude lies outside the modelled layers."""
    check_range("pressure_ft", pressure_ft, LOWEST_FT, HIGHEST_FT, "ft")


def isa_temperature_degc(pressure_ft: ArrayLike) -> FloatArray:
    """Standard temperature at a pressure altitude.

    Parameters
    ----------
    pressure_ft : array_like, shape S
        Pressure altitude [ft], -16,420 to 65,617.

    Returns
    -------
    ndarray, shape S
        Temperature [degC]; NaN where the input is NaN.

    Raises
    ------
    RangeError
        If an altitude lies outside the range.

    References
    ----------
    [ISA]_, temperature and vertical temperature gradient.

    Examples
    --------
    >>> round(float(isa_temperature_degc(5000.0)), 1)
    5.1
    """
    return kernel.isa_temperature_k(_height_m(pressure_ft)) - KELVIN_AT_0_DEGC


def isa_pressure_hpa(pressure_ft: ArrayLike) -> FloatArray:
    """Static pressure at a pressure altitude.

    Parameters
    ----------
    pressure_ft : array_like, shape S
        Pressure altitude [ft], -16,420 to 65,617.

    Returns
    -------
    ndarray, shape S
        Pressure [hPa]; NaN where the input is NaN.

    Raises
    ------
    RangeError
        If an altitude lies outside the range.

    References
    ----------
    [ISA]_, pressure.
    """
    return kernel.isa_pressure_ratio(_height_m(pressure_ft)) * kernel.P0_PA / PA_PER_HPA


def isa_height_ft(pressure_hpa: ArrayLike) -> FloatArray:
    """Pressure altitude at which the static pressure is this: inverse of isa_pressure_hpa.

    Parameters
    ----------
    pressure_hpa : array_like, shape S
        Static pressure [hPa], 54.74 to 1,778.

    Returns
    -------
    ndarray, shape S
        Pressure altitude [ft]; NaN where the input is NaN.

    Raises
    ------
    RangeError
        If a pressure lies outside the range.

    References
    ----------
    [ISA]_, pressure.
    """
    (static_hpa,) = broadcast(pressure_hpa)
    check_range("pressure_hpa", static_hpa, 54.74, 1778.0, "hPa")
    return kernel.isa_height_m(static_hpa * PA_PER_HPA / kernel.P0_PA) * FT_PER_M


def isa_density_ratio(pressure_ft: ArrayLike) -> FloatArray:
    """Standard density at a pressure altitude over that at sea level.

    Parameters
    ----------
    pressure_ft : array_like, shape S
        Pressure altitude [ft], -16,420 to 65,617.

    Returns
    -------
    ndarray, shape S
        Density ratio, 1 at sea level; NaN where the input is NaN.

    Raises
    ------
    RangeError
        If an altitude lies outside the range.

    References
    ----------
    [ISA]_, density.
    """
    height_m = _height_m(pressure_ft)
    temperature_ratio = kernel.isa_temperature_k(height_m) / kernel.T0_K
    return kernel.isa_pressure_ratio(height_m) / temperature_ratio


def speed_of_sound_kt(oat_degc: ArrayLike) -> FloatArray:
    """Speed of sound in air of a temperature.

    Parameters
    ----------
    oat_degc : array_like, shape S
        Air temperature [degC], -90 to 60.

    Returns
    -------
    ndarray, shape S
        Speed of sound [kt]; NaN where the input is NaN.

    Raises
    ------
    RangeError
        If a temperature lies outside the range.

    References
    ----------
    [ISA]_, speed of sound.
    """
    (air_degc,) = broadcast(oat_degc)
    check_oat(air_degc)
    return kernel.speed_of_sound_mps(air_degc + KELVIN_AT_0_DEGC) * KT_PER_MPS


def density_altitude_ft(pressure_ft: ArrayLike, oat_degc: ArrayLike) -> FloatArray:
    """Height in the standard atmosphere that has the density of the real, dry air.

    Parameters
    ----------
    pressure_ft : array_like, shape S
        Pressure altitude [ft], -16,420 to 65,617.
    oat_degc : array_like, broadcast with S
        Air temperature [degC], -90 to 60.

    Returns
    -------
    ndarray, broadcast shape
        Density altitude [ft]; NaN where an input is NaN and where no layer of the standard
        atmosphere between the same two heights has that density.

    Raises
    ------
    RangeError
        If an altitude or a temperature lies outside its range.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [ISA]_, density, solved for height; [PHAK]_, chapter 11.

    Examples
    --------
    >>> round(float(density_altitude_ft(5000.0, 25.0)))
    7262
    """
    altitude_ft, air_degc = broadcast(pressure_ft, oat_degc)
    check_pressure_altitude(altitude_ft)
    check_oat(air_degc)
    temperature_ratio = (air_degc + KELVIN_AT_0_DEGC) / kernel.T0_K
    density_ratio = kernel.isa_pressure_ratio(altitude_ft * M_PER_FT) / temperature_ratio
    density_ft = kernel.isa_height_of_density_m(density_ratio) * FT_PER_M
    modelled = (density_ft >= LOWEST_FT) & (density_ft <= HIGHEST_FT)
    return np.where(modelled, density_ft, np.nan)


def _height_m(pressure_ft: ArrayLike) -> FloatArray:
    (altitude_ft,) = broadcast(pressure_ft)
    check_pressure_altitude(altitude_ft)
    return altitude_ft * M_PER_FT
