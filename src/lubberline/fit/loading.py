"""Weight and balance through the whole flight against the envelope, and stations against theirs."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import floor
from typing import Final

from lubberline.aircraft import (
    Aircraft,
    Loaded,
    arm_limits_in,
    arm_margin_in,
    burn_paths,
    burned,
    maneuvering_speed,
    states,
    tightest,
    utility_of,
)
from lubberline.fit.fuel import trip_gal
from lubberline.fit.rules import RuleSet
from lubberline.fit.tanks import FuelPlan, fuel_plan
from lubberline.flight import Flight, Plan
from lubberline.line import Finding, Limit, Verdict, unknown
from lubberline.ways import Way

_LABELS: Final = {
    "ramp": "ramp",
    "takeoff": "take-off",
    "landing": "landing",
    "zero_fuel": "zero fuel",
    "burn": "as fuel burns",
}
_NOISE_IN: Final = 1e-6  # of sums, and of looking just within both sides of a corner
WAY_OUT: Final = "lubberline reload finds the fewest changes that bring it inside"


def loading_findings(
    aircraft: Aircraft,
    flight: Flight,
    *,
    trip_gal: float,
    draws: Sequence[tuple[str, float]] = (),
) -> tuple[Finding, ...]:
    """Weight and center of gravity at four loadings and at every moment between, and stations.

    ``draws`` are the stretches on one tank as planned, tank and gallons; without them every order
    of tanks is looked at, or the manual's where it gives one.
    """
    rows = _rows(aircraft, flight, trip_gal)
    left_lb = min((most - one.weight_lb, name) for name, one, most, _ in rows if most is not None)
    findings: list[Finding] = []
    for name, loaded, max_lb, fuel_gal in rows:
        workings = tuple(_sum_words(aircraft, flight, loaded, fuel_gal))
        if max_lb is not None:
            weight = _weight(aircraft, name, loaded, max_lb)
            note = "; ".join(_weight_notes(aircraft, name, loaded, left_lb))
            findings.append(replace(weight, workings=workings, note=note))
        findings.append(replace(_arm(aircraft, name, loaded), workings=workings))
    findings.append(_all_along(aircraft, flight, draws))
    findings += _stations(aircraft, flight)
    return tuple(_with_way_out(finding) for finding in findings)


_Row = tuple[str, Loaded, float | None, Mapping[str, float]]


def _rows(aircraft: Aircraft, flight: Flight, trip_gal: float) -> list[_Row]:
    """The four loadings, each with the weight allowed and the fuel in the tanks."""
    limits, taxi_gal = aircraft.loading, aircraft.taxi_gal
    load_lb, fuel_gal = flight.load_lb, flight.fuel_gal
    at = states(limits, load_lb=load_lb, fuel_gal=fuel_gal, taxi_gal=taxi_gal, trip_gal=trip_gal)

    def after(burn_gal: float) -> Mapping[str, float]:
        return burned(fuel_gal, burn_gal, order=limits.burn_order)

    return [
        ("ramp", at.ramp, limits.max_ramp_lb, fuel_gal),
        ("takeoff", at.takeoff, limits.max_takeoff_lb, after(taxi_gal)),
        ("landing", at.landing, limits.max_landing_lb, after(taxi_gal + trip_gal)),
        ("zero_fuel", at.zero_fuel, limits.max_zero_fuel_lb, {}),
    ]


def _weight_notes(
    aircraft: Aircraft, name: str, loaded: Loaded, left_lb: tuple[float, str]
) -> Iterator[str]:
    """What may still be loaded, and the maneuvering speed of this weight."""
    if name == "takeoff" and left_lb[0] > 0.0:
        bound = "" if left_lb[1] == "takeoff" else f", up to the limit {_LABELS[left_lb[1]]}"
        yield f"useful load left {floor(left_lb[0]):,} lb{bound}"
    if name in ("takeoff", "landing"):
        speed = maneuvering_speed(aircraft, weight_lb=loaded.weight_lb)
        if speed.value is not None:
            yield f"maneuvering speed {floor(speed.value)} kt at this weight"


def _all_along(aircraft: Aircraft, flight: Flight, draws: Sequence[tuple[str, float]]) -> Finding:
    """Where the center of gravity comes nearest to a limit between the ramp and dry tanks."""
    limits = aircraft.loading
    paths = burn_paths(limits, load_lb=flight.load_lb, fuel_gal=flight.fuel_gal, draws=draws)
    near = tightest(limits, paths)
    known = near.forward_in <= near.aft_in
    limit = _arm_limit(aircraft, "burn", (near.forward_in, near.aft_in) if known else (None, None))
    left_gal = (near.loaded.weight_lb - paths[0][-1].weight_lb) / limits.fuel_lb_per_gal
    where = f"{near.loaded.weight_lb:,.0f} lb, {left_gal:.1f} gal left"
    order = "tanks as planned" if draws else "tanks in any order"
    if limits.burn_order and not draws:
        order = f"tanks in the manual's order: {', '.join(limits.burn_order)}"
    if not known:
        missing = f"an envelope that reaches {where} with {order}: change the load"
        return unknown(limit, missing, where=where)
    utility = utility_of(limits)
    inside = utility is not None and tightest(utility, paths).margin_in >= -_NOISE_IN
    note = "; ".join([order, *_envelope_words(utility is not None, inside)])
    workings = tuple(
        f"{one.weight_lb:,.1f} lb at {one.arm_in:.2f} in" for path in paths for one in path
    )
    return Finding(limit=limit, value=near.loaded.arm_in, where=where, note=note, workings=workings)


def _envelope_words(has_utility: bool, inside_utility: bool) -> Iterator[str]:
    """Which envelope it is in, where there are two."""
    if has_utility:
        yield "in the utility envelope" if inside_utility else "in the normal envelope only"


def flight_loading(plan: Plan, way: Way, rules: RuleSet) -> tuple[Finding, ...]:
    """The findings on any order of tanks; on the planned one where not every order is inside."""
    trip = trip_gal(plan, way)
    in_any_order = loading_findings(plan.aircraft, plan.flight, trip_gal=trip)
    burn = next(one for one in in_any_order if one.limit.key == "airplane.balance_burn")
    if burn.verdict is Verdict.INSIDE or plan.aircraft.loading.burn_order:
        return in_any_order
    draws = tuple(_planned_draws(plan, fuel_plan(plan, way, rules)))
    return loading_findings(plan.aircraft, plan.flight, trip_gal=trip, draws=draws)


def _planned_draws(plan: Plan, fuel: FuelPlan) -> Iterator[tuple[str, float]]:
    """Stretches on one tank until the landing, from what each tank holds at their ends."""
    tanks = [fuel.first_tank, *(change.to_tank for change in fuel.changes)]
    ends_gal = [*(change.left_gal for change in fuel.changes), fuel.landing_left_gal]
    held_gal = plan.flight.fuel_gal.get
    left_gal = {tank.name: held_gal(tank.name, 0.0) for tank in plan.aircraft.loading.tanks}
    for tank, end_gal in zip(tanks, ends_gal, strict=True):
        if tank:
            end = max(0.0, end_gal[tank])  # without the noise of sums
            yield tank, left_gal[tank] - end
            left_gal[tank] = end


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


def _weight(aircraft: Aircraft, name: str, loaded: Loaded, max_lb: float) -> Finding:
    limit = Limit(
        key=f"airplane.weight_{name}",
        label=f"weight, {_LABELS[name]}",
        unit="lb",
        high=max_lb,
        tolerance=300.0,
        basis="manual",
        source=f"{aircraft.manual}, limitations",
    )
    return Finding(limit=limit, value=loaded.weight_lb)


def _arm(aircraft: Aircraft, name: str, loaded: Loaded) -> Finding:
    limits, weight_lb, arm_in = aircraft.loading, loaded.weight_lb, loaded.arm_in
    forward_in, aft_in = arm_limits_in(limits, weight_lb, near_in=arm_in)
    known = bool(forward_in <= aft_in)  # NaN where the envelope has no such weight
    limit = _arm_limit(
        aircraft, name, (float(forward_in), float(aft_in)) if known else (None, None)
    )
    where = f"{weight_lb:,.0f} lb"
    if not known:
        return unknown(limit, f"an envelope that reaches {where}: change the load", where=where)
    utility = utility_of(limits)
    inside = utility is not None and bool(arm_margin_in(utility, weight_lb, arm_in) >= -_NOISE_IN)
    note = "; ".join(_envelope_words(utility is not None, inside))
    return Finding(limit=limit, value=arm_in, where=where, note=note)


def _arm_limit(aircraft: Aircraft, name: str, ends_in: tuple[float | None, float | None]) -> Limit:
    return Limit(
        key=f"airplane.balance_{name}",
        label=f"center of gravity, {_LABELS[name]}",
        unit="in",
        low=ends_in[0],
        high=ends_in[1],
        basis="manual",
        source=f"{aircraft.manual}, loading envelope",
    )
