"""What the United States rules ask of an airplane's logbooks, for flight under visual rules.

Each kind of item that a rule knows gets the rule's interval on top of its own. Directives
bind every flight. What a flight under visual rules does not ask for is named as such. Not
looked at: the exceptions of 91.207(e) and (f), progressive inspections, special flight permits.
"""

from dataclasses import dataclass
from datetime import date
from typing import Final

from lubberline.aircraft import (
    Aircraft,
    DayBound,
    Due,
    Interval,
    Item,
    Kind,
    Standing,
    item_due,
    standing,
)
from lubberline.fit.operation import Operation
from lubberline.fit.upkeep import Duty, Occasion, duty_finding
from lubberline.fit.us.hundred_hour import hundred_hour
from lubberline.line import Finding, Limit, unknown
from lubberline.months import same_day_after

READ: Final = "read 2026-11-25"
BATTERY_USE_H: Final = 1.0  # [14CFR91.207]_ (c)(1): when used for more than 1 cumulative hour
# Common practice, no source: a cycle of 28 days, of which the first is the day it takes effect.
DATABASE: Final = Interval(days=27)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rule:
    kind: Kind
    name: str
    label: str
    section: str
    every: Interval
    entry: str
    instrument_only: bool = False


RULES: Final = (
    _Rule(
        kind="annual",
        name="annual",
        label="annual inspection",
        section=f"14 CFR 91.409(a)(1), {READ}",  # [14CFR91.409]_
        every=Interval(calendar_months=12),
        entry="upkeep.annual_on",
    ),
    _Rule(
        kind="transponder",
        name="transponder",
        label="transponder test",
        section=f"14 CFR 91.413(a), {READ}",  # [14CFR91.413]_
        every=Interval(calendar_months=24),
        entry="upkeep.transponder_on",
    ),
    _Rule(
        kind="elt",
        name="elt",
        label="ELT inspection",
        section=f"14 CFR 91.207(d), {READ}",  # [14CFR91.207]_
        every=Interval(calendar_months=12),
        entry="upkeep.elt_inspected_on",
    ),
    _Rule(
        kind="altimeter-static",
        name="altimeter_static",
        label="altimeter and static test",
        section=f"14 CFR 91.411(a), {READ}",  # [14CFR91.411]_
        every=Interval(calendar_months=24),
        entry="upkeep.altimeter_static_on",
        instrument_only=True,
    ),
    _Rule(
        kind="registration",
        name="registration",
        label="registration",
        section="14 CFR 91.203(a)(2), from memory",
        every=Interval(),
        entry="until of an upkeep.item of kind 'registration'",
    ),
)
RULED: Final = (*(rule.kind for rule in RULES), "elt-battery", "hundred-hour")


def duties(aircraft: Aircraft, operation: Operation | None) -> tuple[Duty, ...]:
    """Everything the airplane comes due for, in one operation or (None) whatever it is used for."""
    items = [item for item in aircraft.upkeep.items if item.kind not in RULED]
    return (
        *(_ruled(rule, aircraft) for rule in RULES),
        _battery(aircraft),
        hundred_hour(aircraft, operation),
        *(_own(item) for item in items),
        *(_directive(standing(one, aircraft)) for one in aircraft.directives),
    )


def upkeep_findings(
    aircraft: Aircraft, operation: Operation, occasion: Occasion
) -> tuple[Finding, ...]:
    """Whether the flight runs past anything, one finding for each duty."""
    return tuple(duty_finding(duty, occasion) for duty in duties(aircraft, operation))


def _ruled(rule: _Rule, aircraft: Aircraft) -> Duty:
    item = aircraft.upkeep.of_kind(rule.kind)
    due = item_due(item, rule.every) if item else None
    known = due is not None and bool(due.bounds)
    return Duty(
        key=f"airplane.{rule.name}",
        label=rule.label,
        basis="law",
        source=rule.section,
        due=due,
        last_on=item.last.on if item else None,
        settled_as="not asked for" if rule.instrument_only else "",
        missing="" if known else f"{rule.entry} in the aircraft file",
        remark="instrument flight only" if rule.instrument_only else "",
        note=_rule_note(rule),
    )


def _rule_note(rule: _Rule) -> str:
    if rule.instrument_only:
        return "only flight under instrument rules needs it"
    return "the rule is from memory" if "memory" in rule.section else ""


def _battery(aircraft: Aircraft) -> Duty:
    """The emergency transmitter's battery: its marked day, half its life, and its use."""
    item = aircraft.upkeep.of_kind("elt-battery")
    source = f"14 CFR 91.207(c), {READ}"
    due = item_due(item) if item else Due(bounds=())
    half_on = _half_life(item) if item else None
    if half_on is not None:
        bound = DayBound(last_day=half_on, account="half of its useful life")
        due = Due(bounds=(*due.bounds, bound))
    entry = "upkeep.elt_battery_until in the aircraft file, the date marked on the transmitter"
    return Duty(
        key="airplane.elt_battery",
        label="ELT battery",
        basis="law",
        source=source,
        due=due,
        last_on=item.last.on if item else None,
        missing="" if due.bounds else entry,
        more=(_battery_use(item, source),),
    )


def _half_life(item: Item) -> date | None:
    """Last day of the first half of a battery's useful life [14CFR91.207]_ (c)(2)."""
    new_on, months = item.last.on, item.useful_life_months
    if new_on is None or months is None:
        return None
    return new_on + (same_day_after(new_on, months_count=months) - new_on) // 2


def _battery_use(item: Item | None, source: str) -> Finding:
    limit = Limit(
        key="airplane.elt_battery",
        label="ELT battery",
        unit="h",
        high=BATTERY_USE_H,
        basis="law",
        source=source,
    )
    if item is None or item.used_h is None:
        entry = "upkeep.elt_battery_used_h in the aircraft file; 0 if it never transmitted"
        return unknown(limit, entry)
    where = f"used {item.used_h:g} h since it was new"
    return Finding(limit=limit, value=item.used_h, where=where)


def _own(item: Item) -> Duty:
    """What no rule asks of every airplane: the manual's, or the owner's."""
    database = item.kind == "database"
    due = item_due(item, DATABASE if database and item.every.is_empty else None)
    said = item.source or f"upkeep.item {item.name!r} in the aircraft file"
    return Duty(
        key=f"airplane.item.{item.name}",
        label=item.label,
        basis=item.basis,
        source=said,
        due=due,
        last_on=item.last.on,
        note=item.last.reference,
    )


def _directive(stands: Standing) -> Duty:
    """A directive: no operation without it, and no grace [14CFR39.7]_."""
    one = stands.directive
    settled_as = "closed" if stands.applies else "does not apply"
    last = stands.last if stands.applies else None
    no_grace = "" if stands.settled else "; may not be run past"
    return Duty(
        key=f"airplane.directive.{one.number}",
        label=f"directive {one.number}",
        basis="law",
        source=f"directive {one.number}; 14 CFR 39.7 and 39.9, {READ}",
        due=stands.due,
        last_on=last.on if last else None,
        settled_as=settled_as if stands.settled else "",
        missing=stands.missing,
        note=f"{one.subject}: {stands.account}{no_grace}",
    )
