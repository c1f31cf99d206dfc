"""How long a straight piece of a way takes, and what it burns, with wind by height.

The airplane spends ``|dz| / rate`` minutes at its climb or descent airspeed and the rest at
its cruising airspeed; a piece steeper than the rate is flown by circling. Wind and rate are
those of the middle height of pieces of at most 250 ft, so that a long climb through shear is
the sum of short ones. Displacements and wind are components in the problem's plane. The time
is a root of a quadratic, found in closed form; a piece that the wind does not let the airplane
fly has NaN.
"""

from dataclasses import dataclass, fields
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.air import wind_east_north_kt
from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.errors import NoSolution
from lubberline.units import MIN_PER_H
from lubberline.ways.problem import Motion
from lubberline.weather import WindsAloft

PIECE_FT: Final = 250.0  # the problem's definition: most height change of one piece
LEAST_CLIMB_FPM: Final = 100.0  # the problem's definition: no climb is slower


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Flown:
    """What straight pieces or legs come to; columns of shape (n,), NaN where not flyable.

    ``slope_min`` is the part of ``time_min`` at climb or descent airspeed, ``air_nm`` the
    distance through the air; ``drift_east_nm`` and ``drift_north_nm`` are what the wind
    carried the airplane.
    """

    time_min: FloatArray
    slope_min: FloatArray
    fuel_gal: FloatArray
    air_nm: FloatArray
    drift_east_nm: FloatArray
    drift_north_nm: FloatArray


