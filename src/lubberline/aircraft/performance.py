"""Runway distances and the rates of climb and cruise that the manual's tables come to.

Distances are the table figure plus corrections that are each a percentage of the table
figure, as the notes below such tables state them. A table for the surface itself stands
before a note on it. Cruise has no worse side, so nothing stands for what is not printed.
"""

from collections.abc import Mapping
from dataclasses import replace
from math import isnan

from lubberline.air import isa_temperature_degc
from lubberline.aircraft.corrections import Surface, notes_of
from lubberline.aircraft.figures import Performance, Place, Step, figure
from lubberline.aircraft.model import Aircraft


def takeoff_roll(
    aircraft: Aircraft,
    *,
    weight_lb: float,
    pressure_ft: float,
    oat_degc: float,
    headwind_kt: float,
    surface: Surface,
    slope_percent: float = 0.0,
) -> Performance:
    """Ground roll to lift-off, arguments as for ``takeoff_distance``."""
    place = _on_runway(weight_lb, pressure_ft, oat_degc, headwind_kt, slope_percent)
    return _distance(aircraft, "takeoff_roll_ft", place, surface)


def takeoff_distance(
    aircraft: Aircraft,
    *,
    weight_lb: float,
    pressure_ft: float,
    oat_degc: float,
    headwind_kt: float,
    surface: Surface,
    slope_percent: float = 0.0,
) -> Performance:
    """Distance from brake release to 50 ft above the runway.

    Parameters
    ----------
    aircraft : Aircraft
        With the manual's tables.
    weight_lb, pressure_ft, oat_degc : float
        Weight [lb], pressure height [ft] and outside air temperature [°C]; NaN if not known.
    headwind_kt : float
        Wind against the direction of motion [kt], negative for a tailwind.
    surface : {"paved", "grass", ...}
        What the runway is made of; a table is for paved unless it names another surface, and
        ``grass_percent`` is its note for dry grass.
    slope_percent : float
        Rise of the runway in the direction of motion [%]. Looked at where the table has an axis
        or a note for it; NaN if not known.

    Returns
    -------
    Performance
        Distance [ft] with its steps. None with the reason beyond the printed points (unless the
        table's ``use_first_below`` or ``use_last_above`` names the axis), in more tailwind or
        slope than the notes reach, on a surface without a note or table for it, and where an
        input is NaN.

    References
    ----------
    [PHAK]_, chapter "Aircraft Performance", take-off and landing distance tables and notes.
    """
    place = _on_runway(weight_lb, pressure_ft, oat_degc, headwind_kt, slope_percent)
    return _distance(aircraft, "takeoff_over_50_ft", place, surface)


def accelerate_stop(
    aircraft: Aircraft,
    *,
    weight_lb: float,
    pressure_ft: float,
    oat_degc: float,
    headwind_kt: float,
    surface: Surface,
    slope_percent: float = 0.0,
) -> Performance:
    """Distance to take-off speed and back to a stop, arguments as for ``takeoff_distance``."""
    place = _on_runway(weight_lb, pressure_ft, oat_degc, headwind_kt, slope_percent)
    return _distance(aircraft, "accelerate_stop_ft", place, surface)


def landing_roll(
    aircraft: Aircraft,
    *,
    weight_lb: float,
    pressure_ft: float,
    oat_degc: float,
    headwind_kt: float,
    surface: Surface,
    slope_percent: float = 0.0,
) -> Performance:
    """Ground roll from touchdown to a stop, arguments as for ``takeoff_distance``."""
    place = _on_runway(weight_lb, pressure_ft, oat_degc, headwind_kt, slope_percent)
    return _distance(aircraft, "landing_roll_ft", place, surface)


def landing_distance(
    aircraft: Aircraft,
    *,
    weight_lb: float,
    pressure_ft: float,
    oat_degc: float,
    headwind_kt: float,
    surface: Surface,
    slope_percent: float = 0.0,
) -> Performance:
    """Distance from 50 ft above the runway to a stop, arguments as for ``takeoff_distance``."""
    place = _on_runway(weight_lb, pressure_ft, oat_degc, headwind_kt, slope_percent)
    return _distance(aircraft, "landing_over_50_ft", place, surface)


def climb_rate(
    aircraft: Aircraft, *, weight_lb: float, pressure_ft: float, oat_degc: float
) -> Performance:
    """Rate of climb [ft/min]; None with the reason where the table has no answer."""
    place = air_place(weight_lb, pressure_ft, oat_degc)
    return figure(aircraft, "climb_fpm", place, worse="falling")


def cruise_tas(
    aircraft: Aircraft, *, weight_lb: float, pressure_ft: float, oat_degc: float
) -> Performance:
    """True airspeed in cruise at the usual power [kt]; None where the table has no answer."""
    place = air_place(weight_lb, pressure_ft, oat_degc)
    return figure(aircraft, "cruise_tas_kt", {**aircraft.cruise, **place}, worse=None)


def cruise_flow(
    aircraft: Aircraft, *, weight_lb: float, pressure_ft: float, oat_degc: float
) -> Performance:
    """Fuel flow in cruise at the usual power [gph]; None where the table has no answer."""
    place = air_place(weight_lb, pressure_ft, oat_degc)
    return figure(aircraft, "cruise_gph", {**aircraft.cruise, **place}, worse=None)


def cruise_figures(
    aircraft: Aircraft,
    *,
    weight_lb: float,
    pressure_ft: float,
    oat_degc: float,
    power: Mapping[str, float] | None = None,
) -> dict[str, Performance]:
    """Every cruise table of the manual at one place, by table name.

    ``power`` is the setting by axis name (``power_percent``, ``rpm``, ``mp_inhg``); the one
    usually set where it is None.
    """
    set_to = aircraft.cruise if power is None else power
    place = {**set_to, **air_place(weight_lb, pressure_ft, oat_degc)}
    names = [name for name in aircraft.tables if name.startswith("cruise_")]
    return {name: figure(aircraft, name, place, worse=None) for name in names}


def air_place(weight_lb: float, pressure_ft: float, oat_degc: float) -> dict[str, float]:
    """The place in the air on every axis that says it."""
    return {
        "weight_lb": weight_lb,
        "pressure_ft": pressure_ft,
        "oat_degc": oat_degc,
        "above_standard_degc": oat_degc - float(isa_temperature_degc(pressure_ft)),
    }


def _on_runway(
    weight_lb: float, pressure_ft: float, oat_degc: float, headwind_kt: float, slope_percent: float
) -> dict[str, float]:
    air = air_place(weight_lb, pressure_ft, oat_degc)
    return {**air, "headwind_kt": headwind_kt, "slope_percent": slope_percent}


def _distance(aircraft: Aircraft, name: str, place: Place, surface: Surface) -> Performance:
    """The table's figure with each correction of its notes, as percentages of that figure."""
    own_table = f"{name} {surface}"
    key = own_table if own_table in aircraft.tables else name
    plain = figure(aircraft, key, place, worse="rising")
    if plain.value is None:
        return plain
    notes = list(notes_of(aircraft.tables[key], place, None if key == own_table else surface))
    missing = "; ".join(words for words, percent in notes if isnan(percent))
    if missing:
        return replace(plain, value=None, steps=(), printed=(), missing=f"{name}: {missing}")
    steps = [Step(words=words, value=plain.value * percent / 100.0) for words, percent in notes]
    return replace(
        plain, value=plain.value + sum(step.value for step in steps), steps=(*plain.steps, *steps)
    )
