"""More charts of one measure: ranges, sums, trend over the calendar, and days not flown.

They show what the word does not say: whether the scatter itself changed, where a small lasting
change began, how steep a trend is, and what a pause costs. None of them decides the word.
"""

from collections.abc import Iterator
from typing import Any, Final

import numpy as np

from lubberline.drift import (
    LIMIT_SIGMA_FACTOR,
    SLACK_SIGMA_FACTOR,
    Fading,
    Measure,
    Step,
    Trend,
    moving_range_chart,
    tabular_sums,
)
from lubberline.loop import Drifted
from lubberline.loop.behind import (
    RECENT_COUNT,
    fading_of,
    since_last_days,
    steps_of,
    trend_of,
    years_of,
)
from lubberline.page.figure import (
    Caption,
    Figure,
    Stroke,
    axis,
    curve,
    figure,
    legend,
    numbers,
    plain,
)
from lubberline.wording import rough_text

FEWEST_COUNT: Final = 11  # own: fewer flights have no word yet, and their sums no usual
DOT: Final = Stroke(ink="ink", width_px=0.0)
LINE: Final = Stroke(ink="way-1", width_px=2.6)
BOUND: Final = Stroke(ink="way-1", width_px=1.4, dash="9px,4px")
CENTER: Final = Stroke(ink="way-1", width_px=1.0)
OTHER: Final = Stroke(ink="way-2", width_px=2.2, dash="3px,3px")
STEP: Final = Stroke(ink="soft", width_px=1.4, dash="12px,3px,3px,3px")
PAUSES_DAYS: Final = (1, 2, 4, 8, 16, 32, 64, 128, 256, 512)


def more_pictures(one: Drifted) -> Iterator[Figure]:
    """The charts that there are flights enough for."""
    measure = one.measure
    if len(measure) >= FEWEST_COUNT:
        yield range_picture(measure)
        if one.verdict.latest is not None:
            yield sums_picture(one)
    found = trend_of(measure)
    if found is not None and len(measure) >= FEWEST_COUNT:
        yield trend_picture(measure, found, steps_of(measure))
    faded = fading_of(one)
    if faded is not None and faded.flight_count >= FEWEST_COUNT:
        yield fading_picture(one, faded)


def range_picture(measure: Measure) -> Figure:
    """How much each flight differs from the one before: has the scatter changed?"""
    chart = moving_range_chart(measure.values)
    along = np.arange(2.0, len(measure) + 1.0)
    level = np.full(along.shape, chart.center)
    beyond = int(chart.outside.sum())
    return figure(
        Caption(
            name="drift-range",
            title=f"Difference from the flight before, {measure.unit or 'ratio'}",
            says=f"differences between neighbors, {beyond} of {along.size} beyond the limit",
            legend=legend(("difference", DOT), ("its mean", CENTER), ("limit", BOUND)),
        ),
        traces=[
            _dots(numbers(along, 0), numbers(chart.values)),
            curve(numbers(along, 0), numbers(level), CENTER),
            curve(numbers(along, 0), numbers(chart.high), BOUND),
        ],
        layout={
            "xaxis": axis("flight", range=[0.5, len(measure) + 0.5]),
            "yaxis": axis(plain(measure.unit), rangemode="tozero"),
        },
        height_ratio=0.28,
    )


def sums_picture(one: Drifted) -> Figure:
    """Sums of what lies beyond the usual: where did a small lasting change begin?"""
    measure, latest = one.measure, one.verdict.latest
    usual = latest.usual if latest is not None else float(measure.values.mean())
    sigma = float(np.abs(np.diff(measure.values)).mean()) * np.sqrt(np.pi) / 2.0 or 1.0
    scaled = (measure.values - usual) / sigma
    sums = tabular_sums(scaled, center=0.0, slack=SLACK_SIGMA_FACTOR, limit=LIMIT_SIGMA_FACTOR)
    along = numbers(np.arange(1.0, len(measure) + 1.0), 0)
    bound = np.full(len(measure), LIMIT_SIGMA_FACTOR)
    first = int(sums.first_index)
    when = f"first beyond the limit with flight {first + 1}" if first >= 0 else "within the limit"
    return figure(
        Caption(
            name="drift-sums",
            title="Sums beyond the usual, in scatters",
            says=f"sums above and below the usual: {when}",
            legend=legend(("above", LINE), ("below, drawn downward", OTHER), ("limit", BOUND)),
            notes=(
                "Each sum starts again from nothing when it would turn. One false signal in 465"
                " values where the usual is known; from few flights oftener.",
            ),
        ),
        traces=[
            curve(along, numbers(bound), BOUND),
            curve(along, numbers(-bound), BOUND),
            curve(along, numbers(sums.above), LINE),
            curve(along, numbers(-sums.below), OTHER),
        ],
        layout={
            "xaxis": axis("flight", range=[0.5, len(measure) + 0.5]),
            "yaxis": axis("scatters"),
        },
        height_ratio=0.32,
    )


