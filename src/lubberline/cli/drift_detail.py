"""What lies behind one measure's word: conditions, trend, steps, and days not flown, in words."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any, Final

import numpy as np

from lubberline.drift import Fading, Measure, Step, Trend, fading, steps, trend
from lubberline.errors import RangeError, ShapeError
from lubberline.loop import Drifted
from lubberline.units import S_PER_DAY

DAYS_PER_YEAR: Final = 365.25  # Julian year
RECENT_COUNT: Final = 200  # own: all pairs of more flights take longer than they tell
SINCE: Final = "doubling of days not flown"
SURE_SIGMA: Final = 2.0  # own: an effect within twice its doubt of nothing is not told


def condition_rows(one: Drifted) -> Iterator[str]:
    """What the conditions explain, and which of them clearly."""
    verdict, latest = one.verdict, one.verdict.latest
    if latest is None:
        return
    if not verdict.effects:
        yield "Conditions: none is known that varies; nothing was taken out."
        return
    clear = [e for e in verdict.effects if abs(e.per_unit) > SURE_SIGMA * e.sigma > 0.0]
    named = "; ".join(f"{e.name} {_side(one, e.per_unit)}" for e in clear) or "none of them clearly"
    yield (
        f"Conditions explain {100.0 * verdict.explained_fraction:.0f} % of the scatter and were"
        f" taken out: {named}."
    )


def change_rows(one: Drifted) -> Iterator[str]:
    """Trend, steps and fading, each as a sentence; nothing where there are too few flights."""
    measure = one.measure
    found = trend_of(measure)
    if found is not None:
        yield (
            f"Trend, latest {min(len(measure), RECENT_COUNT)} flights: {found.slope:+.2g}"
            f" {measure.unit} a year ({found.low:+.2g} to {found.high:+.2g} in 19 cases of 20;"
            f" chance of as much without a trend: {found.p_ratio:.2g})."
        )
    for each in steps_of(measure):
        days = [f"{_day(measure, at)}" for at in (each.earliest_index, each.latest_index)]
        yield (
            f"Step with the flight of {_day(measure, each.index)} (between those of {days[0]} and"
            f" {days[1]}): {each.before:.3g} to {each.after:.3g} {measure.unit}."
        )
    faded = fading_of(one)
    if faded is not None:
        yield (
            f"Each doubling of days not flown: {faded.per_doubling:+.2g} ± {2 * faded.sigma:.2g}"
            f" {measure.unit}, from {faded.flight_count} flights after up to"
            f" {faded.longest_days:.0f} days."
        )


def trend_record(one: Drifted) -> dict[str, Any]:
    """The same as plain values."""
    found, faded = trend_of(one.measure), fading_of(one)
    return {
        "trend_per_year": asdict(found) if found is not None else None,
        "steps": [
            asdict(each) | {"flown_utc": one.measure.flown_utc[each.index].isoformat()}
            for each in steps_of(one.measure)
        ],
        "fading": asdict(faded) if faded is not None else None,
    }


def trend_of(measure: Measure) -> Trend | None:
    """The trend per year over the latest flights; None where it cannot be told."""
    latest = slice(max(0, len(measure) - RECENT_COUNT), len(measure))
    years = [when.timestamp() / S_PER_DAY / DAYS_PER_YEAR for when in measure.flown_utc[latest]]
    try:
        return trend(np.subtract(years, years[0]) if years else [], measure.values[latest],
                     serial=True)  # fmt: skip
    except (RangeError, ShapeError):  # too few, or two flights at one moment
        return None


def steps_of(measure: Measure) -> tuple[Step, ...]:
    """Clear steps among the latest flights, their places counted over all."""
    from dataclasses import replace

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
    since = one.conditions.get(SINCE)
    if since is None:
        return None
    try:
        return fading(np.exp2(since) - 1.0, one.measure.values)
    except RangeError:
        return None


def _day(measure: Measure, index: int) -> str:
    return f"{measure.flown_utc[index]:%Y-%m-%d}"


def _side(one: Drifted, per_unit: float) -> str:
    worse = (per_unit > 0.0) == (one.measure.better == "smaller")
    return "makes it worse" if worse else "makes it better"
