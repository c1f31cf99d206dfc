"""Take-off and landing distance from the manual's tables against the runway there is.

Take-off may use the whole length; landing begins at the threshold, so that what lies before a
displaced one does not count. Slope and a wet runway are not looked at.
"""

from collections.abc import Callable
from typing import Any

from lubberline.aircraft import Aircraft, Performance, landing_distance, takeoff_distance
from lubberline.fit.setting import Setting
from lubberline.fit.wind import least_headwind_kt
from lubberline.line import Finding, Limit, unknown


def distance_finding(
    setting: Setting, aircraft: Aircraft, *, weight_lb: float, own_factor: float, aircraft_file: str
) -> Finding:
    """Table distance over 50 ft, times the pilot's factor, against the runway."""
    limit = _limit(setting, aircraft, own_factor)
    head_kt, oat_degc = least_headwind_kt(setting), setting.temperature_degc
    if head_kt is None:
        return unknown(limit, f"{setting.text_supply} with wind")
    if setting.pressure_ft is None or oat_degc is None:
        return unknown(limit, f"{setting.report_supply} with temperature and altimeter setting")
    compute: Callable[..., Performance] = (
        takeoff_distance if setting.place == "departure" else landing_distance
    )
    asked: dict[str, Any] = {
        "weight_lb": weight_lb,
        "pressure_ft": setting.pressure_ft,
        "headwind_kt": head_kt,
        "surface": setting.runway.surface,
    }
    distance = compute(aircraft, **asked, oat_degc=oat_degc)
    if distance.value is None:
        return unknown(limit, f"{distance.missing} ({aircraft_file})", where=setting.name)
    warmer = compute(aircraft, **asked, oat_degc=oat_degc + setting.temperature_sigma_degc)
    doubt_ft = 0.0 if warmer.value is None else abs(warmer.value - distance.value)
    steps = ", ".join(f"{step.words}: {step.value:+,.0f} ft" for step in distance.steps)
    return Finding(
        limit=limit,
        value=distance.value * own_factor,
        sigma=doubt_ft * own_factor,
        note=f"{steps}; times own factor {own_factor:g}",
        workings=(
            *distance.workings,
            f"together {distance.value:,.0f} ft",
            f"times own factor {own_factor:g}: {distance.value * own_factor:,.0f} ft",
        ),
    )


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
