"""The last landing seen from above: runway, path, touchdown; across is drawn larger than along."""

from collections.abc import Iterator
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.flown import Flown, Movement, Strip, clock, published_strip
from lubberline.page.figure import (
    Caption,
    Figure,
    Label,
    Stroke,
    around,
    axis,
    curve,
    figure,
    legend,
    numbers,
)
from lubberline.page.strokes import FLOWN
from lubberline.places import Places, RunwayEnd
from lubberline.wording import value_text

BEFORE_S: Final = 30.0
AFTER_S: Final = 40.0
SAME_S: Final = 20.0  # own: a movement and its measures are of one landing this near
PAST, OFF = "flown.touchdown_threshold", "flown.touchdown_centerline"
PAVED: Final = Stroke(ink="soft", width_px=1.5)
CENTER: Final = Stroke(ink="soft", width_px=1.2, dash="12px,8px")
DOWN: Final = Stroke(ink="outside", width_px=0.0)
HEIGHT_RATIO: Final = 0.34


def landing_picture(flown: Flown, places: Places) -> Figure | None:
    """The last landing on a known runway; None where there is none."""
    for one in reversed(flown.movements):
        if one.kind != "take-off":
            found = _strip(one, places)
            if found is not None:
                return _picture(flown, one, *found)
    return None


def _strip(landing: Movement, places: Places) -> tuple[Strip, RunwayEnd] | None:
    """The runway landed on as a line from its threshold, and its end; None if not known."""
    field = places.aerodromes.get(landing.aerodrome_id or "")
    for runway, end in () if field is None else field.runway_ends():
        if field is not None and end.name == landing.runway:
            return published_strip(runway, end, field.id, field.pattern_agl_ft), end
    return None


def _touchdown(flown: Flown, landing: Movement, strip: Strip) -> list[tuple[float, str]]:
    """Feet past the threshold and right of the centerline, each as the line says it, too.

    As measured, else where the landing was found.
    """
    findings = next(
        (
            each.findings
            for each in flown.measured
            if each.kind != "take-off" and abs(each.time_s - landing.time_s) < SAME_S
        ),
        (),
    )
    here_ft = [float(one) for one in strip.along_right_ft(landing.lat_deg, landing.lon_deg)]
    down = [(ft, f"{ft:,.0f} ft") for ft in here_ft]
    for place, key in enumerate((PAST, OFF)):
        for one in findings:
            if one.limit.key.startswith(key) and one.value is not None:
                down[place] = (one.value, value_text(one))
    return down


def _picture(flown: Flown, landing: Movement, strip: Strip, end: RunwayEnd) -> Figure:
    track = flown.recording.track
    part = (track.time_s >= landing.time_s - BEFORE_S) & (track.time_s <= landing.time_s + AFTER_S)
    along_ft, right_ft = strip.along_right_ft(track.lat_deg[part], track.lon_deg[part])
    (down_ft, down), (off_ft, off) = _touchdown(flown, landing, strip)
    wide_ft = max(strip.width_ft, 1.2 * float(np.nanmax(np.abs(right_ft))) if part.any() else 0.0)
    says = (
        f"Landing on {end.name} of {landing.aerodrome_id} at {clock(landing.time_s)}: down"
        f" {down} past the threshold, {off.removeprefix('-')}"
        f" {'right' if off_ft >= 0.0 else 'left'} of the centerline"
    )
    return figure(
        Caption(
            name="landing",
            title=f"Landing on {end.name} of {landing.aerodrome_id}, from above",
            says=says,
            legend=legend(
                (f"flown, {BEFORE_S:g} s before to {AFTER_S:g} s after", FLOWN),
                ("touchdown", DOWN),
                ("runway", PAVED),
            ),
            notes=(f"{says}. Distances across are drawn larger than along.",),
        ),
        traces=[
            *_paved(strip, end.displaced_ft),
            *_flown(along_ft, right_ft),
            _down(down_ft, off_ft),
        ],
        layout={
            "xaxis": axis("ft past the threshold", tickformat=",", nticks=5, tickangle=0),
            "yaxis": axis("ft right", range=[-wide_ft, wide_ft], autorange=False, nticks=5),
        },
        height_ratio=HEIGHT_RATIO,
        labels=[Label(spots=around(down_ft, off_ft, down), gap_px=8.0)],
    )


def _paved(strip: Strip, displaced_ft: float) -> Iterator[dict[str, Any]]:
    half_ft, far_ft, near_ft = strip.width_ft / 2.0, strip.length_ft, -displaced_ft
    yield curve(
        [near_ft, far_ft, far_ft, near_ft, near_ft],
        [-half_ft, -half_ft, half_ft, half_ft, -half_ft],
        PAVED,
        fill="toself",
        fillcolor="@soft/0.18",
    )
    yield curve([near_ft, far_ft], [0.0, 0.0], CENTER)
    yield curve([0.0, 0.0], [-half_ft, half_ft], Stroke(ink="ink", width_px=3.0))


def _flown(along_ft: FloatArray, right_ft: FloatArray) -> Iterator[dict[str, Any]]:
    yield curve(numbers(along_ft, 0), numbers(right_ft, 1), FLOWN, connectgaps=False)


def _down(down_ft: float, off_ft: float) -> dict[str, Any]:
    return {
        "type": "scatter",
        "mode": "markers",
        "x": [round(down_ft)],
        "y": [round(off_ft, 1)],
        "marker": {"symbol": "circle", "size": 11, "color": "@outside"},
        "hoverinfo": "skip",
        "showlegend": False,
    }
