"""The 100-hour inspection: when it is asked for, when it is due, and its overfly rule.

It is asked for only where persons are carried for hire, or where somebody gives instruction
for hire in an airplane which that person provides; an airplane rented without an instructor
does not need it. An annual inspection stands for it. It may be run past by 10 hours only on
the way to the place of inspection, and the excess counts against the next 100 hours.
"""

from typing import Final

from lubberline.aircraft import Aircraft, Due, HourBound, Item, item_due
from lubberline.fit.operation import Operation
from lubberline.fit.upkeep import Duty

INTERVAL_H: Final = 100.0  # [14CFR91.409]_ (b)
OVERFLY_H: Final = 10.0  # same
OVERFLY_NOTE: Final = (
    f"up to {OVERFLY_H:g} h past it only on the way to its inspection;"
    " the excess counts against the next 100"
)
NOT_ASKED: Final = {
    "none": "nobody is carried or taught for hire",
    "rental": "rented to its pilot without an instructor",
}


def hundred_hour(aircraft: Aircraft, operation: Operation | None) -> Duty:
    """The duty for one flight, or for whatever the airplane will be used for [14CFR91.409]_."""
    upkeep = aircraft.upkeep
    item, annual = upkeep.of_kind("hundred-hour"), upkeep.of_kind("annual")
    entries = _of_one_clock(item, annual)
    why_not, in_doubt = _asked_for(operation)
    due = _due(entries) if entries else None
    missing = "" if due else _missing(item)
    if item is not None and due is not None:
        due = Due(bounds=(*due.bounds, *item_due(item).bounds))
    to_inspection = operation is not None and operation.to_inspection
    return Duty(
        key="airplane.hundred_hour",
        label="100-hour inspection",
        basis="law",
        source="14 CFR 91.409(b), read 2026-11-25",
        due=due,
        last_on=max((one.last.on for one in entries if one.last.on), default=None),
        settled_as="not asked for" if why_not else "",
        missing=missing,
        in_doubt=in_doubt,
        remark="asked for when used for hire",
        note=OVERFLY_NOTE if to_inspection else why_not,
        over_h=OVERFLY_H if to_inspection else 0.0,
    )


def next_hundred_h(done_h: float, was_due_h: float | None) -> float:
    """Reading at which the next one is due, after one that was done early, or late en route.

    >>> next_hundred_h(2104.0, was_due_h=2100.0)
    2200.0
    >>> next_hundred_h(2098.0, was_due_h=2100.0)
    2198.0
    """
    return INTERVAL_H + (done_h if was_due_h is None else min(done_h, was_due_h))


def _of_one_clock(*items: Item | None) -> list[Item]:
    """The entries with hours; only those of the first one's clock, for others do not compare."""
    entries = [item for item in items if item is not None and item.last.h is not None]
    return [item for item in entries if item.clock == entries[0].clock]


def _due(entries: list[Item]) -> Due:
    """From the latest of both inspections; the one before tells what it had been due at.

    More than 10 hours past that, the airplane was not used for hire in between, and the
    latest inspection begins a new count.
    """
    latest = max(entries, key=_last_h)
    was_due_h = latest.last.due_h
    for one in entries:
        if one is latest or was_due_h is not None:
            continue
        before_h = next_hundred_h(_last_h(one), one.last.due_h)
        if 0.0 < _last_h(latest) - before_h <= OVERFLY_H:
            was_due_h = before_h
    at_h = next_hundred_h(_last_h(latest), was_due_h)
    done = f"{latest.kind} inspection at {_last_h(latest):,.1f} h"
    late = f", which was due at {was_due_h:,.1f} h" if was_due_h is not None else ""
    account = f"{INTERVAL_H:g} h after the {done}{late}"
    return Due(bounds=(HourBound(clock=latest.clock, at_h=at_h, account=account),))


def _asked_for(operation: Operation | None) -> tuple[str, str]:
    """Why it is not asked for, and what would tell whether it is; both empty if it is."""
    if operation is None or operation.for_hire:
        return "", ""
    if operation.for_hire is None:
        return "", "hire in flight.toml"
    alone = "the pilot is alone, nobody is carried or taught"
    return NOT_ASKED.get(operation.hire or "", alone), ""


def _missing(item: Item | None) -> str:
    if item is not None:
        return f"last_h of upkeep.item {item.name!r}"
    return "an upkeep.item of kind 'hundred-hour' in the aircraft file"


def _last_h(item: Item) -> float:
    return item.last.h or 0.0
