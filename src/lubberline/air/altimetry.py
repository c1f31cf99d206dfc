"""Altimeter settings, and the altitudes that differ by them: pressure, indicated, true.

A setting shifts the altimeter's scale by its own standard height, exactly, for an instrument
without error. True altitude also needs the temperature: cold air is denser, so the airplane
is lower than it reads. Instrument and position error belong to the airplane's manual.
"""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.air import _altimetry as kernel
from lubberline.air import _atmosphere as isa
from lubberline.air.atmosphere import check_oat
from lubberline.arrays import FloatArray, broadcast, check_range
from lubberline.units import FT_PER_M, HPA_PER_INHG, KELVIN_AT_0_DEGC, M_PER_FT, PA_PER_HPA

_PA_PER_INHG: Final = PA_PER_HPA * HPA_PER_INHG
_LOW_INHG, _HIGH_INHG = 25.0, 32.0  # own: no setting outside has been reported
_LOW_FT, _HIGH_FT = -2_000.0, 36_000.0  # own: the troposphere, where lapse is constant
_HIGHEST_SOURCE_FT: Final = 15_000.0  # own: above every aerodrome


def inhg_from_hpa(pressure_hpa: ArrayLike) -> FloatArray:
    """Pressure in inches of mercury.

    Parameters
    ----------
    pressure_hpa : array_like, shape S
        Pressure [hPa].

    Returns
    -------
    ndarray, shape S
        The same pressure [inHg]; NaN where the input is NaN.

    References
    ----------
    [NIST811]_, conventional inch of mercury at 0 degC.
    """
    (value_hpa,) = broadcast(pressure_hpa)
    return value_hpa / HPA_PER_INHG


def hpa_from_inhg(pressure_inhg: ArrayLike) -> FloatArray:
    """Pressure in hectopascals.

    Parameters
    ----------
    pressure_inhg : array_like, shape S
        Pressure [inHg].

    Returns
    -------
    ndarray, shape S
        The same pressure [hPa]; NaN where the input is NaN.

    References
    ----------
    [NIST811]_, conventional inch of mercury at 0 degC.
    """
    (value_inhg,) = broadcast(pressure_inhg)
    return value_inhg * HPA_PER_INHG


def pressure_altitude_ft(indicated_ft: ArrayLike, altimeter_inhg: ArrayLike) -> FloatArray:
    """Altitude the altimeter would show if it were set to standard pressure.

    Parameters
    ----------
    indicated_ft : array_like, shape S
        Altitude shown with the given setting; field elevation when parked [ft].
    altimeter_inhg : array_like, broadcast with S
        Altimeter setting [inHg], 25 to 32.

    Returns
    -------
    ndarray, broadcast shape
        Pressure altitude [ft]; NaN where an input is NaN.

    Raises
    ------
    RangeError
        If a setting lies outside 25 to 32 inHg.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [ISA]_, pressure: the altimeter's scale is the standard atmosphere's. 29.92 inHg gives
    1 ft, not 0, because the standard pressure is 29.9213 inHg.

    Examples
    --------
    >>> round(float(pressure_altitude_ft(5000.0, 30.42)))
    4542
    """
    shown_ft, setting_inhg = broadcast(indicated_ft, altimeter_inhg)
    return shown_ft + _setting_ft(setting_inhg)


def indicated_altitude_ft(pressure_ft: ArrayLike, altimeter_inhg: ArrayLike) -> FloatArray:
    """Altitude the altimeter shows with a setting: exact inverse of pressure_altitude_ft.

    Parameters
    ----------
    pressure_ft : array_like, shape S
        Pressure altitude [ft].
    altimeter_inhg : array_like, broadcast with S
        Altimeter setting [inHg], 25 to 32.

    Returns
    -------
    ndarray, broadcast shape
        Indicated altitude [ft]; NaN where an input is NaN.

    Raises
    ------
    RangeError
        If a setting lies outside 25 to 32 inHg.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [ISA]_, pressure: the altimeter's scale is the standard atmosphere's.
    """
    altitude_ft, setting_inhg = broadcast(pressure_ft, altimeter_inhg)
    return altitude_ft - _setting_ft(setting_inhg)


def station_pressure_hpa(elev_msl_ft: ArrayLike, altimeter_inhg: ArrayLike) -> FloatArray:
    """Pressure at a field of this elevation that reports this altimeter setting.

    Parameters
    ----------
    elev_msl_ft : array_like, shape S
        Field elevation above mean sea level [ft], -2,000 to 15,000.
    altimeter_inhg : array_like, broadcast with S
        Altimeter setting [inHg], 25 to 32.

    Returns
    -------
    ndarray, broadcast shape
        Station pressure [hPa]; NaN where an input is NaN.

    Raises
    ------
    RangeError
        If an elevation or a setting lies outside its range.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [ISA]_, pressure at the pressure altitude of the field.
    """
    field_ft, setting_inhg = broadcast(elev_msl_ft, altimeter_inhg)
    check_range("elev_msl_ft", field_ft, _LOW_FT, _HIGHEST_SOURCE_FT, "ft")
    pressure_m = (field_ft + _setting_ft(setting_inhg)) * M_PER_FT
    return isa.isa_pressure_ratio(pressure_m) * isa.P0_PA / PA_PER_HPA


