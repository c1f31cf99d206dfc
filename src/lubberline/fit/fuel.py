"""Fuel at landing, in minutes at normal cruise, against the law's reserve and the pilot's own."""

from collections.abc import Iterator
from typing import Final

import numpy as np

from lubberline.air import isa_temperature_degc, pressure_altitude_ft
from lubberline.aircraft import Performance, cruise_flow
from lubberline.fit.us import Reserve
from lubberline.flight import Plan
from lubberline.line import Basis, Finding, Limit, unknown
from lubberline.units import MIN_PER_H
from lubberline.ways import Way
from lubberline.weather import altimeter_at, wind_at

STANDARD_INHG: Final = 29.92  # [ISA]_: the setting of the standard atmosphere


def fuel_findings(
    plan: Plan, way: Way, *, legal: Reserve, weight_lb: float, used_sigma_gal: float
) -> tuple[Finding, ...]:
    """Minutes of fuel left on landing against the legal reserve, and against the pilot's own.

    ``used_sigma_gal`` is how sure the burn is.
    """
    rows: list[tuple[str, float, float, Basis, str]] = [
        ("legal", legal.least_min, legal.buffer_min, "law", legal.source)
    ]
    own = plan.pilot.own
    if own.fuel_reserve_min is not None:
        rows.append(("own", own.fuel_reserve_min, 0.0, "own", own.source("fuel_reserve_min")))
    cruise = normal_cruise_gph(plan, way, weight_lb=weight_lb)
    return tuple(
        _fuel_finding(
            plan,
            way,
            cruise,
            used_sigma_gal,
            Limit(
                key=f"flight.fuel_{name}",
                label=f"fuel at landing, {name}",
                unit="min",
                low=low_min,
                buffer=buffer_min,
                tolerance=60.0,
                basis=basis,
                source=source,
            ),
        )
        for name, low_min, buffer_min, basis, source in rows
    )


def trip_gal(plan: Plan, way: Way) -> float:
    """Fuel from take-off to landing: the way, and the pattern at the flow of the descent."""
    return way.fuel_gal + plan.flight.pattern_min / MIN_PER_H * plan.aircraft.descent_gph


def normal_cruise_gph(plan: Plan, way: Way, *, weight_lb: float) -> Performance:
    """Fuel flow of the manual's cruise table at the way's height on the day.

    Without a forecast of the temperature there it is taken to be standard, without a report of
    the departure the setting.
    """
    setting_inhg = altimeter_at(plan.weather, plan.flight.departure_id)
    pressure_ft = pressure_altitude_ft(
        way.cruise_msl_ft, STANDARD_INHG if setting_inhg is None else setting_inhg
    )
    _, _, aloft_degc = wind_at(plan.weather.aloft, way.cruise_msl_ft)
    standard_degc = isa_temperature_degc(pressure_ft)
    return cruise_flow(
        plan.aircraft,
        weight_lb=weight_lb,
        pressure_ft=float(pressure_ft),
        oat_degc=float(standard_degc if np.isnan(aloft_degc) else aloft_degc),
    )


def _fuel_finding(
    plan: Plan, way: Way, cruise: Performance, used_sigma_gal: float, limit: Limit
) -> Finding:
    used_gal = plan.aircraft.taxi_gal + trip_gal(plan, way)
    left_gal = sum(plan.flight.fuel_gal.values()) - used_gal
    where = f"{left_gal:.1f} gal left"
    if cruise.value is None:
        missing = f"{cruise.missing} ({plan.flight.aircraft_file})"
        return unknown(limit, missing, where=where)
    return Finding(
        limit=limit,
        value=left_gal / cruise.value * MIN_PER_H,
        sigma=used_sigma_gal / cruise.value * MIN_PER_H,
        where=where,
        note=f"{used_gal:.1f} gal used; normal cruise {cruise.value:.1f} gph",
        workings=(
            *_used_words(plan, way),
            f"left {left_gal:.2f} gal, at {cruise.value:.2f} gph normal cruise",
            *cruise.workings,
        ),
    )


def _used_words(plan: Plan, way: Way) -> Iterator[str]:
    """What is aboard by tank, and what each part of the flight takes from it."""
    for name, gal in plan.flight.fuel_gal.items():
        yield f"tank {name}: {gal:g} gal"
    yield f"start and taxi: -{plan.aircraft.taxi_gal:.2f} gal"
    for leg in way.legs:
        yield (
            f"{leg.phase} {leg.from_name or 'on'} to {leg.to_name or 'next'}, "
            f"{leg.time_min:.1f} min: -{leg.fuel_gal:.2f} gal"
        )
    pattern_gal = trip_gal(plan, way) - way.fuel_gal
    yield f"pattern, {plan.flight.pattern_min:g} min: -{pattern_gal:.2f} gal"
