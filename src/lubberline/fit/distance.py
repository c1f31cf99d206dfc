"""Take-off and landing distance from the manual's tables against the runway there is.

Take-off may use the whole length; landing begins at the threshold, so that what lies before a
displaced one does not count. Slope is that between the ends; where the manual has neither an
axis nor a note for it, the finding says that it is not looked at. Nor is a wet runway.
"""

from collections.abc import Callable
from math import isnan
from typing import Any, Final

from lubberline.aircraft import Aircraft, Performance, landing_distance, takeoff_distance
from lubberline.fit.setting import Setting
from lubberline.fit.wind import least_headwind_kt
from lubberline.line import Finding, Limit, unknown

LEVEL_PERCENT: Final = 0.1  # own: a slope too small to speak of


def distance_finding(
    setting: Setting, aircraft: Aircraft, *, weight_lb: float, own_factor: float, aircraft_file: str
) -> Finding:
    """Table distance over 50 ft, times the pilot's factor, against the runway."""
    takeoff = setting.place == "departure"
    limit = _limit(setting, aircraft, own_factor)
    compute: Callable[..., Performance] = takeoff_distance if takeoff else landing_distance
    return runway_finding(
        limit,
        compute,
        setting,
        aircraft,
        weight_lb=weight_lb,
        own_factor=own_factor,
        aircraft_file=aircraft_file,
    )


def slope_percent(setting: Setting) -> float:
    """Rise from this end of the runway to the other; NaN where a height is not published."""
    first, second = setting.runway.ends
    far = second if setting.end.name == first.name else first
    rise_ft = far.elev_msl_ft - setting.end.elev_msl_ft
    return 100.0 * rise_ft / setting.runway.length_ft


def runway_finding(
    limit: Limit,
    compute: Callable[..., Performance],
    setting: Setting,
    aircraft: Aircraft,
    *,
    weight_lb: float,
    own_factor: float,
    aircraft_file: str,
) -> Finding:
    """A distance of the tables under today's air against its limit."""
    head_kt, oat_degc = least_headwind_kt(setting), setting.temperature_degc
    if head_kt is None:
        return unknown(limit, f"{setting.text_supply} with wind")
    if setting.pressure_ft is None or oat_degc is None:
        return unknown(limit, f"{setting.report_supply} with temperature and altimeter setting")
    asked: dict[str, Any] = {
        "weight_lb": weight_lb,
        "pressure_ft": setting.pressure_ft,
        "headwind_kt": head_kt,
        "surface": setting.runway.surface,
        "slope_percent": slope_percent(setting),
    }
    distance = compute(aircraft, **asked, oat_degc=oat_degc)
    if distance.value is None:
        return unknown(limit, f"{distance.missing} ({aircraft_file})", where=setting.name)
    warmer = compute(aircraft, **asked, oat_degc=oat_degc + setting.temperature_sigma_degc)
    doubt_ft = 0.0 if warmer.value is None else abs(warmer.value - distance.value)
    steps = ", ".join(f"{step.words}: {step.value:+,.0f} ft" for step in distance.steps)
    slope = _slope_words(aircraft, distance.table, asked["slope_percent"])
    return Finding(
        limit=limit,
        value=distance.value * own_factor,
        sigma=doubt_ft * own_factor,
        note=f"{steps}; times own factor {own_factor:g}{slope}",
        workings=(
            *distance.workings,
            f"together {distance.value:,.0f} ft",
            f"times own factor {own_factor:g}: {distance.value * own_factor:,.0f} ft",
        ),
    )


def _slope_words(aircraft: Aircraft, table: str, rise_percent: float) -> str:
    """What the tables leave out: a slope that they have neither an axis nor a note for."""
    tables = [one for key, one in aircraft.tables.items() if key.partition(" ")[0] == table]
    looked_at = any(
        "slope_percent" in one.axes
        or one.uphill_percent_per_percent is not None
        or one.downhill_percent_per_percent is not None
        for one in tables
    )
    if looked_at or abs(rise_percent) < LEVEL_PERCENT:
        return ""
    if isnan(rise_percent):
        return "; slope of the runway not known"
    side = "uphill" if rise_percent > 0.0 else "downhill"
    return f"; slope {abs(rise_percent):.1f} % {side} not looked at"


def _limit(setting: Setting, aircraft: Aircraft, own_factor: float) -> Limit:
    takeoff = setting.place == "departure"
    name, label = ("takeoff", "take-off") if takeoff else ("landing", "landing")
    return Limit(
        key=f"flight.{name}_distance",
        label=f"{label} over 50 ft, {setting.name}",
        unit="ft",
        high=setting.runway.length_ft - (0.0 if takeoff else setting.end.displaced_ft),
        basis="manual",
        source=f"{aircraft.manual}, {label} distance; own factor {own_factor:g}",
    )
