"""What stands on the card: every word and number, already rounded, of one chosen way.

Text only, so that the template lays out and decides nothing. What is needed is rounded up,
what is available down, and a moment by which something must be had to the early side.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from lubberline.card.facts import arrival, heed, heed_count, numbers, speeds
from lubberline.card.legs import leg_rows, times, total
from lubberline.card.rows import Contact, LegRow, NumberRow, Pair
from lubberline.card.talk import contacts, keep_clear, radio
from lubberline.fit import settings
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
    arrival: tuple[Pair, ...]
    numbers: tuple[NumberRow, ...]
    speeds: tuple[Pair, ...]
    heed: tuple[NumberRow, ...]
    caution: str


def make_sheet(plan: Plan, way: Way, findings: Sequence[Finding], *, pledge_sha256: str) -> Sheet:
    """The card of one way with the findings of the day."""
    departure, destination = settings(plan, way)
    aircraft = plan.aircraft
    return Sheet(
        route=f"{departure.name} → {destination.name}",
        way=way.name,
        date=f"{plan.flight.off_block_utc:%Y-%m-%d}",
        call_sign=aircraft.call_sign,
        airplane=f"{aircraft.name}, {aircraft.type_name}",
        pledge=pledge_sha256[:SHORT_DIGITS],
        heed_count=heed_count(findings),
        times=tuple(times(plan, way)),
        legs=tuple(leg_rows(plan, way, departure)),
        total=total(plan, way),
        contacts=tuple(contacts(plan, way)),
        keep_clear=tuple(keep_clear(plan, way)),
        radio=tuple(radio(plan, way)),
        arrival=tuple(arrival(destination)),
        numbers=tuple(numbers(findings)),
        speeds=tuple(speeds(plan)),
        heed=tuple(heed(findings)),
        caution=CAUTION,
    )
