"""Indicated, calibrated, equivalent and true airspeed, and the Mach number.

Indicated becomes calibrated through the manual's table alone; the other steps are physics of
subsonic, compressible, dry air and invert exactly. Faster than sound there is no answer.
"""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.air import _airspeed as kernel
from lubberline.air import _atmosphere as isa
from lubberline.air.atmosphere import check_oat, check_pressure_altitude
from lubberline.arrays import FloatArray, broadcast, check_range
from lubberline.errors import RangeError, ShapeError
from lubberline.units import KELVIN_AT_0_DEGC, KT_PER_MPS, M_PER_FT

_SEA_LEVEL_SOUND_KT: Final = float(isa.speed_of_sound_mps(np.asarray(isa.T0_K))) * KT_PER_MPS
_FASTEST_KT: Final = 661.0  # just under the speed of sound at standard sea level


def mach_from_cas(cas_kt: ArrayLike, pressure_ft: ArrayLike) -> FloatArray:
    """Mach number at a calibrated airspeed; it does not depend on temperature.

    Parameters
    ----------
    cas_kt : array_like, shape S
        Calibrated airspeed [kt], 0 to 661.
    pressure_ft : array_like, broadcast with S
        Pressure altitude [ft], -16,420 to 65,617.

    Returns
    -------
    ndarray, broadcast shape
        Mach number; NaN where an input is NaN and where it would exceed 1.

    Raises
    ------
    RangeError
        If a speed or an altitude lies outside its range.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [NASA-RP1046]_, calibrated airspeed and Mach number.
    """
    speed_kt, altitude_ft = broadcast(cas_kt, pressure_ft)
    check_range("cas_kt", speed_kt, 0.0, _FASTEST_KT, "kt")
    check_pressure_altitude(altitude_ft)
    impact_over_sea_level = kernel.impact_ratio(speed_kt / _SEA_LEVEL_SOUND_KT)
    pressure_ratio = isa.isa_pressure_ratio(altitude_ft * M_PER_FT)
    return _subsonic(kernel.mach_ratio(impact_over_sea_level / pressure_ratio))


def eas_from_cas_kt(cas_kt: ArrayLike, pressure_ft: ArrayLike) -> FloatArray:
    """Equivalent airspeed: what the air's density makes of the true one; sets the loads.

    Parameters
    ----------
    cas_kt : array_like, shape S
        Calibrated airspeed [kt], 0 to 661.
    pressure_ft : array_like, broadcast with S
        Pressure altitude [ft], -16,420 to 65,617.

    Returns
    -------
    ndarray, broadcast shape
        Equivalent airspeed [kt]; NaN where an input is NaN and beyond Mach 1.

    Raises
    ------
    RangeError
        If a speed or an altitude lies outside its range.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [NASA-RP1046]_, equivalent airspeed. The true airspeed's temperature cancels against the
    density's.
    """
    speed_kt, altitude_ft = broadcast(cas_kt, pressure_ft)
    mach_ratio = mach_from_cas(speed_kt, altitude_ft)
    pressure_ratio = isa.isa_pressure_ratio(altitude_ft * M_PER_FT)
    return mach_ratio * _SEA_LEVEL_SOUND_KT * np.sqrt(pressure_ratio)


def tas_from_cas_kt(cas_kt: ArrayLike, pressure_ft: ArrayLike, oat_degc: ArrayLike) -> FloatArray:
    """True airspeed at a calibrated airspeed.

    Parameters
    ----------
    cas_kt : array_like, shape S
        Calibrated airspeed [kt], 0 to 661.
    pressure_ft : array_like, broadcast with S
        Pressure altitude [ft], -16,420 to 65,617.
    oat_degc : array_like, broadcast with S
        Static air temperature [degC], -90 to 60. A probe reads warmer: 1 degC at 85 kt.

    Returns
    -------
    ndarray, broadcast shape
        True airspeed [kt]; NaN where an input is NaN and beyond Mach 1.

    Raises
    ------
    RangeError
        If a speed, an altitude or a temperature lies outside its range.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [NASA-RP1046]_, true airspeed; [ISA]_, speed of sound.

    Examples
    --------
    >>> round(float(tas_from_cas_kt(130.0, 8000.0, 20.0)), 1)
    151.9
    """
    speed_kt, altitude_ft, air_degc = broadcast(cas_kt, pressure_ft, oat_degc)
    check_oat(air_degc)
    return mach_from_cas(speed_kt, altitude_ft) * _sound_kt(air_degc)