def trend_picture(measure: Measure, found: Trend, clear: tuple[Step, ...]) -> Figure:
    """Values over the calendar, the median slope and its interval, and clear steps."""
    years = np.array(years_of(measure))
    recent = years[-RECENT_COUNT:]
    ends = np.array([recent[0], recent[-1]])
    pivot, height = float(np.median(recent)), float(np.median(measure.values[-RECENT_COUNT:]))
    shown = measure.flown_utc[-RECENT_COUNT:]
    days = [f"{one:%Y-%m-%d}" for one in (shown[0], shown[-1])]
    when = [f"{one:%Y-%m-%d %H:%M}" for one in measure.flown_utc]
    traces = [_dots(when, numbers(measure.values))]
    for slope, stroke in ((found.low, BOUND), (found.high, BOUND), (found.slope, LINE)):
        traces.append(curve(days, numbers(height + slope * (ends - pivot)), stroke))
    for each in clear:
        day = f"{measure.flown_utc[each.index]:%Y-%m-%d}"
        span = [0.0, float(measure.values.max())]
        traces.append(curve([day, day], numbers(np.array(span)), STEP))
    rows = [("flight", DOT), ("median slope", LINE), ("its bounds, 19 cases of 20", BOUND)]
    return figure(
        Caption(
            name="drift-trend",
            title=f"Over the calendar, {measure.unit or 'ratio'}",
            says=f"trend {rough_text(found.slope)} {measure.unit} a year,"
            f" between {rough_text(found.low)} and {rough_text(found.high)}",
            legend=legend(*rows, *([("clear step", STEP)] if clear else [])),
        ),
        traces=traces,
        layout={
            "xaxis": axis("", type="date", nticks=5),
            "yaxis": axis(plain(measure.unit), rangemode="tozero"),
        },
        height_ratio=0.4,
    )


def fading_picture(one: Drifted, faded: Fading) -> Figure:
    """Values against the days not flown before, and the line through them with its doubt."""
    measure = one.measure
    days = np.maximum(since_last_days(one), 1.0)
    known = np.isfinite(days)
    doublings = np.log2(days[known])
    ends = np.array([doublings.min(), doublings.max()])
    middle = float(doublings.mean())
    height = faded.at_one + faded.per_doubling * middle
    traces = [_dots(numbers(doublings), numbers(measure.values[known]))]
    for turn, stroke in ((-2.0, BOUND), (2.0, BOUND), (0.0, LINE)):
        slope = faded.per_doubling + turn * faded.sigma
        traces.append(curve(numbers(ends), numbers(height + slope * (ends - middle)), stroke))
    shown = [day for day in PAUSES_DAYS if day <= faded.longest_days * 1.01]
    return figure(
        Caption(
            name="drift-fading",
            title=f"After days not flown, {measure.unit or 'ratio'}",
            says=f"each doubling of the days not flown adds {rough_text(faded.per_doubling)}"
            f" {measure.unit}, give or take {rough_text(2.0 * faded.sigma)[1:]}",
            legend=legend(("flight", DOT), ("fitted", LINE), ("twice its doubt", BOUND)),
        ),
        traces=traces,
        layout={
            "xaxis": axis(
                "days since the flight before",
                tickvals=[float(np.log2(day)) for day in shown],
                ticktext=[str(day) for day in shown],
            ),
            "yaxis": axis(plain(measure.unit), rangemode="tozero"),
        },
        height_ratio=0.4,
    )


def _dots(x: list[Any], y: list[Any]) -> dict[str, Any]:
    return {
        "type": "scatter",
        "mode": "markers",
        "x": x,
        "y": y,
        "marker": {"size": 7, "color": "@ink"},
        "hovertemplate": "%{x}: %{y:.1f}<extra></extra>",
        "showlegend": False,
    }