def wind_toward_kt(aloft: WindsAloft, msl_ft: ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Wind at a height as speed toward east and toward north [kt].

    Parameters
    ----------
    aloft : WindsAloft
        Rows by height; components are interpolated linearly and held outside the rows.
        Without any row the air is still: whoever shows the result says that it is a guess.
    msl_ft : array_like, shape S
        Height above mean sea level [ft].

    Returns
    -------
    tuple of ndarray, shape S
        East and north components of where the air goes [kt].
    """
    height_ft = np.asarray(msl_ft, dtype=np.float64)
    if aloft.msl_ft.size == 0:
        return np.zeros_like(height_ft), np.zeros_like(height_ft)
    east_kt, north_kt = wind_east_north_kt(aloft.from_true_deg, aloft.wind_kt)
    return (
        np.asarray(np.interp(height_ft, aloft.msl_ft, east_kt)),
        np.asarray(np.interp(height_ft, aloft.msl_ft, north_kt)),
    )


def slope_rate_fpm(motion: Motion, msl_ft: ArrayLike, *, climbing: BoolArray | bool) -> FloatArray:
    """Rate of climb, or of descent, at a height [ft/min], both positive."""
    height_ft = np.asarray(msl_ft, dtype=np.float64)
    lost_ratio = height_ft / motion.zero_climb_ft if motion.zero_climb_ft else 0.0 * height_ft
    climb_fpm = np.maximum(motion.climb_fpm * (1.0 - lost_ratio), LEAST_CLIMB_FPM)
    return np.where(climbing, climb_fpm, motion.descent_fpm)


def fly(
    motion: Motion,
    aloft: WindsAloft,
    *,
    east_nm: FloatArray,
    north_nm: FloatArray,
    msl_ft: FloatArray,
    most_tas_kt: FloatArray | None = None,
) -> Flown:
    """Time, fuel and drift of each straight leg between successive points.

    Parameters
    ----------
    motion, aloft
        The airplane and the wind.
    east_nm, north_nm, msl_ft : ndarray, shape (m,)
        Points in the problem's plane [NM] and their heights [ft MSL].
    most_tas_kt : ndarray, shape (m - 1,), optional
        Greatest true airspeed of each leg [kt], where it is limited.

    Returns
    -------
    Flown, columns of shape (m - 1,)
        NaN where the wind does not let the airplane fly the leg.

    References
    ----------
    The problem's definition of motion (own); without wind it is distance over speed, in a
    steady wind the wind triangle of [PHAK]_, chapter 16.
    """
    rise_ft = np.diff(msl_ft)
    counts = np.maximum(np.ceil(np.abs(rise_ft) / PIECE_FT - 1e-9), 1.0).astype(np.int64)
    first = np.cumsum(counts) - counts
    leg_index = np.repeat(np.arange(rise_ft.size), counts)
    shares = 1.0 / counts[leg_index]
    place = np.arange(leg_index.size) - first[leg_index]
    middle_ft = msl_ft[leg_index] + rise_ft[leg_index] * shares * (place + 0.5)
    pieces = _fly_pieces(
        motion,
        aloft,
        east_nm=np.diff(east_nm)[leg_index] * shares,
        north_nm=np.diff(north_nm)[leg_index] * shares,
        rise_ft=rise_ft[leg_index] * shares,
        middle_ft=middle_ft,
        most_tas_kt=np.inf if most_tas_kt is None else most_tas_kt[leg_index],
    )
    return _sum_by_leg(pieces, first)


def require_flyable(flown: Flown, *, msl_ft: FloatArray, aloft: WindsAloft) -> None:
    """Raise NoSolution naming the first leg that the wind does not let the airplane fly."""
    if not np.isnan(flown.time_min).any():
        return
    leg = int(np.flatnonzero(np.isnan(flown.time_min))[0])
    height_ft = float(msl_ft[leg])
    wind_kt = float(np.hypot(*wind_toward_kt(aloft, height_ft)))
    raise NoSolution(
        f"leg {leg + 1} at {height_ft:.0f} ft cannot be flown in {wind_kt:.0f} kt of wind:"
        " the airplane makes no headway; choose another height or another day"
    )


def _sum_by_leg(pieces: Flown, first: IntArray) -> Flown:
    """Sums over the pieces of each leg, given the first of each."""
    names = [one.name for one in fields(pieces)]
    sums = np.add.reduceat(np.stack([getattr(pieces, name) for name in names]), first, axis=1)
    return Flown(**dict(zip(names, sums, strict=True)))


def _fly_pieces(
    motion: Motion,
    aloft: WindsAloft,
    *,
    east_nm: FloatArray,
    north_nm: FloatArray,
    rise_ft: FloatArray,
    middle_ft: FloatArray,
    most_tas_kt: FloatArray | float,
) -> Flown:
    climbing = rise_ft > 0.0
    wind_east_kt, wind_north_kt = wind_toward_kt(aloft, middle_ft)
    slope_min = np.abs(rise_ft) / slope_rate_fpm(motion, middle_ft, climbing=climbing)
    slope_kt = np.where(climbing, motion.climb_tas_kt, motion.descent_tas_kt)
    cruise_kt = np.minimum(motion.cruise_tas_kt, most_tas_kt)
    cruise_nm_min = cruise_kt / MIN_PER_H
    lost_nm = slope_min * (cruise_kt - np.minimum(slope_kt, most_tas_kt)) / MIN_PER_H
    time_min = _least_min(
        displaced_nm=(east_nm, north_nm),
        wind_nm_min=(wind_east_kt / MIN_PER_H, wind_north_kt / MIN_PER_H),
        cruise_nm_min=cruise_nm_min,
        lost_nm=lost_nm,
        slope_min=slope_min,
    )
    slope_gph = np.where(climbing, motion.climb_gph, motion.descent_gph)
    level_min = time_min - slope_min
    return Flown(
        time_min=time_min,
        slope_min=slope_min,
        fuel_gal=(slope_min * slope_gph + level_min * motion.cruise_gph) / MIN_PER_H,
        air_nm=time_min * cruise_nm_min - lost_nm,
        drift_east_nm=time_min * wind_east_kt / MIN_PER_H,
        drift_north_nm=time_min * wind_north_kt / MIN_PER_H,
    )


def _least_min(
    *,
    displaced_nm: tuple[FloatArray, FloatArray],
    wind_nm_min: tuple[FloatArray, FloatArray],
    cruise_nm_min: FloatArray,
    lost_nm: FloatArray,
    slope_min: FloatArray,
) -> FloatArray:
    """Least t with ``|D - W t| <= V t - K`` and t no less than the slope needs.

    What is left over where the slope decides is flown away by circling. Squared, the equation
    is a t^2 - 2 b t + c = 0; which root counts depends on whether the wind outruns the airplane.
    """
    (d_east, d_north), (w_east, w_north) = displaced_nm, wind_nm_min
    v, k = cruise_nm_min, lost_nm
    a = v**2 - (w_east**2 + w_north**2)
    b = v * k - (d_east * w_east + d_north * w_north)
    c = k**2 - (d_east**2 + d_north**2)
    outrun = a > 0.0
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        root = np.sqrt(np.where(outrun, np.maximum(b**2 - a * c, 0.0), b**2 - a * c))
        # The sum that does not cancel, and the other root through the product of both.
        sum_b = np.where(b >= 0.0, b + root, b - root)
        behind, ahead = sum_b / a, c / sum_b
        slower_wind = np.maximum(np.where(b >= 0.0, behind, ahead), slope_min)
        if outrun.all():
            return slower_wind
        earliest = np.where(a < 0.0, np.fmin(behind, ahead), c / (2.0 * b))
        latest = np.where(a < 0.0, np.fmax(behind, ahead), np.inf)
        swept = np.maximum(earliest, slope_min)
        reached = (v * earliest >= k) & (swept <= latest) & ((a < 0.0) | (b < 0.0))
    return np.where(outrun, slower_wind, np.where(reached, swept, np.nan))
