"""Gates of the arrival: where to start down, what is due by which height, when to go around.

The flap settings of the airplane's file are due at even heights from the pattern down to where
the approach must be stable; gear before the first of them, propeller and mixture with the last.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from math import ceil, floor
from typing import Final

from lubberline.card.ahead import Track
from lubberline.card.legs import clock_text
from lubberline.earth import variation_deg
from lubberline.fit import Setting, times_utc
from lubberline.flight import Plan
from lubberline.ways import Way, power_steps, way_down
from lubberline.wording import direction_text

STABLE_AGL_FT: Final = 500.0  # common practice for a visual approach, no source
TOUCH_FRACTION: Final = 1.0 / 3.0  # of the runway, by which to be down: FAA-H-8083-3B chapter 8
AIM_FT: Final = 1_000.0  # aiming point marking from the threshold: AIM 2-3-3 (memory)


@dataclass(frozen=True, slots=True, kw_only=True)
class GateRow:
    """What is due, by when or by which height, and how."""

    label: str
    by: str
    text: str


def gate_rows(plan: Plan, way: Way, destination: Setting) -> Iterator[GateRow]:
    """In the order of the arrival."""
    yield from _down(plan, way)
    yield from _hanging_out(plan, destination)
    yield from _final(plan, destination)
    yield _around(plan, destination)


def _down(plan: Plan, way: Way) -> Iterator[GateRow]:
    """The descent to pattern height: when it begins, at the latest too, and its power."""
    down = way_down(way, plan.destination)
    if down is None:
        return
    track, takeoff_utc, power = Track(way), times_utc(plan, way)[0], plan.aircraft.power_down

    def at(after_min: float) -> str:
        return f"{clock_text(takeoff_utc + timedelta(minutes=after_min))}Z"

    latest_min = down.latest_min(power.most_fpm if power is not None else None)
    for label, at_min in (("start down", down.from_min), ("not later", latest_min)):
        down_fpm = ceil(round(down.late_fpm(at_min - down.from_min), 6) / 10.0) * 10
        yield GateRow(
            label=label, by=at(at_min), text=f"{track.words(at_min + 0.01)}, {down_fpm:,d} ft/min"
        )
    steps = power_steps(way, down, power) if power is not None else ()
    if power is not None and steps:
        cruise, descent, approach = power.values
        yield GateRow(
            label="power",
            by=at(steps[0].after_min),
            text=f"{cruise:g} to {descent:g}, to {approach:g} {power.unit} by {at(down.until_min)},"
            f" {power.step:g} a step",
        )


def _hanging_out(plan: Plan, destination: Setting) -> Iterator[GateRow]:
    """Gear, each flap setting, propeller and mixture: by which height, and how fast at most."""
    aircraft, speeds = plan.aircraft, plan.aircraft.speeds
    pattern_ft = destination.aerodrome.pattern_agl_ft
    if aircraft.retractable and speeds.gear_operate_kt is not None:
        by = _height(destination, pattern_ft)
        yield GateRow(label="gear down", by=by, text=f"under {_under(speeds.gear_operate_kt)} kt")
    flaps = [one for one in aircraft.flaps if one.max_kt is not None]
    settings = [(one.name, one.max_kt or 0.0, one.approach_kt) for one in flaps]
    settings = settings or [("", speeds.flaps_kt, None)]
    for number, (name, most_kt, approach_kt) in enumerate(settings):
        share = number / (len(settings) - 1) if len(settings) > 1 else 1.0
        agl_ft = pattern_ft - share * (pattern_ft - STABLE_AGL_FT)
        then = f", then {approach_kt:.0f}" if approach_kt else ""
        yield GateRow(
            label=f"flaps {name}".rstrip(),
            by=_height(destination, agl_ft),
            text=f"under {_under(most_kt)} kt{then}",
        )
    propeller = "propeller, mixture " if aircraft.controllable_propeller else ""
    yield GateRow(
        label="levers" if aircraft.controllable_propeller else "mixture",
        by=_height(destination, STABLE_AGL_FT),
        text=f"{propeller}as for go-around",
    )


def _final(plan: Plan, destination: Setting) -> Iterator[GateRow]:
    """The speed by when, where to aim, and by where to be down."""
    stable = _height(destination, STABLE_AGL_FT)
    yield GateRow(label="on speed", by=stable, text=f"{_speed(plan, destination)} kt")
    open_ft = destination.runway.length_ft - destination.end.displaced_ft
    touch_ft = floor(open_ft * TOUCH_FRACTION / 50.0) * 50
    aim_ft = min(AIM_FT, touch_ft / 2.0)
    yield GateRow(
        label="aim", by=f"{floor(aim_ft / 50.0) * 50:,d} ft in", text="beyond the threshold"
    )
    gear = "gear, " if plan.aircraft.retractable else ""
    yield GateRow(label="go around", by=stable, text=f"unless {gear}flaps, speed, path as planned")
    yield GateRow(label="", by=f"{touch_ft:,d} ft in", text="unless down: a third of the runway")


def _around(plan: Plan, destination: Setting) -> GateRow:
    speeds, end = plan.aircraft.speeds, destination.end
    variation = float(variation_deg(end.lat_deg, end.lon_deg, 0.0, destination.when_utc))
    return GateRow(
        label="climb out",
        by=direction_text(end.true_deg - variation),
        text=f"{speeds.best_rate_kt:.0f} kt ({speeds.best_angle_kt:.0f} over obstacles),"
        f" {end.pattern_side} turns",
    )


def _height(destination: Setting, agl_ft: float) -> str:
    return f"{round(destination.aerodrome.elev_msl_ft + agl_ft, -1):,.0f} ft"


def _under(speed_kt: float) -> int:
    return floor(round(speed_kt, 6))


def _speed(plan: Plan, destination: Setting) -> str:
    """The speed aimed at, and with half of what the gusts add, which is common practice."""
    final_kt, wind = plan.aircraft.speeds.final_kt, destination.wind
    if wind is None or wind.gust_kt is None:
        return f"{final_kt:.0f}"
    added_kt = 0.5 * (wind.gust_kt - wind.mean_kt)
    return f"{final_kt:.0f}, in these gusts {final_kt + added_kt:.0f}"
