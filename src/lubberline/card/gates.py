"""Gates of the arrival: where to start down, speeds for what hangs out, what is due by when."""

from collections.abc import Iterator
from datetime import timedelta
from math import ceil

from lubberline.card.ahead import Track
from lubberline.card.legs import clock_text
from lubberline.card.rows import Pair
from lubberline.fit import Setting, times_utc
from lubberline.flight import Plan
from lubberline.ways import Way

STABLE_AGL_FT = 500.0  # common practice for a visual approach, no source


def gate_rows(plan: Plan, way: Way, destination: Setting) -> Iterator[Pair]:
    """In the order of the arrival."""
    yield from _start_down(plan, way)
    speeds, field_msl_ft = plan.aircraft.speeds, destination.aerodrome.elev_msl_ft
    if plan.aircraft.retractable and speeds.gear_operate_kt is not None:
        yield Pair(label="gear down", text=f"under {speeds.gear_operate_kt:.0f} kt")
    flaps = [one for one in plan.aircraft.flaps if one.max_kt is not None]
    for flap in flaps:
        approach = f", approach {flap.approach_kt:.0f}" if flap.approach_kt else ""
        yield Pair(label=f"flaps {flap.name}", text=f"under {flap.max_kt:.0f} kt{approach}")
    if not flaps:
        yield Pair(label="flaps", text=f"under {speeds.flaps_kt:.0f} kt")
    stable_msl_ft = field_msl_ft + STABLE_AGL_FT
    yield Pair(label="on final", text=f"{_final(plan, destination)} kt")
    by = f"gear, flaps, speed, path by {stable_msl_ft:,.0f} ft; else around at once"
    yield Pair(label="stable", text=by)
    yield Pair(
        label="around", text=f"climb at {speeds.best_rate_kt:.0f} kt, pattern side as sketched"
    )


def _start_down(plan: Plan, way: Way) -> Iterator[Pair]:
    """The last descent: when and where it begins, at what rate, and what a late minute costs."""
    descents = [n for n, leg in enumerate(way.legs) if leg.phase == "descent"]
    if not descents:
        return
    first = descents[-1]
    while first > 0 and way.legs[first - 1].phase == "descent":
        first -= 1
    before_min = sum(leg.time_min for leg in way.legs[:first])
    down = way.legs[first:]
    lasts_min, drop_ft = sum(leg.time_min for leg in down), down[0].from_msl_ft - down[-1].to_msl_ft
    when = clock_text(times_utc(plan, way)[0] + timedelta(minutes=before_min))
    rate_fpm = drop_ft / lasts_min
    yield Pair(
        label="start down",
        text=f"{when}Z, {Track(way).words(before_min + 0.01)}, {rate_fpm:.0f} ft/min",
    )
    late = [
        f"{late_min} min late {ceil(drop_ft / (lasts_min - late_min) / 10.0) * 10:,d}"
        for late_min in (1, 2, 3)
        if lasts_min - late_min >= 1.0
    ]
    if late:
        yield Pair(label="late", text=f"{', '.join(late)} ft/min")


def _final(plan: Plan, destination: Setting) -> str:
    """The speed aimed at, and with half of what the gusts add, which is common practice."""
    final_kt, wind = plan.aircraft.speeds.final_kt, destination.wind
    if wind is None or wind.gust_kt is None:
        return f"{final_kt:.0f}"
    added_kt = 0.5 * (wind.gust_kt - wind.mean_kt)
    return f"{final_kt:.0f}, in these gusts {final_kt + added_kt:.0f}"
