"""The fields of a flight at the times of use, and the runway ends used there.

Ends are chosen by wind and length, unless the pilot asked for one. An alternate is reached
straight from the destination.
"""

from dataclasses import replace
from datetime import timedelta
from math import isfinite

from lubberline.aircraft import burned, loaded
from lubberline.fit.direct import Direct, direct_of
from lubberline.fit.distance import distance_finding
from lubberline.fit.fuel import trip_gal
from lubberline.fit.runways import RunwayRow, runway_rows
from lubberline.fit.setting import Setting, choose_runway, setting_at, times_utc
from lubberline.fit.wind import wind_findings
from lubberline.flight import Plan
from lubberline.line import Finding, Verdict
from lubberline.places import Runway, RunwayEnd
from lubberline.ways import Way


def settings(plan: Plan, way: Way) -> tuple[Setting, Setting]:
    """Departure and destination at the times of take-off and landing."""
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    flight = plan.flight
    takeoff_lb, landing_lb = weights_lb(plan, way)
    departure = setting_at(plan, "departure", plan.departure, takeoff_utc, flight.departure_runway)
    destination = setting_at(
        plan, "destination", plan.destination, landing_utc, flight.destination_runway
    )
    return (
        departure if flight.departure_runway else long_enough(plan, departure, takeoff_lb),
        destination if flight.destination_runway else long_enough(plan, destination, landing_lb),
    )


def alternate_settings(plan: Plan, way: Way) -> tuple[Setting, ...]:
    """Each alternate at the time when a flight that goes on from the destination gets there.

    Where no table tells the cruise, at the time of landing at the destination.
    """
    takeoff_lb, landing_lb = weights_lb(plan, way)
    landing_utc = times_utc(plan, way)[1]
    direct = direct_of(plan, way, weight_lb=takeoff_lb)
    found = []
    for field in plan.alternates:
        at_utc = landing_utc
        if isinstance(direct, Direct):
            here = plan.destination
            on_min = float(direct.air_min(here.lat_deg, here.lon_deg, field))
            at_utc += timedelta(minutes=on_min + direct.pattern_min if isfinite(on_min) else 0.0)
        setting = setting_at(plan, f"alternate_{field.id}", field, at_utc, None)
        found.append(long_enough(plan, setting, landing_lb))
    return tuple(found)


def field_runways(plan: Plan, way: Way) -> tuple[tuple[Setting, tuple[RunwayRow, ...]], ...]:
    """Departure, destination and alternates, each with all its runway ends."""
    takeoff_lb, landing_lb = weights_lb(plan, way)
    departure, destination = settings(plan, way)
    ends = [(departure, takeoff_lb)]
    ends += [(end, landing_lb) for end in (destination, *alternate_settings(plan, way))]
    return tuple(
        (
            end,
            runway_rows(
                end,
                plan.aircraft,
                plan.pilot.own,
                weight_lb=weight_lb,
                aircraft_file=plan.flight.aircraft_file,
            ),
        )
        for end, weight_lb in ends
    )


def weights_lb(plan: Plan, way: Way) -> tuple[float, float]:
    """Weight at take-off and at landing."""
    flight, limits = plan.flight, plan.aircraft.loading
    taxi_gal = plan.aircraft.taxi_gal
    at = [
        loaded(limits, load_lb=flight.load_lb, fuel_gal=burned(flight.fuel_gal, used_gal))
        for used_gal in (taxi_gal, taxi_gal + trip_gal(plan, way))
    ]
    return at[0].weight_lb, at[1].weight_lb


def long_enough(plan: Plan, setting: Setting, weight_lb: float) -> Setting:
    """The same; if its end is too short, with the one most into the wind that serves.

    One serves that is long enough, with crosswind and tailwind inside. If none does, it stays.
    """

    def with_end(pair: tuple[Runway, RunwayEnd]) -> Setting:
        return replace(setting, runway=pair[0], end=pair[1])

    def length(one: Setting) -> Finding:
        return distance_finding(
            one,
            plan.aircraft,
            weight_lb=weight_lb,
            own_factor=plan.pilot.own.runway_factor,
            aircraft_file=plan.flight.aircraft_file,
        )

    def serves(one: Setting) -> bool:
        winds = wind_findings(one, plan.aircraft, plan.pilot.own, aircraft_file="")
        return all(
            each.verdict in (Verdict.INSIDE, Verdict.CLOSE) for each in (length(one), *winds)
        )

    if length(setting).verdict is not Verdict.OUTSIDE:
        return setting
    kept = [pair for pair in setting.aerodrome.runway_ends() if serves(with_end(pair))]
    return with_end(choose_runway(kept, setting.wind, None)) if kept else setting
