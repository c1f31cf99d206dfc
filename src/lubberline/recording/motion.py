"""Speed over the ground, direction, turn, height and climb from a track, each with its doubt.

All come from local parabolas through positions and heights (``_local_fit``); what a recorder
itself calls speed stays in its channel. The sigmas say what the scatter of the samples around
the parabolas says: they hold for noise that changes from sample to sample and for rounding. A
height that is off as a whole, or a smoothed-out jerk, is not in them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from lubberline.arrays import FloatArray, IntArray, wrap_360_deg
from lubberline.errors import RangeError
from lubberline.recording._local_fit import Fit, local_fit
from lubberline.recording.clean import GAP_S, GAP_STEPS
from lubberline.recording.model import Gap, Track
from lubberline.units import KT_PER_MPS, S_PER_MIN

HeightKind = Literal["pressure", "gnss", "none"]

POSITION_HALF_S: Final = 5.0  # own: shorter than a ground roll, longer than the noise of fixes
HEIGHT_HALF_S: Final = 8.0  # own: heights are rounder than positions
KNOWN_SIGMAS: Final = 2.0  # own: slower than this many sigmas has no direction
ENOUGH_FRACTION: Final = 0.8  # own: pressure heights are used unless satellites gave many more

_EQUATOR_M: Final = 6_378_137.0  # WGS-84 semi-major axis [WGS84]
_ECCENTRICITY_SQUARED: Final = 6.694_379_990_14e-3  # WGS-84, derived constant [WGS84]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Motion:
    """Columns of shape (n,) at the samples of a track; NaN where the samples do not say.

    Sigmas are standard uncertainties. ``track_true_deg`` and ``turn_degps`` (positive to the
    right) are NaN at speeds that are not known to differ from 0. ``height_ft`` is the smoothed
    height of ``height_kind``.
    """

    time_s: FloatArray
    ground_kt: FloatArray
    ground_sigma_kt: FloatArray
    track_true_deg: FloatArray
    track_sigma_deg: FloatArray
    turn_degps: FloatArray
    turn_sigma_degps: FloatArray
    height_ft: FloatArray
    height_sigma_ft: FloatArray
    climb_fpm: FloatArray
    climb_sigma_fpm: FloatArray
    height_kind: HeightKind


def motion(
    track: Track,
    *,
    gaps: Sequence[Gap] = (),
    position_half_s: float = POSITION_HALF_S,
    height_half_s: float = HEIGHT_HALF_S,
) -> Motion:
    """Derived columns of a track.

    Parameters
    ----------
    track : Track
        n samples.
    gaps : sequence of Gap
        Spans that nothing reaches across, as the recording lists them. Steps longer than
        10 s and five usual steps are gaps in any case.
    position_half_s, height_half_s : float
        Half windows [s], above 0; a recorder slower than that gets 2.5 of its steps.

    Returns
    -------
    Motion
        Columns of shape (n,).

    Raises
    ------
    RangeError
        If a half window is not above 0.

    References
    ----------
    Radii of curvature: [WGS84]_. Variance of correlated residuals: [BAYLEY]_. The sigma of
    the speed includes what a parabola loses in a turn.
    """
    for name, half_s in (("position_half_s", position_half_s), ("height_half_s", height_half_s)):
        if not half_s > 0.0:
            raise RangeError(f"{name} is {half_s:g} s; expected more than 0 s")
    segment_index = _segments(track.time_s, gaps)
    over_ground = _over_ground(track, segment_index, position_half_s)
    kind, column_ft = _height(track)
    fit = local_fit(track.time_s, column_ft, segment_index, height_half_s)
    return Motion(
        time_s=track.time_s,
        height_ft=fit.values,
        height_sigma_ft=fit.sigma_values,
        climb_fpm=fit.slope_values * S_PER_MIN,
        climb_sigma_fpm=fit.slope_sigma_values * S_PER_MIN,
        height_kind=kind,
        **over_ground,
    )


def _segments(time_s: FloatArray, gaps: Sequence[Gap]) -> IntArray:
    """Number of the stretch between gaps that each sample lies in."""
    if time_s.size < 2:
        return np.zeros(time_s.shape, dtype=np.int64)
    step_s = np.diff(time_s)
    broken = step_s > max(GAP_S, GAP_STEPS * float(np.median(step_s)))
    ends = np.searchsorted(time_s, [gap.end_s for gap in gaps]) - 1
    broken[ends[(ends >= 0) & (ends < broken.size)]] = True
    return np.concatenate([[0], np.cumsum(broken)]).astype(np.int64)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Going:
    """Speed and acceleration to one side, and their sigmas, in meters and seconds."""

    mps: FloatArray
    sigma_mps: FloatArray
    mps2: FloatArray
    sigma_mps2: FloatArray


def _going(fit: Fit, m_per_deg: FloatArray) -> _Going:
    return _Going(
        mps=fit.slope_values * m_per_deg,
        sigma_mps=fit.slope_sigma_values * m_per_deg,
        mps2=fit.curve_values * m_per_deg,
        sigma_mps2=fit.curve_sigma_values * m_per_deg,
    )


def _over_ground(
    track: Track, segment_index: IntArray, half_window_s: float
) -> dict[str, FloatArray]:
    """Speed, direction and turn from the slopes and curvatures of latitude and longitude."""
    lon_deg = np.array(track.lon_deg)
    known = np.isfinite(lon_deg)
    lon_deg[known] = np.unwrap(lon_deg[known], period=360.0)
    lat_fit = local_fit(track.time_s, track.lat_deg, segment_index, half_window_s)
    lon_fit = local_fit(track.time_s, lon_deg, segment_index, half_window_s)
    north_m, east_m = _m_per_deg(lat_fit.values)
    north, east = _going(lat_fit, north_m), _going(lon_fit, east_m)
    speed_mps = np.hypot(north.mps, east.mps)
    with np.errstate(invalid="ignore", divide="ignore"):
        along = np.hypot(north.mps * north.sigma_mps, east.mps * east.sigma_mps) / speed_mps
        still = np.hypot(north.sigma_mps, east.sigma_mps)
        sigma_mps = np.where(speed_mps > 0.0, along, still)
        moving = speed_mps > KNOWN_SIGMAS * sigma_mps
        columns = _direction(north, east, speed_mps)
    columns = {name: np.where(moving, column, np.nan) for name, column in columns.items()}
    # A parabola cuts the corner of a turn: the third term of the circle, seen through the
    # weights, shortens the slope by this part.
    short = np.nan_to_num(np.radians(columns["turn_degps"]) * lat_fit.half_s) ** 2 / 14.0
    return columns | {
        "ground_kt": speed_mps * KT_PER_MPS,
        "ground_sigma_kt": np.hypot(sigma_mps, short * speed_mps) * KT_PER_MPS,
    }


def _direction(north: _Going, east: _Going, speed_mps: FloatArray) -> dict[str, FloatArray]:
    """Track and turn with their sigmas; what is across the path over what is along it."""
    squared = speed_mps**2
    turned = north.mps * east.mps2 - east.mps * north.mps2
    turned_sigma = np.hypot(north.mps * east.sigma_mps2, east.mps * north.sigma_mps2)
    across = np.hypot(east.mps * north.sigma_mps, north.mps * east.sigma_mps)
    return {
        "track_true_deg": wrap_360_deg(np.degrees(np.arctan2(east.mps, north.mps))),
        "track_sigma_deg": np.degrees(across / squared),
        "turn_degps": np.degrees(turned / squared),
        "turn_sigma_degps": np.degrees(turned_sigma / squared),
    }


def _m_per_deg(lat_deg: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Meters per degree of latitude and of longitude on the ellipsoid [WGS84]_."""
    sine = np.sin(np.radians(lat_deg))
    root = np.sqrt(1.0 - _ECCENTRICITY_SQUARED * sine**2)
    meridian_m = _EQUATOR_M * (1.0 - _ECCENTRICITY_SQUARED) / root**3
    parallel_m = _EQUATOR_M / root * np.cos(np.radians(lat_deg))
    return np.radians(meridian_m), np.radians(parallel_m)


def _height(track: Track) -> tuple[HeightKind, FloatArray]:
    """The height to work with: pressure, unless satellites gave many more samples."""
    pressure = int(np.isfinite(track.pressure_ft).sum())
    gnss = int(np.isfinite(track.gnss_ft).sum())
    if pressure == gnss == 0:
        return "none", track.pressure_ft
    if pressure >= ENOUGH_FRACTION * gnss:
        return "pressure", track.pressure_ft
    return "gnss", track.gnss_ft
