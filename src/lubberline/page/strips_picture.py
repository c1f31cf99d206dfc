"""Strips over the time of a flight: height, speed, course; tolerance bands, excursions marked.

Height and course are drawn as they were judged: off what was aimed at, within the band of their
tolerance, thick and crossed where they left it. So are airspeed on final, around the one aimed at,
and true airspeed in cruise, around that of the table; other speed is there to be seen.
"""

from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.flown import Flown, HeldSpan
from lubberline.page.figure import Caption, Figure, Stroke, axis, curve, figure, legend, numbers
from lubberline.page.strokes import FLOWN
from lubberline.page.tracks import MOST_POINTS

INSIDE: Final = Stroke(ink="inside", width_px=1.0)
AIMED: Final = Stroke(ink="inside", width_px=1.4, dash="9px,4px")
AIRSPEED: Final = Stroke(ink="way-1", width_px=1.6)
TRUE_AIRSPEED: Final = Stroke(ink="way-2", width_px=1.6, dash="3px,3px")
CRUISE_SPEED: Final = "cruise_speed"
SPEEDS: Final = (CRUISE_SPEED, "approach_airspeed")
EXCURSION: Final = Stroke(ink="outside", width_px=4.5)
HEIGHT_RATIO: Final = 0.66
# Parts of the picture's height: height, speed and course over the ground from above.
DOMAINS: Final = ((0.68, 1.0), (0.36, 0.62), (0.0, 0.29))


def utc_texts(time_s: FloatArray) -> list[str]:
    """Moments as the drawing library's time axis takes them."""
    return [f"{datetime.fromtimestamp(s, UTC):%Y-%m-%d %H:%M:%S}" for s in time_s.tolist()]


def strips_picture(flown: Flown) -> Figure:
    """Three strips over one time axis."""
    spans = {one.name: one for one in flown.spans}
    height, course = spans.get("cruise_height"), spans.get("course")
    speeds = [one for one in flown.spans if one.name in SPEEDS]
    traces = [*_height(flown, height), *_speed(flown)]
    for one in speeds:
        traces += _band(one, "y2")
        if one.name == CRUISE_SPEED:
            traces.append(_true_airspeed(one))
        traces += _excursions(one, "y2")
    if course is not None:
        traces += _held(course, "y3")
    rows = [("flown; in knots: ground speed", FLOWN)]
    if np.isfinite(flown.track.ias_kt).any():
        rows.append(("indicated airspeed", AIRSPEED))
    if CRUISE_SPEED in spans:
        rows.append(("true airspeed in cruise", TRUE_AIRSPEED))
    if flown.spans:
        rows += [("aimed at, with its tolerance", AIMED), ("outside the tolerance", EXCURSION)]
    return figure(
        Caption(
            name="strips",
            title="Height and course held, and speed, over time",
            says=_says(flown),
            legend=legend(*rows),
            notes=tuple(_notes(height, course)),
        ),
        traces=traces,
        layout=_layout(flown, height),
        height_ratio=HEIGHT_RATIO,
    )


def _layout(flown: Flown, height: HeldSpan | None) -> dict[str, Any]:
    ends = utc_texts(flown.track.time_s[[0, -1]])
    titles = ("ft" if height is None else "ft off", "kt", "deg off")
    axes = {
        f"yaxis{'' if number == 1 else number}": axis(
            title, domain=list(domain), tickformat=",", nticks=5
        )
        for number, (title, domain) in enumerate(zip(titles, DOMAINS, strict=True), 1)
    }
    time = axis("UTC", type="date", range=ends, tickformat="%H:%M", nticks=8, anchor="y3")
    return {"xaxis": time, **axes}


def _says(flown: Flown) -> str:
    outs = [
        f"{one.label} outside for {100.0 * float(_outside(one).mean()):.0f} % of what was judged"
        for one in flown.spans
    ]
    return "; ".join(["Strips of height, speed and course over time", *outs])


