"""Weight and balance at ramp, take-off, landing and zero fuel against the manual's envelope."""

from lubberline.aircraft import Aircraft, Loaded, arm_limits_in, states
from lubberline.flight import Flight
from lubberline.line import Finding, Limit, unknown


def loading_findings(aircraft: Aircraft, flight: Flight, *, trip_gal: float) -> tuple[Finding, ...]:
    """Weight and center of gravity at the four loadings that bound the flight."""
    limits = aircraft.loading
    at = states(
        limits,
        load_lb=flight.load_lb,
        fuel_gal=flight.fuel_gal,
        taxi_gal=aircraft.taxi_gal,
        trip_gal=trip_gal,
    )
    rows = (
        ("ramp", at.ramp, limits.max_ramp_lb),
        ("takeoff", at.takeoff, limits.max_takeoff_lb),
        ("landing", at.landing, limits.max_landing_lb),
        ("zero_fuel", at.zero_fuel, limits.max_zero_fuel_lb),
    )
    findings: list[Finding] = []
    for name, loaded, max_lb in rows:
        label = {"takeoff": "take-off", "zero_fuel": "zero fuel"}.get(name, name)
        if max_lb is not None:
            findings.append(_weight(aircraft, name, label, loaded, max_lb))
        findings.append(_arm(aircraft, name, label, loaded))
    return tuple(findings)


def _weight(aircraft: Aircraft, name: str, label: str, loaded: Loaded, max_lb: float) -> Finding:
    limit = Limit(
        key=f"airplane.weight_{name}",
        label=f"weight, {label}",
        unit="lb",
        high=max_lb,
        tolerance=300.0,
        basis="manual",
        source=f"{aircraft.manual}, limitations",
    )
    return Finding(limit=limit, value=loaded.weight_lb)


def _arm(aircraft: Aircraft, name: str, label: str, loaded: Loaded) -> Finding:
    forward_in, aft_in = arm_limits_in(aircraft.loading, loaded.weight_lb, near_in=loaded.arm_in)
    known = bool(forward_in <= aft_in)  # NaN where the envelope has no such weight
    limit = Limit(
        key=f"airplane.balance_{name}",
        label=f"center of gravity, {label}",
        unit="in",
        low=float(forward_in) if known else None,
        high=float(aft_in) if known else None,
        basis="manual",
        source=f"{aircraft.manual}, loading envelope",
    )
    where = f"{loaded.weight_lb:,.0f} lb"
    if not known:
        return unknown(limit, f"an envelope that reaches {where}: change the load", where=where)
    return Finding(limit=limit, value=loaded.arm_in, where=where)
