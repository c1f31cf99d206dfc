"""What lies behind the word about a measure: its trend, its steps, and the days not flown."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np

from lubberline.drift import Fading, Measure, Pooled, Step, Trend, fading, pooled, steps, trend
from lubberline.errors import RangeError, ShapeError
from lubberline.loop.course import Drifted, drifted_of, reading_of
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Shared:
    """What days not flown cost the pilots of a store, and (``value``) one of them in that light."""

    pilot_count: int
    pooled: Pooled
    value: float
    sigma: float


def shared_fading(directory: Path, key: str, *, pilot: str | None = None) -> Shared | None:
    """The fading of a measure over all pilots of a store; None with fewer than two that show it."""
    from lubberline.store.courses import pilots_of

    with reading_of(directory, pilot) as (session, who):
        names = pilots_of(session)
        if len(names) < 2:
            return None
        each = {name: drifted_of(session, key, name) for name in names}
    found = {name: fading_of(one) for name, one in each.items() if one is not None}
    known = {name: one for name, one in found.items() if one is not None and one.sigma > 0.0}
    if who not in known or len(known) < 2:
        return None
    joint = pooled(
        [one.per_doubling for one in known.values()], [one.sigma for one in known.values()]
    )
    place = list(known).index(who)
    return Shared(
        pilot_count=len(known),
        pooled=joint,
        value=joint.each[place],
        sigma=joint.each_sigma[place],
    )


def since_last_days(one: Drifted) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Days since the pilot's flight before, NaN where not known, shape (n,)."""
    doublings = one.conditions.get(SINCE, np.full(len(one.measure), np.nan))
    return np.asarray(np.exp2(doublings) - 1.0)
