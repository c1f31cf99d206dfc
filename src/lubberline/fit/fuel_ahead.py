"""Findings of the fuel plan: tanks kept level, a way back, and fuel to go on elsewhere."""

from collections.abc import Iterator

from lubberline.fit.decisions import Decision
from lubberline.fit.tanks import FuelPlan, is_chosen
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown
from lubberline.units import MIN_PER_H


def fuel_ahead_findings(plan: Plan, fuel: FuelPlan, *, used_sigma_gal: float) -> Iterator[Finding]:
    """Tanks, then turning back, then each alternate; ``used_sigma_gal`` is how sure the burn is."""
    if len(plan.aircraft.loading.tanks) > 1 and is_chosen(plan.aircraft):
        yield _tanks(plan, fuel)
    if fuel.cruise_gph is None:
        missing = f"{fuel.missing} ({plan.flight.aircraft_file})"
        yield unknown(_back_limit(plan), missing)
        yield from (unknown(_divert_limit(name), missing) for name in plan.flight.alternate_ids)
        return
    for one in fuel.decisions:
        yield (
            _back(plan, one, fuel.cruise_gph)
            if one.turns_back
            else _divert(one, fuel.cruise_gph, used_sigma_gal)
        )


def order_words(fuel: FuelPlan) -> str:
    """Which tank first, every change by the clock, and the one for the landing."""
    changes = [f"to {one.to_tank} at {one.at_utc:%H:%MZ}" for one in fuel.changes]
    cruise = "" if fuel.changes_in_cruise else "; a change falls into climb or descent"
    words = ", ".join([f"start on {fuel.first_tank}", *changes])
    return f"{words}; land on {fuel.landing_tank}, the fullest{cruise}"


def _tanks(plan: Plan, fuel: FuelPlan) -> Finding:
    limit = Limit(
        key="flight.tank_imbalance",
        label="fuel imbalance between tanks",
        unit="gal",
        high=fuel.imbalance_max_gal,
        basis="manual",
        source=f"{plan.aircraft.manual}, fuel imbalance",
    )
    if fuel.imbalance_gal is None:
        return unknown(limit, fuel.order_missing)
    words = order_words(fuel)
    if fuel.imbalance_max_gal is None:
        missing = f"imbalance_max_gal under [loading] in {plan.flight.aircraft_file}"
        return unknown(limit, missing, where=words, note=f"{fuel.imbalance_gal:.1f} gal at most")
    workings = [f"tank {name}: {gal:g} gal" for name, gal in plan.flight.fuel_gal.items()]
    workings += [
        f"{one.at_utc:%H:%MZ} to {one.to_tank}: {_tank_words(one.left_gal)}" for one in fuel.changes
    ]
    workings.append(f"landing on {fuel.landing_tank}: {_tank_words(fuel.landing_left_gal)}")
    return Finding(limit=limit, value=fuel.imbalance_gal, where=words, workings=tuple(workings))


def _tank_words(left_gal: object) -> str:
    assert isinstance(left_gal, dict)
    return ", ".join(f"{name} {gal:.1f} gal" for name, gal in left_gal.items())


def _back_limit(plan: Plan) -> Limit:
    return Limit(
        key="flight.turn_back",
        label=f"latest turn back to {plan.departure.id}",
        unit="min",
        low=0.0,
        tolerance=30.0,
        basis="own",
        source="own: the flight begins with a way back and the reserve",
    )


def _back(plan: Plan, one: Decision, cruise_gph: float) -> Finding:
    """Minutes after take-off; negative are those of fuel that are short at once."""
    short_min = one.at_takeoff_gal / cruise_gph * MIN_PER_H
    return Finding(
        limit=_back_limit(plan),
        value=short_min if one.after_min is None else one.after_min,
        where=decision_words(one),
        note=_over_words(one),
        workings=(*_decision_workings(one),),
    )


def _divert_limit(to_id: str) -> Limit:
    return Limit(
        key=f"flight.divert_{to_id}",
        label=f"fuel beyond the reserve to go on to {to_id}",
        unit="min",
        low=0.0,
        tolerance=30.0,
        basis="own",
        source="own: an alternate in flight.toml can be reached from over the destination",
    )


def _divert(one: Decision, cruise_gph: float, used_sigma_gal: float) -> Finding:
    return Finding(
        limit=_divert_limit(one.to_id),
        value=one.over_destination_gal / cruise_gph * MIN_PER_H,
        sigma=used_sigma_gal / cruise_gph * MIN_PER_H,
        where=decision_words(one),
        note=_over_words(one),
        workings=(*_decision_workings(one),),
    )


def decision_words(one: Decision) -> str:
    """When and where the last moment is."""
    if one.at_utc is None:
        return "not even at take-off"
    here = f"{one.at_utc:%H:%MZ}, {one.along_nm:.1f} NM along, {one.left_gal:.1f} gal left"
    return f"all the way, to {here}" if one.always else f"latest {here}"


def _over_words(one: Decision) -> str:
    side = "beyond" if one.over_destination_gal >= 0.0 else "short of"
    return f"from over the destination {abs(one.over_destination_gal):.1f} gal {side} the reserve"


def _decision_workings(one: Decision) -> Iterator[str]:
    yield "left, less straight there at normal cruise in wind, less pattern, less reserve:"
    yield f"at take-off {one.at_takeoff_gal:+.2f} gal"
    yield f"over the destination {one.over_destination_gal:+.2f} gal"
    yield decision_words(one)
