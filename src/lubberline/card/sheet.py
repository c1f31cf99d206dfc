"""What stands on the card: every word and number, already rounded, of one chosen way.

Text only, so that the template lays out and decides nothing. What is needed is rounded up,
what is available down, and a moment by which something must be had to the early side.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import nan

from lubberline.card.astray import NearRow, elsewhere, near_rows
from lubberline.card.facts import arrival, heed, heed_count, numbers, speeds
from lubberline.card.flow import FlowRow, flow_rows
from lubberline.card.gates import gate_rows
from lubberline.card.legs import leg_rows, times, total
from lubberline.card.rows import Contact, LegRow, NumberRow, Pair
from lubberline.card.runway import RunwaySketch, runway_sketch
from lubberline.card.talk import contacts, keep_clear, radio
from lubberline.fit import fuel_plan, open_findings, order_words, rules_of, settings
from lubberline.flight import SHORT_DIGITS, Plan
from lubberline.line import Finding
from lubberline.ways import Way
from lubberline.wording import CAUTION


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
    total: str
    contacts: tuple[Contact, ...]
    keep_clear: tuple[Pair, ...]
    radio: tuple[Pair, ...]
    tanks: str
    arrival: tuple[Pair, ...]
    flow: tuple[FlowRow, ...]
    gates: tuple[Pair, ...]
    runway: RunwaySketch
    numbers: tuple[NumberRow, ...]
    speeds: tuple[Pair, ...]
    heed: tuple[NumberRow, ...]
    near: tuple[NearRow, ...]
    elsewhere: tuple[Pair, ...]
    caution: str


def make_sheet(plan: Plan, way: Way, findings: Sequence[Finding], *, pledge_sha256: str) -> Sheet:
    """The card of one way with the findings of the day."""
    findings = open_findings(findings)
    departure, destination = settings(plan, way)
    aircraft, fuel = plan.aircraft, fuel_plan(plan, way, rules_of(plan))
    by_key = {finding.limit.key: finding for finding in findings}
    return Sheet(
        route=f"{departure.name} → {destination.name}",
        way=way.name,
        date=f"{plan.flight.off_block_utc:%Y-%m-%d}",
        call_sign=aircraft.call_sign,
        airplane=f"{aircraft.name}, {aircraft.type_name}",
        pledge=pledge_sha256[:SHORT_DIGITS],
        heed_count=heed_count(findings),
        times=tuple(times(plan, way)),
        legs=tuple(leg_rows(plan, way, departure, fuel)),
        total=total(plan, way),
        contacts=tuple(contacts(plan, way)),
        keep_clear=tuple(keep_clear(plan, way)),
        radio=tuple(radio(plan, way)),
        tanks=order_words(fuel) if fuel.first_tank else "",
        arrival=tuple(arrival(destination)),
        flow=tuple(flow_rows(plan, way)),
        gates=tuple(gate_rows(plan, way, destination)),
        runway=runway_sketch(destination, by_key.get("flight.landing_distance")),
        numbers=tuple(numbers(findings)),
        speeds=tuple(speeds(plan, weight_lb=_weight_lb(by_key))),
        heed=tuple(heed(findings)),
        near=tuple(near_rows(plan, way)),
        elsewhere=tuple(elsewhere(fuel)),
        caution=CAUTION,
    )


def _weight_lb(by_key: Mapping[str, Finding]) -> float:
    """Weight at take-off; NaN if it is not known."""
    found = by_key.get("airplane.weight_takeoff")
    return nan if found is None or found.value is None else found.value