def cas_from_tas_kt(tas_kt: ArrayLike, pressure_ft: ArrayLike, oat_degc: ArrayLike) -> FloatArray:
    """Calibrated airspeed at a true airspeed: exact inverse of tas_from_cas_kt.

    Parameters
    ----------
    tas_kt : array_like, shape S
        True airspeed [kt], 0 to 750.
    pressure_ft : array_like, broadcast with S
        Pressure altitude [ft], -16,420 to 65,617.
    oat_degc : array_like, broadcast with S
        Static air temperature [degC], -90 to 60.

    Returns
    -------
    ndarray, broadcast shape
        Calibrated airspeed [kt]; NaN where an input is NaN, beyond Mach 1, and where it
        would exceed the speed of sound at standard sea level.

    Raises
    ------
    RangeError
        If a speed, an altitude or a temperature lies outside its range.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [NASA-RP1046]_, true airspeed; [ISA]_, speed of sound.
    """
    speed_kt, altitude_ft, air_degc = broadcast(tas_kt, pressure_ft, oat_degc)
    check_range("tas_kt", speed_kt, 0.0, 750.0, "kt")
    check_pressure_altitude(altitude_ft)
    check_oat(air_degc)
    pressure_ratio = isa.isa_pressure_ratio(altitude_ft * M_PER_FT)
    impact_ratio = kernel.impact_ratio(_subsonic(speed_kt / _sound_kt(air_degc)))
    return _subsonic(kernel.mach_ratio(impact_ratio * pressure_ratio)) * _SEA_LEVEL_SOUND_KT


def cas_from_ias_kt(
    ias_kt: ArrayLike, table_ias_kt: ArrayLike, table_cas_kt: ArrayLike
) -> FloatArray:
    """Calibrated airspeed by the manual's airspeed calibration table, straight between rows.

    Parameters
    ----------
    ias_kt : array_like, shape S
        Indicated airspeed [kt].
    table_ias_kt, table_cas_kt : array_like, shape (m,)
        The table's two columns [kt], at least two rows, both strictly increasing.

    Returns
    -------
    ndarray, shape S
        Calibrated airspeed [kt]; NaN where the input is NaN and beyond the table's ends.

    Raises
    ------
    RangeError
        If a column does not strictly increase.
    ShapeError
        If the columns are not two equally long ones of two rows or more.

    References
    ----------
    [PHAK]_, chapter 8, calibrated airspeed: the airplane's own calibration chart decides.
    """
    (speed_kt,) = broadcast(ias_kt)
    shown_kt, calibrated_kt = _calibration(table_ias_kt, table_cas_kt)
    return np.interp(speed_kt, shown_kt, calibrated_kt, left=np.nan, right=np.nan)


def ias_from_cas_kt(
    cas_kt: ArrayLike, table_ias_kt: ArrayLike, table_cas_kt: ArrayLike
) -> FloatArray:
    """Indicated airspeed by the manual's calibration table: inverse of cas_from_ias_kt.

    Parameters
    ----------
    cas_kt : array_like, shape S
        Calibrated airspeed [kt].
    table_ias_kt, table_cas_kt : array_like, shape (m,)
        The table's two columns [kt], at least two rows, both strictly increasing.

    Returns
    -------
    ndarray, shape S
        Indicated airspeed [kt]; NaN where the input is NaN and beyond the table's ends.

    Raises
    ------
    RangeError
        If a column does not strictly increase.
    ShapeError
        If the columns are not two equally long ones of two rows or more.

    References
    ----------
    [PHAK]_, chapter 8, calibrated airspeed: the airplane's own calibration chart decides.
    """
    (speed_kt,) = broadcast(cas_kt)
    shown_kt, calibrated_kt = _calibration(table_ias_kt, table_cas_kt)
    return np.interp(speed_kt, calibrated_kt, shown_kt, left=np.nan, right=np.nan)


def _subsonic(mach_ratio: FloatArray) -> FloatArray:
    return np.where(mach_ratio <= 1.0, mach_ratio, np.nan)


def _sound_kt(air_degc: FloatArray) -> FloatArray:
    return isa.speed_of_sound_mps(air_degc + KELVIN_AT_0_DEGC) * KT_PER_MPS


def _calibration(table_ias_kt: ArrayLike, table_cas_kt: ArrayLike) -> tuple[FloatArray, FloatArray]:
    shown_kt = np.asarray(table_ias_kt, dtype=np.float64)
    calibrated_kt = np.asarray(table_cas_kt, dtype=np.float64)
    if shown_kt.ndim != 1 or shown_kt.shape != calibrated_kt.shape or shown_kt.size < 2:
        raise ShapeError(
            f"a calibration table needs two equal columns of 2 rows or more,"
            f" got {shown_kt.shape} and {calibrated_kt.shape}"
        )
    for name, column_kt in (("table_ias_kt", shown_kt), ("table_cas_kt", calibrated_kt)):
        if not (np.diff(column_kt) > 0.0).all():
            raise RangeError(f"{name} must strictly increase, got {column_kt.tolist()}")
    return shown_kt, calibrated_kt
