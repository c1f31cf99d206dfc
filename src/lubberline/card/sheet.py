"""What stands on the card: every word and number, already rounded, of one chosen way.

Text only, so that the template lays out and decides nothing. What is needed is rounded up,
what is available down, and a moment by which something must be had to the early side.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import nan
from typing import Final

from lubberline.card.astray import NearRow, elsewhere, near_rows
from lubberline.card.bounds import fitted, stretch_rows
from lubberline.card.divert import DivertRow, divert_rows
from lubberline.card.entry import EntryRow, entry_rows
from lubberline.card.facts import arrival, heed, heed_count, numbers, speeds
from lubberline.card.flow import FlowRow, flow_rows
from lubberline.card.gates import GateRow, gate_rows
from lubberline.card.legs import leg_rows, times, total
from lubberline.card.rows import LegRow, NumberRow, Pair, RadioRow, StretchRow, short
from lubberline.card.runway import RunwaySketch, runway_sketch
from lubberline.card.talk import keep_clear, ladder
from lubberline.fit import fuel_plan, open_findings, order_words, rules_of, settings
from lubberline.flight import SHORT_DIGITS, Plan
from lubberline.line import Finding
from lubberline.ways import Way, radio_calls
from lubberline.wording import CAUTION

WAY_SIGNS: Final = 34  # own: what the heading holds on half a letter
AIRPLANE_SIGNS: Final = 30
TASKS: Final = "practice"  # findings that only the flight itself decides
PRACTICE_SIGNS: Final = 60
NEIGHBOR_SIGNS: Final = 23


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """Everything the template may use. A test holds template and class together."""

    route: str
    way: str
    date: str
    call_sign: str
    airplane: str
    pledge: str
    heed_count: str
    times: tuple[Pair, ...]
    legs: tuple[LegRow, ...]
    stretches: tuple[StretchRow, ...]
    total: str
    ladder: tuple[RadioRow, ...]
    keep_clear: tuple[Pair, ...]
    tanks: str
    arrival: tuple[Pair, ...]
    entries: tuple[EntryRow, ...]
    flow: tuple[FlowRow, ...]
    gates: tuple[GateRow, ...]
    runway: RunwaySketch
    numbers: tuple[NumberRow, ...]
    speeds: tuple[Pair, ...]
    heed: tuple[NumberRow, ...]
    near: tuple[NearRow, ...]
    diverts: tuple[DivertRow, ...]
    elsewhere: tuple[Pair, ...]
    caution: str
    practice: tuple[str, ...] = ()


def make_sheet(
    plan: Plan,
    way: Way,
    findings: Sequence[Finding],
    *,
    pledge_sha256: str,
    practice: Sequence[str] = (),
) -> Sheet:
    """The card of one way with the findings of the day; ``practice`` are tasks for this flight."""
    findings = [one for one in open_findings(findings) if one.limit.group != TASKS]
    departure, destination = settings(plan, way)
    aircraft, fuel = plan.aircraft, fuel_plan(plan, way, rules_of(plan))
    stretches = tuple(stretch_rows(plan, way))
    by_key, calls = {one.limit.key: one for one in findings}, radio_calls(plan, way)
    return Sheet(
        route=f"{departure.name} → {destination.name}",
        way=short(way.name, WAY_SIGNS),
        date=f"{plan.flight.off_block_utc:%Y-%m-%d}",
        call_sign=aircraft.call_sign,
        airplane=short(aircraft.type_name, AIRPLANE_SIGNS),
        pledge=pledge_sha256[:SHORT_DIGITS],
        heed_count=heed_count(findings),
        times=tuple(times(plan, way)),
        legs=tuple(leg_rows(plan, way, departure, fuel)),
        total=total(plan, way),
        ladder=ladder(plan, way, calls),
        stretches=tuple(fitted(stretches)),
        keep_clear=tuple(
            replace(one, label=short(one.label, NEIGHBOR_SIGNS))
            for one in keep_clear(plan, way)
            if _said(one, stretches)
        ),
        tanks=order_words(fuel) if fuel.first_tank else "",
        arrival=tuple(arrival(destination)),
        entries=tuple(entry_rows(way, destination)),
        flow=tuple(flow_rows(plan, way, calls)),
        gates=tuple(gate_rows(plan, way, destination)),
        runway=runway_sketch(way, destination, by_key.get("flight.landing_distance")),
        numbers=tuple(numbers(findings, departure, destination)),
        speeds=tuple(speeds(plan, weight_lb=_weight_lb(by_key))),
        heed=tuple(heed(findings)),
        near=tuple(near_rows(plan, way)),
        diverts=tuple(divert_rows(plan, way, weight_lb=_weight_lb(by_key))),
        elsewhere=tuple(elsewhere(plan, fuel)),
        caution=CAUTION,
        practice=tuple(short(one, PRACTICE_SIGNS) for one in practice),
    )


def _weight_lb(by_key: Mapping[str, Finding]) -> float:
    """Weight at take-off; NaN if it is not known."""
    found = by_key.get("airplane.weight_takeoff")
    return nan if found is None or found.value is None else found.value


def _said(neighbor: Pair, stretches: Sequence[StretchRow]) -> bool:
    """Whether a neighbor is not told already as what bounds a height."""
    return not any(neighbor.label in (row.least_why, row.most_why) for row in stretches)
