"""Taking power off on the way down: when each step falls, and how late one may still start down.

The first steps begin where the way starts down, or before where the way down is too short for all
of them; the last ones end where it reaches pattern height.
"Not later than" is the moment from which the steepest descent with power on still reaches that
height in time. That power should come off in small steps is common practice, no source.
"""

from dataclasses import dataclass
from math import ceil, inf
from typing import Final

import numpy as np

from lubberline.aircraft import PowerDown
from lubberline.places import Aerodrome
from lubberline.ways.model import Way

STEEP_FACTOR: Final = 2.0  # own: times the planned rate, for the latest start without a file's word
_SAME_FT = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerStep:
    """One setting and the moment from which it holds."""

    after_min: float
    msl_ft: float
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WayDown:
    """The way down: from the last level piece above pattern height to that height."""

    from_min: float
    until_min: float
    drop_ft: float

    def late_fpm(self, late_min: float) -> float:
        """The rate that reaches pattern height in time if it begins so much later."""
        left_min = self.until_min - self.from_min - late_min
        return self.drop_ft / left_min if left_min > 0.0 else inf

    def latest_min(self, most_fpm: float | None) -> float:
        """Until when it may begin if no rate is greater than this one, or twice the planned."""
        most_fpm = most_fpm or STEEP_FACTOR * self.late_fpm(0.0)
        return max(self.from_min, self.until_min - self.drop_ft / most_fpm)


def way_down(way: Way, destination: Aerodrome) -> WayDown | None:
    """Where a way comes down to pattern height; None if it never is above it."""
    at_min, msl_ft = way.path[:, 3], way.path[:, 2]
    pattern_ft = destination.elev_msl_ft + destination.pattern_agl_ft
    above = np.flatnonzero(msl_ft > pattern_ft + _SAME_FT)
    if not above.size or above[-1] + 1 >= len(msl_ft):
        return None
    last = int(above[-1])
    first = last
    while first > 0 and msl_ft[first - 1] > msl_ft[first] + _SAME_FT:
        first -= 1
    until_min = np.interp(pattern_ft, msl_ft[[last + 1, last]], at_min[[last + 1, last]])
    return WayDown(
        from_min=float(at_min[first]),
        until_min=float(until_min),
        drop_ft=float(msl_ft[first] - pattern_ft),
    )


def power_steps(way: Way, down: WayDown, power: PowerDown) -> tuple[PowerStep, ...]:
    """Each setting on the way down, in order; none if power stays as it is."""
    cruise, descent, approach = power.values
    early = _falling(cruise, descent, power.step)
    late = _falling(descent, approach, power.step)
    last_min = down.until_min - len(late) * power.each_min
    first_min = min(down.from_min, last_min - len(early) * power.each_min)
    moments = [first_min + n * power.each_min for n in range(len(early))]
    moments += [last_min + n * power.each_min for n in range(len(late))]
    return tuple(
        PowerStep(
            after_min=at, msl_ft=float(np.interp(at, way.path[:, 3], way.path[:, 2])), value=value
        )
        for at, value in zip(moments, [*early, *late], strict=True)
    )


def _falling(high: float, low: float, step: float) -> list[float]:
    """Settings after each equal step from one to the other, none larger than allowed.

    >>> _falling(24.0, 19.0, 2.0)
    [22.333333333333332, 20.666666666666668, 19.0]
    """
    count = ceil((high - low) / step - 1e-9)
    return [high + (low - high) * (n + 1) / count for n in range(count)]
