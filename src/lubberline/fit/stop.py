"""Accelerate-stop distance against the runway, where the manual has a table of it."""

from collections.abc import Iterator

from lubberline.aircraft import accelerate_stop
from lubberline.fit.distance import runway_finding
from lubberline.fit.ends import settings
from lubberline.flight import Plan
from lubberline.line import Finding, Limit
from lubberline.ways import Way


def stop_findings(plan: Plan, way: Way, *, weight_lb: float) -> Iterator[Finding]:
    """Distance to take-off speed and back to a stop, times the pilot's factor."""
    if not any(key.startswith("accelerate_stop_ft") for key in plan.aircraft.tables):
        return
    departure, _ = settings(plan, way)
    factor = plan.pilot.own.runway_factor
    limit = Limit(
        key="flight.accelerate_stop",
        label=f"accelerate and stop, {departure.name}",
        unit="ft",
        high=departure.runway.length_ft,
        basis="manual",
        source=f"{plan.aircraft.manual}, accelerate-stop distance; own factor {factor:g}",
    )
    yield runway_finding(
        limit,
        accelerate_stop,
        departure,
        plan.aircraft,
        weight_lb=weight_lb,
        own_factor=factor,
        aircraft_file=plan.flight.aircraft_file,
    )
