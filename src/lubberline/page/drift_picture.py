"""The drift chart: each flight's value with its doubt, and what it is held against.

Single flights have limits from their own scatter, provisional while it is too early to say; the
moving average has a center and exact limits as soon as there are enough flights.
"""

from datetime import datetime
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.drift import Chart, DriftVerdict, Measure, individuals_chart
from lubberline.line import COVERAGE
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

FEWEST_COUNT: Final = 3  # own: two flights have one difference, which is no scatter
MOST_DATES_COUNT: Final = 6
ROOM_RATIO: Final = 0.06  # own: room over what is highest
WHISKER_RATIO: Final = 1.6  # own: so far a whisker may stretch the picture
VALUE: Final = Stroke(ink="ink", width_px=0.0)
SINGLE: Final = Stroke(ink="soft", width_px=1.4, dash="3px,3px")
AVERAGE: Final = Stroke(ink="way-1", width_px=2.6)
AVERAGE_LIMIT: Final = Stroke(ink="way-1", width_px=1.4, dash="9px,4px")
CENTER: Final = Stroke(ink="way-1", width_px=1.0)


def drift_picture(measure: Measure, verdict: DriftVerdict) -> Figure:
    """Values in order with their doubt; the average and its limits once there are any."""
    flight_index = np.arange(1, len(measure) + 1, dtype=np.float64)
    single = individuals_chart(measure.values) if len(measure) >= FEWEST_COUNT else None
    traces, rows = [_values(flight_index, measure)], [("flight, with twice its doubt", VALUE)]
    if single is not None:
        traces += [_level(flight_index, side, SINGLE) for side in (single.high, single.low)]
        provisional = "" if verdict.chart is not None else ", provisional: too early to say"
        rows.append((f"limits of a single flight{provisional}", SINGLE))
    if verdict.chart is not None:
        traces += _average(flight_index[-verdict.chart.values.size :], verdict.chart)
        rows += [
            ("moving average", AVERAGE),
            ("its limits", AVERAGE_LIMIT),
            (f"usual, from the first {verdict.baseline_count} flights", CENTER),
        ]
    up = _up(measure, single, verdict.chart)
    return figure(
        Caption(
            name="drift",
            title=f"{measure.label}, {measure.unit}",
            says=f"{measure.label} over {len(measure)} flights: {verdict.word}",
            legend=legend(*rows),
            notes=tuple(_notes(measure, up)),
        ),
        traces=traces,
        layout={
            "xaxis": axis("", range=[0.5, len(measure) + 0.5], **_dates(measure.flown_utc)),
            "yaxis": axis(plain(measure.unit), range=list(up)),
        },
        height_ratio=0.45,
    )


def _values(flight_index: FloatArray, measure: Measure) -> dict[str, Any]:
    when = [f"{moment:%Y-%m-%d}" for moment in measure.flown_utc]
    return {
        "type": "scatter",
        "mode": "markers",
        "x": numbers(flight_index, 0),
        "y": numbers(measure.values),
        "error_y": {
            "type": "data",
            "array": numbers(COVERAGE * measure.sigmas),
            "width": 4,
            "thickness": 1.4,
            "color": "@soft",
        },
        "marker": {"size": 9, "color": "@ink"},
        "text": [f"{day} {plain(title)}" for day, title in zip(when, measure.titles, strict=True)],
        "hovertemplate": "%{text}: %{y:.1f}<extra></extra>",
        "showlegend": False,
    }


def _level(flight_index: FloatArray, column: FloatArray, stroke: Stroke) -> dict[str, Any]:
    return curve(numbers(flight_index, 0), numbers(column), stroke)


def _average(flight_index: FloatArray, chart: Chart) -> list[dict[str, Any]]:
    center = np.full(flight_index.shape, chart.center)
    return [
        _level(flight_index, center, CENTER),
        _level(flight_index, chart.high, AVERAGE_LIMIT),
        _level(flight_index, chart.low, AVERAGE_LIMIT),
        _level(flight_index, chart.values, AVERAGE),
    ]


def _up(measure: Measure, single: Chart | None, average: Chart | None) -> tuple[float, float]:
    """What is shown: all values and limits, and whiskers as far as they do not dwarf the rest."""
    sides = [side for one in (single, average) if one is not None for side in (one.low, one.high)]
    shown = np.concatenate([measure.values, *sides])
    is_signed = bool((measure.values < 0.0).any())
    shown = shown if is_signed else np.maximum(shown, 0.0)
    low, high = float(np.nanmin(shown, initial=0.0)), float(np.nanmax(shown, initial=0.0))
    reach = WHISKER_RATIO * ((high - low) or 1.0)
    doubt = COVERAGE * measure.sigmas
    top = max(high, min(float((measure.values + doubt).max(initial=high)), low + reach))
    bottom = min(low, max(float((measure.values - doubt).min(initial=low)), high - reach))
    room = ROOM_RATIO * ((top - low) or 1.0)
    return (bottom - room if is_signed else 0.0), top + room


def _notes(measure: Measure, up: tuple[float, float]) -> list[str]:
    beyond = measure.values + COVERAGE * measure.sigmas > up[1]
    if not beyond.any():
        return []
    days = ", ".join(f"{measure.flown_utc[index]:%Y-%m-%d}" for index in np.flatnonzero(beyond))
    return [f"The doubt reaches beyond the picture: {days}."]


def _dates(flown_utc: tuple[datetime, ...]) -> dict[str, Any]:
    """Days under some of the flights; flights stand side by side however far apart in time."""
    places = np.unique(
        np.linspace(0, len(flown_utc) - 1, min(MOST_DATES_COUNT, len(flown_utc))).round()
    ).astype(int)
    return {
        "tickvals": [int(place) + 1 for place in places],
        "ticktext": [f"{flown_utc[place]:%m-%d}<br>{flown_utc[place]:%Y}" for place in places],
    }
