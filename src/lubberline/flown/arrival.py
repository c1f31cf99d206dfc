"""The last miles of a landing as columns: along the runway, right of it, above it.

Heights are above the runway under the airplane: the level that the recorder showed on the roll
after this touchdown, carried along the runway's published slope. So neither altimeter setting nor
the recorder's place in the airplane matters. Times are the recording's.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, median, wrap_180_deg
from lubberline.flown.case import Case
from lubberline.flown.model import Movement
from lubberline.flown.motion import FlownMotion
from lubberline.flown.strip import Strip, strip_under
from lubberline.units import FT_PER_NM

BEFORE_S: Final = 300.0
GNSS_WANDER_FT: Final = 4.0  # own: of satellite heights from the threshold to the roll
ROLL_S: Final = (2.0, 15.0)  # after touchdown, the level of the runway
AFTER_S: Final = 120.0
LINED_UP_DEG: Final = 25.0
FINAL_NM: Final = 0.4  # own: farther to the side, or ...
CONE_FRACTION: Final = 0.12  # ... of the distance, ...
LINE_FT: Final = 100.0  # ... and this much more, is not yet on final
PITCHING_FT: Final = 0.7  # own: a recorder rises and sinks against the wheels with the nose


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Arrival:
    """Columns of shape (n,) around one touchdown; ``final`` is True on the last straight part.

    ``height_sigma_ft`` is the doubt of a single smoothed height with that of the level.
    """

    movement: Movement
    strip: Strip
    time_s: FloatArray
    along_ft: FloatArray
    right_ft: FloatArray
    above_ft: FloatArray
    climb_fpm: FloatArray
    ground_kt: FloatArray
    track_true_deg: FloatArray
    bank_deg: FloatArray
    place_sigma_ft: float
    height_sigma_ft: float
    final: BoolArray

    def at(self, column: FloatArray, time_s: float) -> float:
        """A column at a moment."""
        return float(np.interp(time_s, self.time_s, column))

    def first(self, mask: BoolArray) -> int | None:
        """The first row where the mask holds."""
        rows = np.flatnonzero(mask)
        return int(rows[0]) if rows.size else None

    def between(self, high_ft: float, low_ft: float) -> BoolArray:
        """True on final between two heights above the runway."""
        return self.final & (self.above_ft <= high_ft) & (self.above_ft >= low_ft)


def arrival(case: Case, motion: FlownMotion, movement: Movement) -> Arrival | None:
    """The arrival that ends in a landing or a touch-and-go; None without heights or places."""
    touch_s = movement.time_s
    leaves_s = touch_s + AFTER_S if movement.until_s is None else movement.until_s
    start, stop = np.searchsorted(motion.time_s, [touch_s - BEFORE_S, leaves_s + 1.0])
    near = motion.part(slice(int(start), int(stop)))
    time_s = near.time_s
    if time_s.size < 5 or not time_s[0] <= touch_s <= time_s[-1]:
        return None
    track_deg = near.track_true_deg
    strip = strip_under(
        movement, case.places, track_true_deg=float(np.interp(touch_s - 10.0, time_s, track_deg))
    )
    along_ft, right_ft = strip.along_right_ft(near.lat_deg, near.lon_deg)
    flat_ft = near.height_ft - strip.slope_fraction * along_ft
    roll = (time_s >= touch_s + ROLL_S[0]) & (time_s <= min(touch_s + ROLL_S[1], leaves_s - 1.0))
    if not roll.any() or not np.isfinite(flat_ft[roll]).any():
        return None
    above_ft = flat_ft - median(flat_ft[roll])
    common_ft = PITCHING_FT if case.by_pressure else GNSS_WANDER_FT
    sigma_ft = float(np.hypot(median(near.height_sigma_ft), common_ft))
    return Arrival(
        movement=movement,
        strip=strip,
        time_s=time_s,
        along_ft=along_ft,
        right_ft=right_ft,
        above_ft=above_ft,
        climb_fpm=near.climb_fpm,
        ground_kt=near.ground_kt,
        track_true_deg=track_deg,
        bank_deg=near.bank_deg,
        place_sigma_ft=median(near.place_sigma_ft),
        height_sigma_ft=float(np.hypot(sigma_ft, sigma_ft / np.sqrt(roll.sum()))),
        final=on_final(time_s, along_ft, right_ft, strip, track_deg, touch_s),
    )


def on_final(
    time_s: FloatArray,
    along_ft: FloatArray,
    right_ft: FloatArray,
    strip: Strip,
    track_true_deg: FloatArray,
    end_s: float,
) -> BoolArray:
    """True from the moment it was last off the line, until the end."""
    off_deg = wrap_180_deg(track_true_deg - strip.true_deg)
    off = off_line(along_ft, right_ft, off_deg) & (time_s < end_s)
    since = np.flatnonzero(off)
    first = int(since[-1]) + 1 if since.size else 0
    rows = np.arange(time_s.size)
    return (rows >= first) & (time_s <= end_s)


def off_line(along_ft: FloatArray, right_ft: FloatArray, off_deg: FloatArray) -> BoolArray:
    """True where it goes elsewhere than the runway, or is too far aside of its line."""
    wide_ft = np.minimum(FINAL_NM * FT_PER_NM, LINE_FT + CONE_FRACTION * np.maximum(-along_ft, 0.0))
    return np.asarray((np.abs(off_deg) > LINED_UP_DEG) | (np.abs(right_ft) > wide_ft))