def true_altitude_ft(
    indicated_ft: ArrayLike, source_elev_msl_ft: ArrayLike, oat_degc: ArrayLike
) -> FloatArray:
    """Height above mean sea level at which an altimeter with the local setting shows this.

    Parameters
    ----------
    indicated_ft : array_like, shape S
        Altitude shown with the setting of the source [ft], -2,000 to 36,000.
    source_elev_msl_ft : array_like, broadcast with S
        Elevation of the station that gave the setting [ft], -2,000 to 15,000.
    oat_degc : array_like, broadcast with S
        Air temperature at that altitude, not at the station [degC], -90 to 60.

    Returns
    -------
    ndarray, broadcast shape
        True altitude [ft]; NaN where an input is NaN. Equal to the indicated altitude at the
        source, whatever the temperature.

    Raises
    ------
    RangeError
        If an altitude, an elevation or a temperature lies outside its range.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [ICAO8168]_, Part III, Section 1, Chapter 4. The deviation from standard at the airplane
    is taken for the whole column down to the source.

    Examples
    --------
    >>> round(float(true_altitude_ft(8000.0, 0.0, -20.85)))  # 20 degC colder than standard
    7429
    """
    shown_ft, source_ft, air_degc = broadcast(indicated_ft, source_elev_msl_ft, oat_degc)
    _check_column("indicated_ft", shown_ft, source_ft)
    check_oat(air_degc)
    deviation_k = air_degc + KELVIN_AT_0_DEGC - kernel.standard_k(shown_ft)
    return source_ft + kernel.true_above_ft(shown_ft - source_ft, source_ft, deviation_k)


def indicated_for_true_ft(
    true_msl_ft: ArrayLike, source_elev_msl_ft: ArrayLike, oat_degc: ArrayLike
) -> FloatArray:
    """Indicated altitude to fly for a true altitude: exact inverse of true_altitude_ft.

    Parameters
    ----------
    true_msl_ft : array_like, shape S
        True altitude wanted [ft], -2,000 to 36,000.
    source_elev_msl_ft : array_like, broadcast with S
        Elevation of the station that gave the setting [ft], -2,000 to 15,000.
    oat_degc : array_like, broadcast with S
        Air temperature at that altitude, not at the station [degC], -90 to 60.

    Returns
    -------
    ndarray, broadcast shape
        Indicated altitude [ft]; NaN where an input is NaN, and where it would lie outside
        -2,000 to 36,000 ft.

    Raises
    ------
    RangeError
        If an altitude, an elevation or a temperature lies outside its range.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [ICAO8168]_, Part III, Section 1, Chapter 4, solved for the indicated altitude.
    """
    true_ft, source_ft, air_degc = broadcast(true_msl_ft, source_elev_msl_ft, oat_degc)
    _check_column("true_msl_ft", true_ft, source_ft)
    check_oat(air_degc)
    shown_ft = kernel.indicated_ft(true_ft, source_ft, air_degc + KELVIN_AT_0_DEGC)
    return np.where((shown_ft >= _LOW_FT) & (shown_ft <= _HIGH_FT), shown_ft, np.nan)


def temperature_correction_ft(
    above_source_ft: ArrayLike, source_elev_msl_ft: ArrayLike, source_oat_degc: ArrayLike
) -> FloatArray:
    """Feet to add to a published altitude so that the true height is the published one.

    Parameters
    ----------
    above_source_ft : array_like, shape S
        Published height above the station that gave the setting [ft], 0 to 10,000.
    source_elev_msl_ft : array_like, broadcast with S
        Elevation of that station [ft], -2,000 to 15,000.
    source_oat_degc : array_like, broadcast with S
        Air temperature reported at that station [degC], -90 to 60.

    Returns
    -------
    ndarray, broadcast shape
        Correction [ft], positive in air colder than standard, negative in warmer air, where
        no rule lets a pilot subtract it; NaN where an input is NaN.

    Raises
    ------
    RangeError
        If a height, an elevation or a temperature lies outside its range.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [ICAO8168]_, Part III, Section 1, Chapter 4; [AIM7-3]_, table 7-3-1.

    Examples
    --------
    >>> round(float(temperature_correction_ft(1500.0, 0.0, -30.0)))
    280
    """
    height_ft, source_ft, air_degc = broadcast(above_source_ft, source_elev_msl_ft, source_oat_degc)
    check_range("above_source_ft", height_ft, 0.0, 10_000.0, "ft")
    check_range("source_elev_msl_ft", source_ft, _LOW_FT, _HIGHEST_SOURCE_FT, "ft")
    check_range("source_oat_degc", air_degc, -90.0, 60.0, "degC")
    deviation_k = air_degc + KELVIN_AT_0_DEGC - kernel.standard_k(source_ft)
    return kernel.shown_above_ft(height_ft, source_ft, deviation_k) - height_ft


def _setting_ft(setting_inhg: FloatArray) -> FloatArray:
    """Standard height of an altimeter setting: what it shifts the scale by."""
    check_range("altimeter_inhg", setting_inhg, _LOW_INHG, _HIGH_INHG, "inHg")
    return isa.isa_height_m(setting_inhg * _PA_PER_INHG / isa.P0_PA) * FT_PER_M


def _check_column(name: str, altitude_ft: FloatArray, source_ft: FloatArray) -> None:
    check_range(name, altitude_ft, _LOW_FT, _HIGH_FT, "ft")
    check_range("source_elev_msl_ft", source_ft, _LOW_FT, _HIGHEST_SOURCE_FT, "ft")
