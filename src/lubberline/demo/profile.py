"""Height, airspeed and time along the track of an invented flight.

The climb takes time, and time along the track depends on the wind at the height reached, so
height and time are found together, in a few rounds. Ground speed is airspeed plus wind
everywhere.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.air import wind_from_east_north, wind_triangle
from lubberline.arrays import BoolArray, FloatArray
from lubberline.demo.heights import (
    Levels,
    Wave,
    climb_ft,
    descent_ft,
    level_part,
    lower_of,
    swing_ft,
)
from lubberline.demo.route import AirTrack
from lubberline.demo.truth import Faults
from lubberline.demo.winds import Winds
from lubberline.units import S_PER_H
from lubberline.ways import Motion

ROUNDS_COUNT: Final = 8
FIRST_GUESS_KT: Final = 120.0
LIFTOFF_TAS_KT: Final = 67.0
TOUCHDOWN_TAS_KT: Final = 62.0
FINAL_TAS_KT: Final = 76.0
BASE_TAS_KT: Final = 86.0
PATTERN_TAS_KT: Final = 95.0
FASTEST_TAS_KT: Final = 152.0  # where slowing down for the pattern begins
CRAB_S: Final = 4.0  # from the runway's direction into the wind, and back


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Profile:
    """One row for each place of the track, shape (m,); ``level`` from level-off to start down."""

    time_s: FloatArray
    msl_ft: FloatArray
    tas_kt: FloatArray
    ground_kt: FloatArray
    correction_deg: FloatArray
    level: BoolArray


def lay_profile(
    track: AirTrack, levels: Levels, motion: Motion, *, winds: Winds, faults: Faults, wave: Wave
) -> Profile:
    """Heights, speeds and times along a track in the day's wind."""
    gone_nm = track.line.along_nm
    flight = _Air(track=track, winds=winds, course_true_deg=track.line.course_true_deg)
    middle_ft = np.full(gone_nm.shape, (levels.cruise_msl_ft + levels.pattern_msl_ft) / 2.0)
    downward_kt, _ = flight.ground(middle_ft, np.full(gone_nm.shape, motion.descent_tas_kt))
    downward_ft = descent_ft(
        track, levels, motion, ground_kt=downward_kt, late_nm=faults.start_down_late_nm
    )
    level_ft = levels.cruise_msl_ft + faults.height_bias_ft
    ground_kt = np.full(gone_nm.shape, FIRST_GUESS_KT)
    for _ in range(ROUNDS_COUNT):
        time_s = _time_s(gone_nm, ground_kt)
        upward_ft = climb_ft(time_s, levels, motion)
        level = level_part(upward_ft, downward_ft, level_ft)
        held_ft = level_ft + swing_ft(time_s, level, faults, wave)
        msl_ft = lower_of(lower_of(upward_ft, held_ft), downward_ft)
        tas_kt = _airspeed_kt(track, level, motion, fast_kt=faults.final_fast_kt)
        ground_kt, correction_deg = flight.ground(msl_ft, tas_kt)
    crabbing = np.minimum(time_s, time_s[-1] - time_s) / CRAB_S
    return Profile(
        time_s=time_s,
        msl_ft=msl_ft,
        tas_kt=tas_kt,
        ground_kt=ground_kt,
        correction_deg=correction_deg * np.clip(crabbing, 0.0, 1.0),
        level=level,
    )


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Air:
    """The wind along a track."""

    track: AirTrack
    winds: Winds
    course_true_deg: FloatArray

    def ground(self, msl_ft: FloatArray, tas_kt: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Ground speed [kt], and correction [deg] into the wind, shape (m,)."""
        outbound = self.track.line.along_nm < self.track.to_go_nm
        east_kt, north_kt = self.winds.at(msl_ft, outbound=outbound)
        from_true_deg, wind_kt = wind_from_east_north(east_kt, north_kt)
        correction_deg, ground_kt = wind_triangle(
            self.course_true_deg, tas_kt, wind_from_true_deg=from_true_deg, wind_kt=wind_kt
        )
        return ground_kt, correction_deg


def _airspeed_kt(
    track: AirTrack, level: BoolArray, motion: Motion, *, fast_kt: float
) -> FloatArray:
    """True airspeed along the track: what the phase asks for, or less where the field is near."""
    gone_nm, to_go_nm = track.line.along_nm, track.to_go_nm
    off_nm, down_nm = gone_nm[level][[0, -1]]
    climb_kt, cruise_kt, down_kt = motion.climb_tas_kt, motion.cruise_tas_kt, motion.descent_tas_kt
    by_phase_kt = np.interp(
        gone_nm,
        [0.0, 0.5, off_nm, off_nm + 2.5, down_nm, down_nm + 1.5],
        [LIFTOFF_TAS_KT, climb_kt, climb_kt, cruise_kt, cruise_kt, down_kt],
    )
    final_kt = FINAL_TAS_KT + fast_kt
    join_nm = track.join_to_go_nm
    to_land_kt = np.interp(
        to_go_nm,
        [0.0, 0.18, 1.8, 2.5, join_nm, join_nm + 2.4],
        [
            TOUCHDOWN_TAS_KT + 0.8 * fast_kt,
            final_kt,
            final_kt,
            max(BASE_TAS_KT, final_kt),
            PATTERN_TAS_KT,
            FASTEST_TAS_KT,
        ],
        right=np.inf,
    )
    return np.minimum(by_phase_kt, to_land_kt)


def _time_s(gone_nm: FloatArray, ground_kt: FloatArray) -> FloatArray:
    """Time along the track, from 0."""
    mean_kt = (ground_kt[:-1] + ground_kt[1:]) / 2.0
    return np.concatenate([[0.0], np.cumsum(np.diff(gone_nm) / mean_kt * S_PER_H)])
