"""What lies behind the word about a measure: its trend, its steps, and the days not flown."""

from dataclasses import replace
from typing import Final

import numpy as np

from lubberline.drift import Fading, Measure, Step, Trend, fading, steps, trend
from lubberline.errors import RangeError, ShapeError
from lubberline.loop.course import Drifted
from lubberline.loop.measures import SINCE
from lubberline.units import S_PER_DAY

DAYS_PER_YEAR: Final = 365.25  # Julian year
RECENT_COUNT: Final = 200  # own: all pairs of more flights take longer than they tell


def years_of(measure: Measure) -> list[float]:
    """When each flight was flown, in years."""
    return [when.timestamp() / S_PER_DAY / DAYS_PER_YEAR for when in measure.flown_utc]


def trend_of(measure: Measure) -> Trend | None:
    """The trend per year over the latest flights; None where it cannot be told."""
    years = np.array(years_of(measure)[-RECENT_COUNT:])
    try:
        return trend(years, measure.values[-RECENT_COUNT:], serial=True)
    except (RangeError, ShapeError):  # too few, or two flights at one moment
        return None


def steps_of(measure: Measure) -> tuple[Step, ...]:
    """Clear steps among the latest flights, their places counted over all."""
    first = max(0, len(measure) - RECENT_COUNT)
    return tuple(
        replace(
            each,
            index=each.index + first,
            earliest_index=each.earliest_index + first,
            latest_index=each.latest_index + first,
        )
        for each in steps(measure.values[first:])
    )


def fading_of(one: Drifted) -> Fading | None:
    """How the measure fades with the days not flown; None where it cannot be told."""
    try:
        return fading(since_last_days(one), one.measure.values)
    except RangeError:
        return None


def since_last_days(one: Drifted) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Days since the pilot's flight before, NaN where not known, shape (n,)."""
    doublings = one.conditions.get(SINCE, np.full(len(one.measure), np.nan))
    return np.asarray(np.exp2(doublings) - 1.0)
