"""The main magnetic field from spherical harmonics, on the WGS84 ellipsoid.

The field is the gradient of a sum of terms of degree n and order m, each a Gauss coefficient
times a radial power, a Legendre function of latitude and a wave in longitude. Tables have
shape (degree, order, n places). Legendre functions of order 1 and up are kept divided by the
cosine of latitude, so that nothing is divided by it and the poles need no exception. Source:
[WMM2025]_, equations of the main field. Nothing here checks its input; the public functions
in ``magnetic`` do.
"""

from functools import lru_cache
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray

_SEMI_MAJOR_KM: Final = 6378.137  # [WGS84]_
_FLATTENING: Final = 1.0 / 298.257223563  # [WGS84]_
_ECCENTRICITY_SQUARED: Final = _FLATTENING * (2.0 - _FLATTENING)
_REFERENCE_KM: Final = 6371.2  # geomagnetic reference radius, [WMM2025]_


def field_nt(
    lat_rad: FloatArray,
    lon_rad: FloatArray,
    ellipsoid_km: FloatArray,
    coefficients_nt: tuple[FloatArray, FloatArray],
) -> FloatArray:
    """Field toward geodetic north, east and down, shape (n, 3), of coefficients (g, h)."""
    sin_lat, cos_lat, radius_km = _geocentric(lat_rad, ellipsoid_km)
    g, h = (table_nt[..., np.newaxis] for table_nt in coefficients_nt)
    number = np.arange(float(len(g)))[:, np.newaxis]  # of degrees down a table, of orders across
    cos_wave, sin_wave = np.cos(number * lon_rad), np.sin(number * lon_rad)
    in_phase = g * cos_wave + h * sin_wave
    quadrature = number * (g * sin_wave - h * cos_wave)
    over_cos, legendre, colat_slope = _legendre(sin_lat, cos_lat, len(g))
    radial = (_REFERENCE_KM / radius_km) ** (number + 2.0)
    north_nt = (radial * (in_phase * colat_slope).sum(axis=1)).sum(axis=0)
    east_nt = (radial * (quadrature * over_cos).sum(axis=1)).sum(axis=0)
    down_nt = -((number + 1.0) * radial * (in_phase * legendre).sum(axis=1)).sum(axis=0)
    turn_rad = np.arctan2(sin_lat, cos_lat) - lat_rad
    return _turn_to_geodetic_nt(north_nt, east_nt, down_nt, turn_rad)


def _geocentric(
    lat_rad: FloatArray, ellipsoid_km: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Sine and cosine of geocentric latitude, and distance from the center."""
    prime_km = _SEMI_MAJOR_KM / np.sqrt(1.0 - _ECCENTRICITY_SQUARED * np.sin(lat_rad) ** 2)
    out_km = (prime_km + ellipsoid_km) * np.cos(lat_rad)
    up_km = (prime_km * (1.0 - _ECCENTRICITY_SQUARED) + ellipsoid_km) * np.sin(lat_rad)
    radius_km = np.hypot(out_km, up_km)
    return up_km / radius_km, out_km / radius_km, radius_km


def _turn_to_geodetic_nt(
    north_nt: FloatArray, east_nt: FloatArray, down_nt: FloatArray, turn_rad: FloatArray
) -> FloatArray:
    cos_turn, sin_turn = np.cos(turn_rad), np.sin(turn_rad)
    geodetic_north_nt = north_nt * cos_turn - down_nt * sin_turn
    geodetic_down_nt = north_nt * sin_turn + down_nt * cos_turn
    return np.stack([geodetic_north_nt, east_nt, geodetic_down_nt], axis=-1)


def _legendre(
    sine_ratio: FloatArray, cosine_ratio: FloatArray, size: int
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Schmidt semi-normalized Legendre tables: over the cosine, whole, slope in colatitude."""
    before, twice_before, diagonal = _recursion_factors(size)
    over_cos = np.zeros((size, size, *sine_ratio.shape))
    over_cos[0, 0] = 1.0
    over_cos[1, 0], over_cos[1, 1] = sine_ratio, 1.0
    for n in range(2, size):
        over_cos[n, :n] = before[n, :n] * sine_ratio * over_cos[n - 1, :n]
        over_cos[n, :n] -= twice_before[n, :n] * over_cos[n - 2, :n]
        over_cos[n, n] = diagonal[n] * cosine_ratio * over_cos[n - 1, n - 1]
    legendre = over_cos * cosine_ratio
    legendre[:, 0] = over_cos[:, 0]
    less, more = _slope_factors(size)
    slope = np.zeros_like(legendre)
    slope[:, 1:] = less[:, 1:] * legendre[:, :-1]
    slope[:, :-1] -= more[:, :-1] * legendre[:, 1:]
    return over_cos, legendre, slope


@lru_cache
def _recursion_factors(size: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """What each degree takes of the one before, of the one before that, and the diagonal."""
    n, m = np.mgrid[0.0:size, 0.0:size][..., np.newaxis]
    below = m < n
    root = np.sqrt(np.where(below, n**2 - m**2, 1.0))
    before = np.where(below, (2.0 * n - 1.0) / root, 0.0)
    twice_before = np.where(below, np.sqrt(np.maximum((n - 1.0) ** 2 - m**2, 0.0)) / root, 0.0)
    degree = np.arange(1.0, size)
    diagonal = np.concatenate([[1.0], np.sqrt((2.0 * degree - 1.0) / (2.0 * degree))])
    return before, twice_before, diagonal


@lru_cache
def _slope_factors(size: int) -> tuple[FloatArray, FloatArray]:
    """What the slope of each function takes of its neighbors of one order less and one more."""
    n, m = np.mgrid[0.0:size, 0.0:size][..., np.newaxis]
    kept = m <= n
    less = np.sqrt(np.where(kept, (n + m) * (n - m + 1.0), 0.0)) / 2.0
    more = np.sqrt(np.where(kept, (n + m + 1.0) * (n - m), 0.0)) / 2.0
    # Order 0 is normalized without the factor of two that all others have under their root.
    less[:, 1] *= np.sqrt(2.0)
    more[:, 0] *= np.sqrt(2.0)
    return less, more
