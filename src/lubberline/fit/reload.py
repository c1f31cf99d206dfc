"""What to move, leave behind or drain so that a flight's loading comes inside its limits."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf

from lubberline.aircraft import Burn, Reload, burned, fewest_changes, loaded
from lubberline.fit.fuel import normal_cruise_gph, trip_gal
from lubberline.fit.loading import loading_findings
from lubberline.flight import Flight, Plan
from lubberline.line import COVERAGE, Finding
from lubberline.units import MIN_PER_H
from lubberline.ways import Way


@dataclass(frozen=True, slots=True, kw_only=True)
class Reloaded:
    """The changes, the flight with them made, and its findings on the loading.

    ``least_gal`` is the fuel at the ramp under which nothing was drained; infinite where the
    reserve could not be told and nothing may be drained at all.
    """

    reload: Reload
    flight: Flight
    findings: tuple[Finding, ...]
    least_gal: float


def reload_flight(plan: Plan, way: Way, findings: Sequence[Finding]) -> Reloaded:
    """The fewest changes that bring the loading inside; ``findings`` are those of the way.

    Raises
    ------
    NoSolution
        If no few changes do.
    """
    flight, aircraft = plan.flight, plan.aircraft
    trip = trip_gal(plan, way)
    least_gal = least_fuel_gal(plan, way, findings)
    burn = Burn(taxi_gal=aircraft.taxi_gal, trip_gal=trip, least_gal=least_gal)
    reload = fewest_changes(
        aircraft.loading, load_lb=flight.load_lb, fuel_gal=flight.fuel_gal, burn=burn
    )
    changed = replace(flight, load_lb=reload.load_lb, fuel_gal=reload.fuel_gal)
    return Reloaded(
        reload=reload,
        flight=changed,
        findings=loading_findings(aircraft, changed, trip_gal=trip),
        least_gal=least_gal,
    )


def lightened(plan: Plan) -> Plan:
    """The plan with its load scaled down to the greatest take-off weight, if it is above that.

    Tables end there, so that a heavier flight has no ways; with the heaviest that has some,
    the trip's fuel is on the safe side.
    """
    limits, flight = plan.aircraft.loading, plan.flight
    aboard = loaded(
        limits,
        load_lb=flight.load_lb,
        fuel_gal=burned(flight.fuel_gal, plan.aircraft.taxi_gal),
    )
    load_lb = sum(flight.load_lb.values())
    over_lb = aboard.weight_lb - limits.max_takeoff_lb
    if over_lb <= 0.0 or load_lb <= 0.0:
        return plan
    kept_ratio = max(0.0, 1.0 - over_lb / load_lb)
    lighter = {name: lb * kept_ratio for name, lb in flight.load_lb.items()}
    return replace(plan, flight=replace(flight, load_lb=lighter))


def least_fuel_gal(plan: Plan, way: Way, findings: Sequence[Finding]) -> float:
    """Fuel at the ramp that keeps every reserve asked for, with room for the doubt [gal]."""
    used_gal = plan.aircraft.taxi_gal + trip_gal(plan, way)
    cruise = normal_cruise_gph(plan, way, weight_lb=plan.aircraft.loading.max_takeoff_lb)
    reserves = [one for one in findings if one.limit.key.startswith("flight.fuel_")]
    if cruise.value is None or not reserves or any(one.value is None for one in reserves):
        return inf
    least_min = max((one.limit.low or 0.0) + COVERAGE * one.sigma for one in reserves)
    return used_gal + least_min / MIN_PER_H * cruise.value
