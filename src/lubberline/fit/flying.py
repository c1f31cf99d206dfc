"""Findings on the flight itself: either end, the weather, fuel, light and time."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

from lubberline.fit.along import along_findings, passages
from lubberline.fit.appointment import (
    NORMAL_95,
    SURE_FRACTION,
    appointment_finding,
    closing_finding,
    draw,
)
from lubberline.fit.daylight import daylight_finding, local_day
from lubberline.fit.density import density_findings
from lubberline.fit.distance import distance_finding
from lubberline.fit.ends import alternate_settings, settings
from lubberline.fit.freezing import freezing_finding
from lubberline.fit.fuel import fuel_findings
from lubberline.fit.fuel_ahead import fuel_ahead_findings
from lubberline.fit.own import own_weather_findings
from lubberline.fit.rules import FieldWeather, Reserve, RuleSet
from lubberline.fit.runways import runway_rows, runways_finding
from lubberline.fit.setting import Setting
from lubberline.fit.tanks import fuel_plan
from lubberline.fit.watch import watch_findings
from lubberline.fit.weather_text import weather_text_findings
from lubberline.fit.wind import wind_findings
from lubberline.flight import Plan
from lubberline.line import Finding, unknown
from lubberline.places import surface_class
from lubberline.ways import Way

NO_WINDS: Final = "[[wind_aloft]] rows in flight.toml: without wind no time and no fuel is known"


def flight_findings(
    plan: Plan, way: Way, rules: RuleSet, *, takeoff_lb: float, landing_lb: float
) -> Iterator[Finding]:
    """What this way of the flight comes to, in a fixed order."""
    departure, destination = settings(plan, way)
    alternates = alternate_settings(plan, way)
    yield from _end_findings(plan, departure, weight_lb=takeoff_lb)
    for end in (destination, *alternates):
        yield from _end_findings(plan, end, weight_lb=landing_lb)
    fields = [_field(plan, end, rules) for end in (departure, destination, *alternates)]
    for field in fields:
        yield from rules.weather_findings(field)
        yield from own_weather_findings(field, plan.pilot.own)
    yield rules.cloud_finding(way.cruise_msl_ft, fields[:2])
    found = passages(plan, way)
    yield from along_findings(plan, found, rules)
    yield freezing_finding(plan, found)
    yield from weather_text_findings(plan)
    day = local_day(plan.departure.lon_deg, plan.flight.off_block_utc)
    yield from watch_findings(plan, way, day)
    timed = _timed_findings(plan, way, rules, destination, takeoff_lb=takeoff_lb)
    if plan.weather.aloft.msl_ft.size:
        yield from timed
    else:
        yield from (unknown(one.limit, NO_WINDS, where="in still air only") for one in timed)


def _end_findings(plan: Plan, end: Setting, *, weight_lb: float) -> Iterator[Finding]:
    """Runway, wind and air at one end."""
    own, aircraft_file = plan.pilot.own, plan.flight.aircraft_file
    distance = distance_finding(
        end,
        plan.aircraft,
        weight_lb=weight_lb,
        own_factor=own.runway_factor,
        aircraft_file=aircraft_file,
    )
    yield _of_alternate(distance, end.place)
    yield from wind_findings(end, plan.aircraft, own, aircraft_file=aircraft_file)
    rows = runway_rows(end, plan.aircraft, own, weight_lb=weight_lb, aircraft_file=aircraft_file)
    yield runways_finding(end, rows, plan.flight)
    yield from density_findings(end, own)


def _of_alternate(distance: Finding, place: str) -> Finding:
    """A landing distance that is not the destination's has its place in its key."""
    if place in ("departure", "destination"):
        return distance
    limit = replace(distance.limit, key=f"{distance.limit.key}_{place}")
    return replace(distance, limit=limit)


def _timed_findings(
    plan: Plan, way: Way, rules: RuleSet, destination: Setting, *, takeoff_lb: float
) -> Iterator[Finding]:
    """Fuel, light and appointment: what depends on how long the flight takes."""
    draws = draw(plan, way)
    fuel = fuel_plan(plan, way, rules)
    landing_utc = destination.when_utc
    yield from fuel_findings(
        plan,
        way,
        legal=_reserve(rules, destination, landing_utc),
        weight_lb=takeoff_lb,
        used_sigma_gal=draws.used_sigma_gal,
    )
    yield from fuel_ahead_findings(plan, fuel, used_sigma_gal=draws.used_sigma_gal)
    if not plan.flight.night_landing:
        spread_min = draws.sure_min(SURE_FRACTION) - draws.sure_min(0.5)
        yield daylight_finding(
            plan.destination,
            landing_utc,
            night=rules.is_night(plan.destination, landing_utc),
            time_sigma_min=spread_min / NORMAL_95,
        )
    if plan.flight.arrive_by_utc is not None:
        yield appointment_finding(plan, draws, plan.flight.arrive_by_utc)
    if plan.flight.closes_utc is not None:
        yield closing_finding(plan, draws, plan.flight.closes_utc)


def _reserve(rules: RuleSet, destination: Setting, landing_utc: datetime) -> Reserve:
    """By the light at landing, and whether it lasts for the day's reserve."""
    later_utc = landing_utc + timedelta(minutes=rules.DAY_RESERVE_MIN)
    return rules.fuel_reserve(
        night=rules.is_night(destination.aerodrome, landing_utc),
        night_soon=rules.is_night(destination.aerodrome, later_utc),
    )


def _field(plan: Plan, end: Setting, rules: RuleSet) -> FieldWeather:
    return FieldWeather(
        place=end.place,
        name=end.aerodrome.id,
        surface_class=surface_class(plan.places, end.aerodrome),
        elev_msl_ft=end.aerodrome.elev_msl_ft,
        night=rules.is_night(end.aerodrome, end.when_utc),
        conditions=end.worst,
        supply=end.text_supply,
        instrument_rated=None
        if plan.pilot.ratings is None
        else "instrument airplane" in plan.pilot.ratings,
    )
