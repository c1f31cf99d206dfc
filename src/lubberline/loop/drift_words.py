"""A measure in words and signs, the same in the terminal and on the page."""

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.drift import DriftWord, Measure, flights_to_show_count, promise
from lubberline.loop.behind import RECENT_COUNT, Shared, fading_of, steps_of, trend_of
from lubberline.loop.course import Drifted
from lubberline.wording import rough_text

BARS: Final = "▁▂▃▄▅▆▇█"
SPARK_COUNT: Final = 14
SIGNS: Final = {
    DriftWord.SLIPPING: "▼",
    DriftWord.IMPROVING: "▲",
    DriftWord.HOLDING: "●",
    DriftWord.TOO_EARLY: "…",
}
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
    named = (
        "; ".join(f"{e.name} {_side(one, grows=e.per_unit > 0.0)}" for e in clear)
        or "none of them clearly"
    )
    yield (
        f"Conditions explain {100.0 * verdict.explained_fraction:.0f} % of the scatter and were"
        f" taken out: {named}."
    )


def promise_rows(one: Drifted) -> Iterator[str]:
    """How long what it is held against is, and how far the word can be trusted with it."""
    said = promise(one.verdict)
    if said is not None:
        yield (
            f"Simulated with {said.flight_count} flights: {said.false_percent:.0f} % of steady"
            " pilots are called slipping within the year after, of one flight a week;"
            f" {said.found_percent:.0f} % of lasting slips by one usual scatter are within twelve"
            " flights."
        )


def change_rows(one: Drifted) -> Iterator[str]:
    """Trend, steps and fading, each as a sentence; nothing where there are too few flights."""
    measure = one.measure
    found = trend_of(measure)
    if found is not None:
        yield (
            f"Trend, latest {min(len(measure), RECENT_COUNT)} flights: {rough_text(found.slope)}"
            f" {measure.unit} a year ({rough_text(found.low)} to {rough_text(found.high)} in 19"
            f" cases of 20; chance of as much without a trend: {found.p_ratio:.2g})."
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
            f"Each doubling of days not flown: {_with_doubt(faded.per_doubling, faded.sigma)}"
            f" {measure.unit}, from {faded.flight_count} flights after up to"
            f" {faded.longest_days:.0f} days."
        )


def shared_rows(one: Drifted, shared: Shared | None) -> Iterator[str]:
    """What a pause costs once the pilots of a store are taken together."""
    if shared is not None:
        yield (
            f"Pooled with {shared.pilot_count - 1} more in this store, whom it costs"
            f" {_with_doubt(shared.pooled.common, shared.pooled.sigma)} {one.measure.unit} on"
            f" average: {_with_doubt(shared.value, shared.sigma)} {one.measure.unit} for this"
            " pilot."
        )


def _with_doubt(value: float, sigma: float) -> str:
    return f"{rough_text(value)} ± {rough_text(2.0 * sigma)[1:]}"


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


def levels(one: Drifted) -> tuple[str, str]:
    """The latest level and the usual one; while it is too early, the last flight and the median."""
    latest, values = one.verdict.latest, one.measure.values
    if latest is not None:
        shown = (latest.level, latest.usual)
    else:
        shown = (float(values[-1]), float(np.median(values)))
    unit = one.measure.unit
    now, usual = (f"{number(value)} {unit}" if unit else f"{value:.3g}" for value in shown)
    return now, usual


def to_know(one: Drifted) -> str:
    """How many flights it takes to know."""
    if one.verdict.word is DriftWord.TOO_EARLY:
        return f"+{one.verdict.flights_needed_count}"
    if one.verdict.word is not DriftWord.HOLDING:
        return "known"
    count = flights_to_show_count(one.verdict)
    return "over 24" if count is None else f"{count}"


def sparkline(values: FloatArray, count: int = SPARK_COUNT) -> str:
    """The latest values as bars between nothing (or the least) and the largest."""
    latest = values[-count:]
    if not latest.size:
        return ""
    least, most = min(0.0, float(latest.min())), float(latest.max())
    if not most > least:
        return BARS[0] * latest.size
    heights = np.rint((latest - least) / (most - least) * (len(BARS) - 1)).astype(int)
    return "".join(BARS[height] for height in heights)


def number(value: float) -> str:
    """Three figures where they mean something."""
    if abs(value) >= 100.0:
        return f"{value:,.0f}"
    return f"{value:.1f}" if abs(value) >= 10.0 else f"{value:.2f}"


def _day(measure: Measure, index: int) -> str:
    return f"{measure.flown_utc[index]:%Y-%m-%d}"


def _side(one: Drifted, *, grows: bool) -> str:
    worse = grows == (one.measure.better == "smaller")
    return "makes it worse" if worse else "makes it better"
