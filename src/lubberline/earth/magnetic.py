"""Magnetic variation from the current World Magnetic Model, with its uncertainty.

The coefficients come from the data file of the model's publisher (the package
``wmm-calculator``); the sum over them is done here, because importing that package takes
seconds and its calculator keeps state between calls. The model is the smooth main field of the
earth's core: local iron, the crust and solar storms are what the uncertainty stands for.
Heights above mean sea level are taken for heights above the ellipsoid: they differ by at most
107 m, which turns the needle by less than 0.003 deg wherever a compass is of use.
"""

from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from importlib.metadata import distribution
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray, broadcast, check_range
from lubberline.earth import _magnetic as kernel
from lubberline.errors import RangeError
from lubberline.units import M_PER_FT

_VALID_YEARS: Final = 5.0  # [WMM2025]_, period of validity
_LOWEST_FT, _HIGHEST_FT = -3_280.0, 2_788_000.0  # 1 km below to 850 km above: [WMM2025]_
_M_PER_KM: Final = 1000.0
_BLOCK: Final = 512  # places at a time: larger tables fall out of the cache
_FLOOR_DEG: Final = 0.26  # [WMM2025]_, error model
_SLOPE_DEG_NT: Final = 5417.0  # same


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Model:
    """Gauss coefficients (degree, order) at the epoch, and their change per year."""

    name: str
    epoch_year: float
    g_nt: FloatArray
    h_nt: FloatArray
    g_change_nt: FloatArray
    h_change_nt: FloatArray


def decimal_year(when_utc: datetime) -> float:
    """Time as a year with its elapsed fraction.

    Raises
    ------
    RangeError
        If the time names no zone.

    Examples
    --------
    >>> decimal_year(datetime(2025, 7, 2, 12, tzinfo=UTC))
    2025.5
    """
    if when_utc.tzinfo is None:
        raise RangeError(f"when_utc is {when_utc.isoformat()} without a time zone; expected UTC")
    moment = when_utc.astimezone(UTC)
    start = datetime(moment.year, 1, 1, tzinfo=UTC)
    length = datetime(moment.year + 1, 1, 1, tzinfo=UTC) - start
    return moment.year + (moment - start) / length


def variation_deg(
    lat_deg: ArrayLike, lon_deg: ArrayLike, msl_ft: ArrayLike, when_utc: datetime
) -> FloatArray:
    """Magnetic variation (declination), east positive: true minus magnetic direction.

    Parameters
    ----------
    lat_deg : array_like, shape S
        Latitude, WGS84 [deg], -90 to 90.
    lon_deg : array_like, broadcast with S
        Longitude, WGS84, east positive [deg], -540 to 540.
    msl_ft : array_like, broadcast with S
        Height above mean sea level [ft], -3,280 to 2,788,000.
    when_utc : datetime
        Time, with its zone, within the five years of the model.

    Returns
    -------
    ndarray, broadcast shape
        Variation [deg], -180 to 180; NaN where an input is NaN. Near the magnetic poles it is
        of little use; variation_sigma_deg says how little.

    Raises
    ------
    RangeError
        If the model is not valid at that time, or a place lies outside its range.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [WMM2025]_, equations of the main field.

    Examples
    --------
    >>> when = datetime(2026, 1, 1, tzinfo=UTC)
    >>> round(float(variation_deg(39.8617, -104.6731, 5433.0, when)), 1)
    7.4
    """
    field_nt = _field_nt(lat_deg, lon_deg, msl_ft, when_utc)
    return np.degrees(np.arctan2(field_nt[..., 1], field_nt[..., 0]))


def variation_sigma_deg(
    lat_deg: ArrayLike, lon_deg: ArrayLike, msl_ft: ArrayLike, when_utc: datetime
) -> FloatArray:
    """One standard uncertainty of the variation: the model's own and what it leaves out.

    Parameters
    ----------
    lat_deg, lon_deg, msl_ft, when_utc
        As for variation_deg.

    Returns
    -------
    ndarray, broadcast shape
        Standard uncertainty [deg], at least 0.26, at most 180; NaN where an input is NaN.

    Raises
    ------
    RangeError
        If the model is not valid at that time, or a place lies outside its range.
    ShapeError
        If the inputs do not broadcast.

    References
    ----------
    [WMM2025]_, error model: it grows as the horizontal field fades.
    """
    field_nt = _field_nt(lat_deg, lon_deg, msl_ft, when_utc)
    horizontal_nt = np.hypot(field_nt[..., 0], field_nt[..., 1])
    return np.minimum(np.hypot(_FLOOR_DEG, _SLOPE_DEG_NT / horizontal_nt), 180.0)


def _field_nt(
    lat_deg: ArrayLike, lon_deg: ArrayLike, msl_ft: ArrayLike, when_utc: datetime
) -> FloatArray:
    """Field toward north, east and down, broadcast shape with 3 more."""
    north_deg, east_deg, height_ft = broadcast(lat_deg, lon_deg, msl_ft)
    check_range("lat_deg", north_deg, -90.0, 90.0, "deg")
    check_range("lon_deg", east_deg, -540.0, 540.0, "deg")
    check_range("msl_ft", height_ft, _LOWEST_FT, _HIGHEST_FT, "ft")
    coefficients_nt = _coefficients_nt(decimal_year(when_utc))
    lat_rad, lon_rad = np.radians(north_deg.ravel()), np.radians(east_deg.ravel())
    height_km = height_ft.ravel() * M_PER_FT / _M_PER_KM
    field_nt = np.empty((north_deg.size, 3))
    for start in range(0, north_deg.size, _BLOCK):
        some = slice(start, start + _BLOCK)
        field_nt[some] = kernel.field_nt(
            lat_rad[some], lon_rad[some], height_km[some], coefficients_nt
        )
    return field_nt.reshape(*north_deg.shape, 3)


def _coefficients_nt(year: float) -> tuple[FloatArray, FloatArray]:
    """Gauss coefficients (g, h) at a time; RangeError where the model is not valid."""
    model = _model()
    last_year = model.epoch_year + _VALID_YEARS
    if not model.epoch_year <= year <= last_year:
        raise RangeError(
            f"when_utc is {year:.2f}; {model.name} is valid from {model.epoch_year:.1f}"
            f" to {last_year:.1f} and its successor must be installed for later dates"
        )
    elapsed = year - model.epoch_year
    return model.g_nt + elapsed * model.g_change_nt, model.h_nt + elapsed * model.h_change_nt


@lru_cache(maxsize=1)
def _model() -> _Model:
    """The publisher's coefficient file: a heading, rows of n, m, g, h and their changes."""
    path = Path(str(distribution("wmm-calculator").locate_file("wmm/coefs/WMM.COF")))
    heading, *lines = path.read_text(encoding="ascii").splitlines()
    epoch, name, _ = heading.split()
    rows = np.array([line.split() for line in lines if len(line.split()) == 6], dtype=np.float64)
    degree, order = rows[:, :2].astype(np.int64).T
    tables = np.zeros((4, degree.max() + 1, degree.max() + 1))
    tables[:, degree, order] = rows[:, 2:].T
    g_nt, h_nt, g_change_nt, h_change_nt = tables
    return _Model(
        name=name,
        epoch_year=float(epoch),
        g_nt=g_nt,
        h_nt=h_nt,
        g_change_nt=g_change_nt,
        h_change_nt=h_change_nt,
    )