def _notes(height: HeldSpan | None, course: HeldSpan | None) -> Iterator[str]:
    if height is None:
        yield "No height was judged: the line says what would supply it."
    if course is None:
        yield "No course was judged: the line says what would supply it."
    else:
        yield "Course is ground track less the course of the plan; turns are left out."


def _line(flown: Flown, values: FloatArray, stroke: Stroke, row: str) -> dict[str, Any]:
    every = slice(None, None, max(1, -(-values.size // MOST_POINTS)))
    breaks = np.flatnonzero(np.diff(flown.track.segment_index[every])) + 1
    time_s = np.insert(flown.track.time_s[every], breaks, flown.track.time_s[every][breaks])
    shown = np.insert(values[every], breaks, np.nan)
    return curve(utc_texts(time_s), numbers(shown, 1), stroke, yaxis=row, connectgaps=False)


def _height(flown: Flown, span: HeldSpan | None) -> Iterator[Any]:
    """Height off what was pledged where it was judged; else the height itself."""
    if span is None:
        yield _line(flown, flown.track.indicated_ft, FLOWN, "y")
    else:
        yield from _held(span, "y")


def _speed(flown: Flown) -> Iterator[Any]:
    yield _line(flown, flown.track.ground_kt, FLOWN, "y2")
    if np.isfinite(flown.track.ias_kt).any():
        yield _line(flown, flown.track.ias_kt, AIRSPEED, "y2")


def _true_airspeed(span: HeldSpan) -> dict[str, Any]:
    columns = _broken(span, span.values + span.target)
    return curve(*columns, TRUE_AIRSPEED, yaxis="y2", connectgaps=False)


def _held(span: HeldSpan, row: str) -> Iterator[Any]:
    """Deviations within their band, thick and crossed where they left it."""
    yield from _band(span, row)
    yield curve(*_broken(span, span.values), FLOWN, yaxis=row, connectgaps=False)
    yield from _excursions(span, row)


def _broken(span: HeldSpan, values: FloatArray) -> tuple[list[Any], list[Any]]:
    """Columns of a span with a break where nothing was judged between."""
    step_s = float(np.median(np.diff(span.time_s))) if span.time_s.size > 1 else 1.0
    breaks = np.flatnonzero(np.diff(span.time_s) > 3.0 * step_s) + 1
    return (
        utc_texts(np.insert(span.time_s, breaks, span.time_s[breaks])),
        numbers(np.insert(values, breaks, np.nan), 1),
    )


def _band(span: HeldSpan, row: str) -> Iterator[Any]:
    ends = utc_texts(span.time_s[[0, -1]])
    if span.low is not None and span.high is not None:
        edges = [span.target + one for one in (span.low, span.low, span.high, span.high)]
        corners = [ends[0], ends[1], ends[1], ends[0]]
        yield curve(corners, edges, INSIDE, yaxis=row, fill="toself", fillcolor="@inside/0.13")
    yield curve(ends, [span.target, span.target], AIMED, yaxis=row)


def _outside(span: HeldSpan) -> np.ndarray:
    low = -np.inf if span.low is None else span.low
    high = np.inf if span.high is None else span.high
    return np.asarray((span.values < low) | (span.values > high))


def _excursions(span: HeldSpan, row: str) -> Iterator[Any]:
    """The parts outside, thick, with a cross at the worst of each."""
    out = _outside(span)
    if not out.any():
        return
    values = span.values + span.target
    shown = np.where(out, values, np.nan)
    yield curve(utc_texts(span.time_s), numbers(shown, 1), EXCURSION, yaxis=row, connectgaps=False)
    edges = np.flatnonzero(np.diff(np.concatenate([[False], out, [False]]).astype(np.int8)))
    worst = [
        a + int(np.argmax(np.abs(span.values[a:b])))
        for a, b in zip(edges[::2], edges[1::2], strict=True)
    ]
    yield {
        "type": "scatter",
        "mode": "markers",
        "x": utc_texts(span.time_s[worst]),
        "y": numbers(values[worst], 1),
        "yaxis": row,
        "marker": {"symbol": "x", "size": 9, "color": "@outside"},
        "hoverinfo": "skip",
        "showlegend": False,
    }
