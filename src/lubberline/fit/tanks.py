"""The fuel of one flight, for the card: parts, tanks by clock, endurance, and points of decision.

Everything follows from the fuel burned by each leg. Fuel to another field is that of flying
straight there; the last moment for it is where what is left no longer covers that and the
reserve, found on the fuel itself and not on a table of steps.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from lubberline.aircraft import Aircraft
from lubberline.fit.burn import Burn, burn_of
from lubberline.fit.decisions import Decision, decisions
from lubberline.fit.direct import Direct, direct_of
from lubberline.fit.ends import weights_lb
from lubberline.fit.rules import RuleSet
from lubberline.fit.setting import times_utc
from lubberline.fit.tank_order import TankOrder, tank_order
from lubberline.flight import Plan
from lubberline.units import MIN_PER_H
from lubberline.ways import Way


@dataclass(frozen=True, slots=True, kw_only=True)
class FuelPart:
    """One part of the fuel: what for, how long it takes (None: no time), how much."""

    name: str
    time_min: float | None
    gal: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A change of tank: to which, when, and what every tank holds then."""

    to_tank: str
    at_utc: datetime
    left_gal: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class PointFuel:
    """Fuel over a named point: what is left, and the least with which to go on to the landing."""

    name: str
    over_utc: datetime
    left_gal: float
    least_gal: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FuelPlan:
    """The fuel of one way. ``missing`` says what would tell what is None.

    ``endurance_min`` is from take-off to dry tanks at normal cruise after the climb.
    ``reserve_gal`` is the greater of the legal reserve and the own. ``first_tank`` and
    ``changes`` are empty where there is no order of tanks; ``order_missing`` says why.
    """

    parts: tuple[FuelPart, ...]
    aboard_gal: float
    landing_gal: float
    cruise_gph: float | None
    legal_gal: float | None
    own_gal: float | None
    reserve_gal: float | None
    endurance_min: float | None
    first_tank: str
    changes: tuple[Change, ...]
    landing_tank: str
    landing_left_gal: Mapping[str, float]
    imbalance_gal: float | None
    imbalance_max_gal: float | None
    changes_in_cruise: bool
    order_missing: str
    points: tuple[PointFuel, ...]
    decisions: tuple[Decision, ...]
    missing: str = ""


def fuel_plan(plan: Plan, way: Way, rules: RuleSet) -> FuelPlan:
    """Parts, tanks, endurance, points and decisions of one way."""
    burn, aboard_gal = burn_of(plan, way), sum(plan.flight.fuel_gal.values())
    direct = direct_of(plan, way, weight_lb=weights_lb(plan, way)[0])
    known = direct if isinstance(direct, Direct) else None
    legal_gal, own_gal = _reserves_gal(plan, way, rules, known)
    reserve_gal = None if legal_gal is None else max(legal_gal, own_gal or 0.0)
    order = _order(plan, way, burn)
    takeoff_utc = times_utc(plan, way)[0]
    return FuelPlan(
        parts=tuple(_parts(plan, way)),
        aboard_gal=aboard_gal,
        landing_gal=aboard_gal - float(burn.used_gal[-1]),
        cruise_gph=known.flow_gph if known else None,
        legal_gal=legal_gal,
        own_gal=own_gal,
        reserve_gal=reserve_gal,
        endurance_min=_endurance_min(plan, way, known),
        first_tank=order.runs[0].tank if order else "",
        changes=tuple(_changes(order, burn, takeoff_utc)) if order else (),
        landing_tank=order.runs[-1].tank if order else "",
        landing_left_gal=order.runs[-1].left_gal if order else {},
        imbalance_gal=order.worst_gal if order else None,
        imbalance_max_gal=plan.aircraft.loading.imbalance_max_gal,
        changes_in_cruise=order is None or order.in_cruise,
        order_missing="" if order else _order_missing(plan),
        points=tuple(_points(plan, way, burn, reserve_gal)),
        decisions=_decisions(plan, way, known, reserve_gal),
        missing="" if isinstance(direct, Direct) else direct.missing,
    )


def _parts(plan: Plan, way: Way) -> Iterator[FuelPart]:
    yield FuelPart(
        name="start and taxi", time_min=plan.flight.taxi_out_min, gal=plan.aircraft.taxi_gal
    )
    for phase in ("climb", "cruise", "descent"):
        legs = [leg for leg in way.legs if leg.phase == phase]
        time_min, gal = sum(leg.time_min for leg in legs), sum(leg.fuel_gal for leg in legs)
        yield FuelPart(name=phase, time_min=time_min, gal=gal)
    pattern_min = plan.flight.pattern_min
    pattern_gal = pattern_min / MIN_PER_H * plan.aircraft.descent_gph
    yield FuelPart(name="pattern", time_min=pattern_min, gal=pattern_gal)


