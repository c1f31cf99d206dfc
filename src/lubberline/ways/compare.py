"""All ways of a plan in one list: the pilot's own routes and those that the search finds."""

from dataclasses import replace
from typing import Final

from lubberline.errors import NoSolution
from lubberline.flight import Plan
from lubberline.ways.candidates import evaluate_candidates
from lubberline.ways.from_plan import air_guesses
from lubberline.ways.kept import found_ways
from lubberline.ways.likeness import alike
from lubberline.ways.model import ImpossibleWay, Way

OWN_MIN: Final = 0.5  # own: a found way has to be so much quicker than an own one beside it


def all_ways(plan: Plan) -> tuple[tuple[Way, ...], tuple[ImpossibleWay, ...]]:
    """Own and found ways, fastest first, and the own ones that cannot be flown.

    Nothing is sought unless the flight asks for it.

    Raises
    ------
    NoSolution
        If no way can be flown; the message names each and its reason.
    """
    if plan.flight.search is None:
        return evaluate_candidates(plan)
    own: tuple[Way, ...] = ()
    impossible: tuple[ImpossibleWay, ...] = ()
    if plan.flight.candidates:
        try:
            own, impossible = evaluate_candidates(plan)
        except NoSolution:
            own = ()
    try:
        sought = found_ways(plan)
    except NoSolution as exc:
        if not own:
            raise
        sought = ()
        none = ImpossibleWay(name="any that [search] asks for", cruise_msl_ft=None, reason=str(exc))
        impossible = (*impossible, none)
    found = [
        replace(way, findings=(*way.findings, *air_guesses(plan)))
        for way in sought
        if not any(_drawn(way, one) for one in own)
    ]
    return tuple(sorted([*own, *found], key=lambda way: way.time_min)), impossible


def _drawn(found: Way, own: Way) -> bool:
    """Whether a found way is one that the pilot drew already, and no better."""
    return (
        alike(found, own)
        and own.permissions <= found.permissions
        and not own.violations
        and own.time_min <= found.time_min + OWN_MIN
    )
