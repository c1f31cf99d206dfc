"""Weight and balance through the flight against the envelope, and stations against theirs."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Final

from lubberline.aircraft import Aircraft, Loaded, arm_limits_in, burned, states
from lubberline.flight import Flight
from lubberline.line import Finding, Limit, Verdict, unknown

WAY_OUT: Final = "lubberline reload finds the fewest changes that bring it inside"


def loading_findings(aircraft: Aircraft, flight: Flight, *, trip_gal: float) -> tuple[Finding, ...]:
    """Weight and center of gravity at the four loadings that bound the flight, and stations."""
    limits = aircraft.loading
    at = states(
        limits,
        load_lb=flight.load_lb,
        fuel_gal=flight.fuel_gal,
        taxi_gal=aircraft.taxi_gal,
        trip_gal=trip_gal,
    )

    def after(burn_gal: float) -> Mapping[str, float]:
        return burned(flight.fuel_gal, burn_gal)

    rows: list[tuple[str, Loaded, float | None, Mapping[str, float]]] = [
        ("ramp", at.ramp, limits.max_ramp_lb, flight.fuel_gal),
        ("takeoff", at.takeoff, limits.max_takeoff_lb, after(aircraft.taxi_gal)),
        ("landing", at.landing, limits.max_landing_lb, after(aircraft.taxi_gal + trip_gal)),
        ("zero_fuel", at.zero_fuel, limits.max_zero_fuel_lb, {}),
    ]
    findings: list[Finding] = []
    for name, loaded, max_lb, fuel_gal in rows:
        label = {"takeoff": "take-off", "zero_fuel": "zero fuel"}.get(name, name)
        workings = tuple(_sum_words(aircraft, flight, loaded, fuel_gal))
        if max_lb is not None:
            weight = _weight(aircraft, name, label, loaded, max_lb)
            findings.append(replace(weight, workings=workings))
        findings.append(replace(_arm(aircraft, name, label, loaded), workings=workings))
    findings += _stations(aircraft, flight)
    return tuple(_with_way_out(finding) for finding in findings)


def _with_way_out(finding: Finding) -> Finding:
    """What is not inside says where the way out stands."""
    bad = finding.verdict in (Verdict.OUTSIDE, Verdict.UNKNOWN)
    return replace(finding, note=WAY_OUT) if bad else finding


def _stations(aircraft: Aircraft, flight: Flight) -> Iterator[Finding]:
    """What lies at each station that has a limit of its own."""
    for station in aircraft.loading.stations:
        if station.max_lb is not None:
            limit = Limit(
                key=f"airplane.station_{'_'.join(station.name.split())}",
                label=f"load, {station.name}",
                unit="lb",
                high=station.max_lb,
                basis="manual",
                source=f"{aircraft.manual}, limitations",
            )
            yield Finding(limit=limit, value=flight.load_lb.get(station.name, 0.0))


def _sum_words(
    aircraft: Aircraft, flight: Flight, loaded: Loaded, fuel_gal: Mapping[str, float]
) -> Iterator[str]:
    """The sum as on a loading form: weight at arm, and moment, of everything aboard."""
    limits = aircraft.loading
    yield _item_words("empty", limits.empty_lb, limits.empty_arm_in)
    for station in limits.stations:
        if flight.load_lb.get(station.name):
            yield _item_words(station.name, flight.load_lb[station.name], station.arm_in)
    for tank in limits.tanks:
        if gal := fuel_gal.get(tank.name):
            words = f"tank {tank.name}, {gal:.2f} gal"
            yield _item_words(words, gal * limits.fuel_lb_per_gal, tank.arm_in)
    yield _item_words("together", loaded.weight_lb, loaded.arm_in)


def _item_words(name: str, weight_lb: float, arm_in: float) -> str:
    return f"{name}: {weight_lb:,.1f} lb at {arm_in:.2f} in: {weight_lb * arm_in:,.0f} lb in"


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