def _reserves_gal(
    plan: Plan, way: Way, rules: RuleSet, direct: Direct | None
) -> tuple[float | None, float | None]:
    """The legal reserve and the pilot's own, at normal cruise."""
    if direct is None:
        return None, None
    landing_utc = times_utc(plan, way)[1]
    night = rules.is_night(plan.destination, landing_utc)
    legal_min = rules.fuel_reserve(night=night, night_soon=night).least_min
    own_min = plan.pilot.own.fuel_reserve_min
    per_min_gal = direct.flow_gph / MIN_PER_H
    return legal_min * per_min_gal, None if own_min is None else own_min * per_min_gal


def _endurance_min(plan: Plan, way: Way, direct: Direct | None) -> float | None:
    climb = [leg for leg in way.legs if leg.phase == "climb"]
    left_gal = sum(plan.flight.fuel_gal.values()) - plan.aircraft.taxi_gal
    left_gal -= sum(leg.fuel_gal for leg in climb)
    if direct is None or left_gal < 0.0:
        return None
    return sum(leg.time_min for leg in climb) + left_gal / direct.flow_gph * MIN_PER_H


def _order(plan: Plan, way: Way, burn: Burn) -> TankOrder | None:
    """The order of two tanks that are chosen between; None for others, or if none serves."""
    limits, fuel_gal = plan.aircraft.loading, plan.flight.fuel_gal
    if len(limits.tanks) != 2 or limits.burn_order or not is_chosen(plan.aircraft):
        return None
    cruise = [n for n, leg in enumerate(way.legs) if leg.phase == "cruise"] or [0]
    window = (float(burn.used_gal[cruise[0]]), float(burn.used_gal[cruise[-1] + 1]))
    return tank_order(
        {tank.name: fuel_gal.get(tank.name, 0.0) for tank in limits.tanks},
        float(burn.used_gal[-1]),
        imbalance_max_gal=limits.imbalance_max_gal,
        cruise_gal=window,
    )


def is_chosen(aircraft: Aircraft) -> bool:
    """Whether the selector lets one tank feed alone; without a word of it, it does."""
    return aircraft.systems.fuel_selector != "on or off"


def _order_missing(plan: Plan) -> str:
    tanks, order = plan.aircraft.loading.tanks, plan.aircraft.loading.burn_order
    if len(tanks) == 1 or not is_chosen(plan.aircraft):
        return ""
    if order:
        return f"when to change, from the manual: it has {', '.join(order)} emptied in that order"
    if len(tanks) > 2:
        return f"the manual's order of burning {len(tanks)} tanks"
    return "more fuel, or tanks filled more alike: no order keeps them within the limit"


def _changes(order: TankOrder, burn: Burn, takeoff_utc: datetime) -> Iterator[Change]:
    for before, after in zip(order.runs[:-1], order.runs[1:], strict=True):
        at_min = burn.moment_min(before.until_gal)
        at_utc = takeoff_utc + timedelta(minutes=at_min)
        yield Change(to_tank=after.tank, at_utc=at_utc, left_gal=before.left_gal)


def _points(plan: Plan, way: Way, burn: Burn, reserve_gal: float | None) -> Iterator[PointFuel]:
    """Fuel over every named row of the path; the last is the landing."""
    aboard_gal, takeoff_utc = sum(plan.flight.fuel_gal.values()), times_utc(plan, way)[0]
    after_min = way.path[:, 3].copy()
    after_min[-1] = burn.after_min[-1]
    for name, at_min in zip(way.point_names, after_min, strict=True):
        if name:
            used_gal = float(burn.used(at_min))
            to_go_gal = float(burn.used_gal[-1]) - used_gal
            yield PointFuel(
                name=name,
                over_utc=takeoff_utc + timedelta(minutes=float(at_min)),
                left_gal=aboard_gal - used_gal,
                least_gal=None if reserve_gal is None else to_go_gal + reserve_gal,
            )


def _decisions(
    plan: Plan, way: Way, direct: Direct | None, reserve_gal: float | None
) -> tuple[Decision, ...]:
    if direct is None or reserve_gal is None:
        return ()
    return tuple(decisions(plan, way, direct, reserve_gal=reserve_gal))
