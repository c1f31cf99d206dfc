"""The pilot's own routes of a plan as ways, at the hours at which they pass."""

from dataclasses import replace

from lubberline.errors import NoSolution, RangeError
from lubberline.flight import Candidate, Plan
from lubberline.ways.evaluate import evaluate
from lubberline.ways.from_plan import above_takeoff_lb, air_guesses, problem_from_plan
from lubberline.ways.hours import at_its_hours
from lubberline.ways.model import ImpossibleWay, Way


def evaluate_plan(plan: Plan) -> tuple[Way, ...]:
    """Every candidate that can be flown, fastest first; of equally fast ones the plan's order.

    Raises
    ------
    NoSolution
        If none can; the message names each and its reason.
    """
    return evaluate_candidates(plan)[0]


def evaluate_candidates(plan: Plan) -> tuple[tuple[Way, ...], tuple[ImpossibleWay, ...]]:
    """As ``evaluate_plan``; and the candidates that cannot be flown, in the plan's order.

    Raises
    ------
    NoSolution
        If none can; the message names each and its reason.
    """
    made = [_evaluated(plan, candidate) for candidate in plan.flight.candidates]
    ways = [one for one in made if isinstance(one, Way)]
    impossible = tuple(one for one in made if isinstance(one, ImpossibleWay))
    if not ways:
        raise NoSolution("\n".join(str(one) for one in impossible))
    return tuple(sorted(ways, key=lambda way: way.time_min)), impossible


def _evaluated(plan: Plan, candidate: Candidate) -> Way | ImpossibleWay:
    try:
        way = evaluate(
            problem_from_plan(plan, candidate.cruise_msl_ft),
            candidate.name,
            via=candidate.via,
            cruise_msl_ft=candidate.cruise_msl_ft,
            permissions=candidate.permissions,
        )
    except (NoSolution, RangeError) as exc:
        return ImpossibleWay(
            name=candidate.name,
            cruise_msl_ft=candidate.cruise_msl_ft,
            reason=str(exc),
            remedy=_remedy(plan),
        )
    way = at_its_hours(plan, way)
    return replace(way, findings=(*way.findings, *air_guesses(plan)))


def _remedy(plan: Plan) -> str:
    """What helps where the tables end at a weight that the airplane is above."""
    over_lb = above_takeoff_lb(plan)
    if over_lb <= 0.0:
        return ""
    return f"{over_lb:.0f} lb above the greatest take-off weight, see: lubberline reload"
