"""Strips of a recorded engine over time: what a monitor kept, with the limits on file.

Things of one kind share a strip: cylinder heads and oil, exhaust, power, fuel flow, oil pressure.
A kind that was not recorded has none, and without any there is no picture.
"""

from collections.abc import Sequence
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.flown import EngineTrace
from lubberline.page.figure import Caption, Figure, Stroke, axis, curve, figure, legend, numbers
from lubberline.page.strips_picture import utc_texts
from lubberline.page.strokes import FLOWN
from lubberline.page.tracks import MOST_POINTS

OIL: Final = Stroke(ink="way-1", width_px=1.6)
LIMIT: Final = Stroke(ink="outside", width_px=1.2, dash="6px,4px")
OIL_LIMIT: Final = Stroke(ink="way-1", width_px=1.2, dash="6px,4px")
KINDS: Final = (  # what shares a strip, from above, and what stands beside it
    (("cht", "oil_temperature"), "°C"),
    (("egt", "tit"), "°C EGT"),
    (("rpm",), "rpm"),
    (("manifold",), "inHg"),
    (("fuel_flow",), "gph"),
    (("oil_pressure",), "psi oil"),
)
OIL_NAME: Final = "oil_temperature"
STRIP_RATIO: Final = 0.17  # height of one strip over the width of all
APART: Final = 0.16  # of a strip, between two


def engine_picture(time_s: FloatArray, traces: Sequence[EngineTrace]) -> Figure | None:
    """A strip for each kind that was recorded; None without any."""
    rows = [
        (title, [one for one in traces if one.name in names])
        for names, title in KINDS
        if any(one.name in names for one in traces)
    ]
    if not rows or time_s.size < 2:
        return None
    every = slice(None, None, max(1, -(-time_s.size // MOST_POINTS)))
    times = utc_texts(time_s[every])
    drawn = [
        one
        for number, (_, members) in enumerate(rows, 1)
        for one in _strip(members, times, every, f"y{number if number > 1 else ''}")
    ]
    return figure(
        Caption(
            name="engine",
            title="The engine over time",
            says=_says(traces),
            legend=legend(*_meanings(traces)),
        ),
        traces=drawn,
        layout=_layout([title for title, _ in rows], [times[0], times[-1]]),
        height_ratio=STRIP_RATIO * len(rows),
    )


def _strip(
    members: Sequence[EngineTrace], times: list[str], every: slice, row: str
) -> list[dict[str, Any]]:
    """Every column of a kind, then each of its limits once."""
    curves = [
        curve(times, numbers(one.values[every], 2), _stroke(one), yaxis=row, connectgaps=False)
        for one in members
    ]
    limits = dict.fromkeys(
        (limit, OIL_LIMIT if one.name == OIL_NAME else LIMIT)
        for one in members
        for limit in (one.low, one.high)
    )
    ends = [times[0], times[-1]]
    curves += [curve(ends, [at, at], ink, yaxis=row) for at, ink in limits if at is not None]
    return curves


def _stroke(one: EngineTrace) -> Stroke:
    return OIL if one.name == OIL_NAME else FLOWN


def _layout(titles: Sequence[str], ends: list[str]) -> dict[str, Any]:
    """The strips from above down to the axis of time."""
    step = 1.0 / len(titles)
    axes = {}
    for number, title in enumerate(titles, 1):
        top = 1.0 - step * (number - 1)
        low = top - step * (1.0 - APART) if number < len(titles) else 0.0
        name = f"yaxis{number if number > 1 else ''}"
        axes[name] = axis(title, domain=[round(low, 4), round(top, 4)], tickformat=",", nticks=4)
    below = f"y{len(titles) if len(titles) > 1 else ''}"
    time = axis("UTC", type="date", range=ends, tickformat="%H:%M", nticks=8, anchor=below)
    return {"xaxis": time, **axes}


def _meanings(traces: Sequence[EngineTrace]) -> list[tuple[str, Stroke]]:
    names = {one.name for one in traces}
    rows = [("each cylinder or sensor", FLOWN)] if names - {OIL_NAME} else []
    rows += [("oil temperature", OIL)] if OIL_NAME in names else []
    limited = any(limit is not None for one in traces for limit in (one.low, one.high))
    return [*rows, *([("limit of the aircraft file", LIMIT)] if limited else [])]


def _says(traces: Sequence[EngineTrace]) -> str:
    highest: dict[str, float] = {}
    for one in traces:
        highest[f"{one.label}, {one.unit}"] = max(
            float(np.nanmax(one.values)), highest.get(f"{one.label}, {one.unit}", -np.inf)
        )
    told = [f"{label}, up to {value:,.0f}" for label, value in highest.items()]
    return f"Strips of the engine over time: {'; '.join(told)}"
