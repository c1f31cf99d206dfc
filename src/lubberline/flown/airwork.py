"""What maneuvers are recognized by: heading, turn, bank, height and airspeed at the even steps.

Heading and airspeed are the recorded ones; without them they are those of the motion through
the air, with the wind that was met taken from the motion over the ground. Bank is the recorded
attitude, else that of a coordinated turn: its tangent is speed times turn rate over gravity.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.air import isa_temperature_degc, tas_from_cas_kt
from lubberline.arrays import FloatArray, IntArray, wrap_180_deg
from lubberline.flown.case import Case
from lubberline.flown.channels import at_even_steps
from lubberline.flown.cruise import SMOOTH_S, smooth_curve
from lubberline.flown.even import QUICK_S, local_line, segment_bounds
from lubberline.flown.ground import ground_below
from lubberline.flown.model import WindMet
from lubberline.units import MPS_PER_KT

G_MPS2: Final = 9.80665  # standard gravity, exact: 3rd CGPM (1901)
RATE_S: Final = 2.0  # half window of the turn rate
BANKS: Final = ("bank_deg", "roll_deg")


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Airwork:
    """Columns of shape (k,) at the steps aloft; NaN where not known.

    ``heading_deg`` runs on over 360 within a segment; turn and bank are positive to the right.
    ``agl_ft`` is above the ground, ``height_ft`` what the altimeter showed if
    ``is_indicated``. ``ias_kt`` is recorded, ``air_kt`` the speed through the air.
    """

    step_s: float
    time_s: FloatArray
    segment_index: IntArray
    east_nm: FloatArray
    north_nm: FloatArray
    heading_deg: FloatArray
    turn_degps: FloatArray
    bank_deg: FloatArray
    height_ft: FloatArray
    climb_fpm: FloatArray
    agl_ft: FloatArray
    ias_kt: FloatArray
    air_kt: FloatArray
    power_fraction: FloatArray
    height_sigma_ft: float
    ground_sigma_ft: float
    bank_sigma_deg: float
    heading_sigma_deg: float
    is_indicated: bool

    def __len__(self) -> int:
        """Number of steps."""
        return int(self.time_s.size)

    def steps(self, duration_s: float) -> int:
        """The number of steps in a span of time, at least one."""
        return max(1, round(duration_s / self.step_s))


def airwork(case: Case, winds: tuple[WindMet, ...]) -> Airwork:
    """The columns of one flight; ``winds`` are those that it met."""
    index, even = case.aloft_index, case.even
    segment_index = even.segment_index[index]
    east_kt, north_kt = _through_air_kt(case, winds)
    path_deg = _unwrapped(np.degrees(np.arctan2(east_kt, north_kt)), segment_index)
    turn_degps = local_line(path_deg, segment_index, even.steps(RATE_S))[1] / even.step_s
    heading_deg, heading_sigma_deg = _heading(case, path_deg)
    ias_kt = at_even_steps(case, "ias_kt")[index]
    air_kt = _air_kt(case, ias_kt, np.hypot(east_kt, north_kt) / _shortened(turn_degps))
    bank_deg, bank_sigma_deg = _bank(case, air_kt, turn_degps)
    height_ft = _height_ft(case, segment_index)
    ground_ft, ground_sigma_ft = ground_below(case)
    known_deg = even.lat_deg[index][np.isfinite(even.lat_deg[index])]
    middle_rad = np.radians(known_deg.mean() if known_deg.size else 0.0)
    return Airwork(
        step_s=even.step_s,
        time_s=even.time_s[index],
        segment_index=segment_index,
        east_nm=even.lon_deg[index] * 60.0 * np.cos(middle_rad),
        north_nm=even.lat_deg[index] * 60.0,
        heading_deg=heading_deg,
        turn_degps=turn_degps,
        bank_deg=bank_deg,
        height_ft=height_ft,
        climb_fpm=even.climb_fpm[index],
        agl_ft=case.height.indicated_ft[index] - ground_ft,
        ias_kt=ias_kt,
        air_kt=air_kt,
        power_fraction=_power(case),
        height_sigma_ft=max(5.0, case.height.noise_ft),
        ground_sigma_ft=float(
            np.hypot(ground_sigma_ft, np.nanmean(case.height.sigma_ft[index]))
            if index.size
            else ground_sigma_ft
        ),
        bank_sigma_deg=bank_sigma_deg,
        heading_sigma_deg=heading_sigma_deg,
        is_indicated=bool(np.isfinite(case.height.indicated_ft[index]).any()),
    )


def _through_air_kt(case: Case, winds: tuple[WindMet, ...]) -> tuple[FloatArray, FloatArray]:
    """Velocity over the ground less the wind of the nearest layer in time, if any is known."""
    index, even = case.aloft_index, case.even
    path_rad = np.radians(even.turning_true_deg[index])
    east_kt = even.ground_kt[index] * np.sin(path_rad)
    north_kt = even.ground_kt[index] * np.cos(path_rad)
    if not winds:
        return east_kt, north_kt
    middle_s = np.array([(one.start_s + one.end_s) / 2.0 for one in winds])
    nearest = np.argmin(np.abs(even.time_s[index][:, None] - middle_s), axis=1)
    toward_rad = np.radians([one.from_true_deg + 180.0 for one in winds])
    wind_kt = np.array([one.wind_kt for one in winds])
    return (
        east_kt - (wind_kt * np.sin(toward_rad))[nearest],
        north_kt - (wind_kt * np.cos(toward_rad))[nearest],
    )


def _shortened(turn_degps: FloatArray) -> FloatArray:
    """What a line fitted over a part of a circle keeps of the speed along it."""
    angle_rad = np.clip(np.radians(np.abs(np.nan_to_num(turn_degps))) * QUICK_S, 0.0, 1.5)
    return 1.0 - angle_rad**2 / 10.0


def _unwrapped(angle_deg: FloatArray, segment_index: IntArray) -> FloatArray:
    """Directions that run on over 360 within each segment."""
    run = np.full(angle_deg.shape, np.nan)
    for start, stop in segment_bounds(segment_index):
        known = np.flatnonzero(np.isfinite(angle_deg[start:stop])) + start
        run[known] = np.unwrap(angle_deg[known], period=360.0)
    return run


def _heading(case: Case, path_deg: FloatArray) -> tuple[FloatArray, float]:
    """The recorded heading, else the direction through the air; only its changes count."""
    for name in ("heading_true_deg", "heading_mag_deg"):
        column = at_even_steps(case, name)[case.aloft_index]
        if _mostly_known(column):
            return _unwrapped(column, case.even.segment_index[case.aloft_index]), 1.0
    return path_deg, 2.0


def _mostly_known(column: FloatArray) -> bool:
    return bool(np.isfinite(column).sum() > 0.9 * column.size)


def _air_kt(case: Case, ias_kt: FloatArray, by_path_kt: FloatArray) -> FloatArray:
    """True airspeed: recorded, from the gauge in standard air, else from the motion."""
    recorded_kt = at_even_steps(case, "tas_kt")[case.aloft_index]
    height_ft = np.clip(case.even.height_ft[case.aloft_index], -1_000.0, 36_000.0)
    by_gauge_kt = tas_from_cas_kt(
        np.clip(ias_kt, 0.0, 600.0), height_ft, isa_temperature_degc(height_ft)
    )
    first = np.where(np.isfinite(recorded_kt), recorded_kt, by_gauge_kt)
    return np.where(np.isfinite(first), first, by_path_kt)


def _bank(case: Case, air_kt: FloatArray, turn_degps: FloatArray) -> tuple[FloatArray, float]:
    """Bank and its doubt: attitude where recorded, else a coordinated turn."""
    for name in BANKS:
        column = at_even_steps(case, name)[case.aloft_index]
        if _mostly_known(column):
            return column, 1.0
    across = air_kt * MPS_PER_KT * np.radians(turn_degps) / G_MPS2
    return np.degrees(np.arctan(across)), 2.0


def _height_ft(case: Case, segment_index: IntArray) -> FloatArray:
    """Indicated height, else that of the recorder, without its noise: only changes count."""
    known = np.isfinite(case.height.indicated_ft[case.aloft_index]).any()
    column = case.height.indicated_ft if known else case.even.height_ft
    height_ft = column[case.aloft_index].copy()
    for start, stop in segment_bounds(segment_index):
        height_ft[start:stop] = smooth_curve(height_ft[start:stop], case.even.steps(SMOOTH_S / 2.0))
    return height_ft


def _power(case: Case) -> FloatArray:
    """Share of the highest power, manifold pressure or revolutions; NaN if none recorded."""
    for name in ("power_percent", "manifold_inhg", "map_inhg", "engine_rpm", "rpm"):
        column = at_even_steps(case, name)[case.aloft_index]
        if np.isfinite(column).any():
            return column / float(np.nanmax(column))
    return np.full(case.aloft_index.shape, np.nan)


def turned_deg(work: Airwork, start: int, stop: int) -> float:
    """Heading at the last step less that at the first, over all circles."""
    return float(work.heading_deg[stop - 1] - work.heading_deg[start])


def off_course_deg(work: Airwork, start: int, stop: int) -> float:
    """How far the heading at the end is from that at the start, whatever was turned."""
    return float(wrap_180_deg(turned_deg(work, start, stop)))
