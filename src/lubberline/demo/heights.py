"""Heights of an invented flight: the climb over time, the descent over distance, the swings.

Corners between them are rounded off. What the pilot does badly is in the swings, in the level
and in where the descent begins.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray
from lubberline.demo.route import AirTrack
from lubberline.demo.truth import Faults
from lubberline.units import MIN_PER_H, S_PER_MIN
from lubberline.ways import Motion

ROTATION_S: Final = 3.0  # from level to the full climb
FLARE_NM: Final = 0.1
SINK_FRACTION: Final = 0.2  # of the sink rate on final is left at the touchdown
GLIDE_FT_PER_NM: Final = 318.0  # 3 degrees; steeper where the track leaves less room
LEVEL_BEFORE_NM: Final = 1.0  # at pattern height so far before the pattern
ROUNDED_FT: Final = 120.0  # of height over which a corner is rounded off
CLEAR_FT: Final = 250.0  # climb and descent this far above the level have no more part in it
SETTLED_S, SWELL_S = 20.0, 60.0  # a level is held well at first, and before the descent
EDGE_NM, SWELL_NM = 6.0, 3.0  # nobody weaves near the fields
SWING_S, SWING_NM = 170.0, 12.0  # of the slow swings in height, and from side to side


@dataclass(frozen=True, slots=True, kw_only=True)
class Levels:
    """The heights of a flight: runways, cruise, pattern."""

    departure_msl_ft: float
    destination_msl_ft: float
    cruise_msl_ft: float
    pattern_msl_ft: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Wave:
    """A slow swing of size 1 with a little irregularity: three sines of random phase."""

    phases_rad: tuple[float, float, float]

    def at(self, turn_ratio: FloatArray) -> FloatArray:
        """The swing after so many periods, shape as given."""
        parts = zip(self.phases_rad, (0.75, 0.2, 0.3), (1.0, 1.64, 0.43), strict=True)
        waves = [
            size * np.sin(2.0 * np.pi * often * turn_ratio + phase) for phase, size, often in parts
        ]
        return np.asarray(np.sum(waves, axis=0))


def drawn_wave(random: np.random.Generator) -> Wave:
    """A wave with phases by chance."""
    first, second, third = random.uniform(0.0, 2.0 * np.pi, 3).tolist()
    return Wave(phases_rad=(first, second, third))


def climb_ft(time_s: FloatArray, levels: Levels, motion: Motion) -> FloatArray:
    """Height of a climb from the lift-off on, at the airplane's rate, shape (m,).

    The rate falls with height, so that the climb nears its end exponentially.
    """
    climbing_s = ROTATION_S * _ramp(time_s / ROTATION_S)
    per_s_ft = motion.climb_fpm / S_PER_MIN
    if motion.zero_climb_ft == 0.0:
        return levels.departure_msl_ft + per_s_ft * climbing_s
    left_ft = motion.zero_climb_ft - levels.departure_msl_ft
    left_ratio = np.exp(-per_s_ft / motion.zero_climb_ft * climbing_s)
    return np.asarray(motion.zero_climb_ft - left_ft * left_ratio)


def descent_ft(
    track: AirTrack, levels: Levels, motion: Motion, *, ground_kt: FloatArray, late_nm: float
) -> FloatArray:
    """Height of the descent to pattern height and on to the touchdown, shape (m,).

    ``ground_kt`` is the ground speed in the descent. ``late_nm`` is how late it begins; it ends
    at the same place and is that much steeper.
    """
    to_go_nm = track.to_go_nm
    level_nm = track.join_to_go_nm + LEVEL_BEFORE_NM
    slope = motion.descent_fpm * MIN_PER_H / ground_kt  # ft per NM
    rise_ft = np.concatenate([[0.0], -np.cumsum(np.diff(to_go_nm) * slope[1:])])
    above_ft = np.interp(level_nm, to_go_nm[::-1], rise_ft[::-1]) - rise_ft
    top_ft = levels.cruise_msl_ft - levels.pattern_msl_ft
    length_nm = np.interp(top_ft, above_ft[::-1], to_go_nm[::-1]) - level_nm
    steeper = length_nm / (length_nm - late_nm)
    longer_nm = level_nm + (to_go_nm - level_nm) * steeper
    line_ft = levels.pattern_msl_ft + np.interp(longer_nm, to_go_nm[::-1], above_ft[::-1])
    held_ft = -lower_of(-line_ft, np.full(line_ft.shape, -levels.pattern_msl_ft))
    return lower_of(held_ft, _glide_ft(track, levels))


def level_part(upward_ft: FloatArray, downward_ft: FloatArray, level_ft: float) -> BoolArray:
    """True from the level-off to the start down, shape (m,)."""
    return np.asarray(np.minimum(upward_ft, downward_ft) > level_ft + CLEAR_FT)


def swing_ft(time_s: FloatArray, level: BoolArray, faults: Faults, wave: Wave) -> FloatArray:
    """The swing about the cruising height, nothing at its ends, shape (m,)."""
    start_s, stop_s = time_s[level][[0, -1]]
    swell = _eased((time_s - start_s - SETTLED_S) / SWELL_S)
    swell *= _eased((stop_s - SETTLED_S - time_s) / SWELL_S)
    done = np.clip((time_s - start_s) / (stop_s - start_s), 0.0, 1.0)
    grown = 1.0 + (faults.height_swing_growth_factor - 1.0) * done
    return np.asarray(faults.height_swing_ft * grown * swell * wave.at(time_s / SWING_S))


def weave_nm(track: AirTrack, faults: Faults, wave: Wave) -> FloatArray:
    """How far to the right of the way the airplane weaves, shape (m,)."""
    gone_nm = track.line.along_nm
    swell = _eased((gone_nm - EDGE_NM) / SWELL_NM)
    swell *= _eased((track.to_go_nm - track.join_to_go_nm - EDGE_NM) / SWELL_NM)
    return np.asarray(faults.track_swing_nm * swell * wave.at(gone_nm / SWING_NM))


def lower_of(first_ft: FloatArray, second_ft: FloatArray) -> FloatArray:
    """The lower of two heights, bending from one into the other over ``ROUNDED_FT``."""
    share = np.clip(0.5 + (second_ft - first_ft) / (2.0 * ROUNDED_FT), 0.0, 1.0)
    mixed_ft = first_ft * share + second_ft * (1.0 - share)
    return np.asarray(mixed_ft - ROUNDED_FT * share * (1.0 - share))


def _glide_ft(track: AirTrack, levels: Levels) -> FloatArray:
    """The path from pattern height to the touchdown, with its flare."""
    agl_ft = levels.pattern_msl_ft - levels.destination_msl_ft
    room_nm = min(track.glide_to_go_nm, agl_ft / GLIDE_FT_PER_NM)
    whole_nm = room_nm - (1.0 - SINK_FRACTION) * FLARE_NM / 2.0
    to_go_nm = track.to_go_nm
    curved_nm = FLARE_NM * _ramp(to_go_nm / FLARE_NM)
    sunk_nm = SINK_FRACTION * to_go_nm + (1.0 - SINK_FRACTION) * curved_nm
    return np.asarray(levels.destination_msl_ft + agl_ft * sunk_nm / whole_nm)


def _eased(share_fraction: FloatArray) -> FloatArray:
    """From 0 to 1 without a kink, held outside."""
    held = np.clip(share_fraction, 0.0, 1.0)
    return np.asarray(held * held * (3.0 - 2.0 * held))


def _ramp(gone_ratio: FloatArray) -> FloatArray:
    """A ramp from 0 whose slope grows evenly to 1 over the first unit."""
    inside = np.minimum(gone_ratio, 1.0)
    return np.asarray(inside**2 / 2.0 + (gone_ratio - inside))
