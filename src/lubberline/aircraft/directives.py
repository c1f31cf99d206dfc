"""Where an airplane stands with each directive: whether it applies, what is done, what is due.

A directive that does not apply says why; what cannot be told from the file says which entry
is missing. Nothing here grants a grace: a directive may not be run past by an hour or a day.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from functools import partial
from typing import Final

from lubberline.aircraft.ledger import (
    Bound,
    DayBound,
    Due,
    end_bounds,
    interval_bounds,
)
from lubberline.aircraft.model import Aircraft
from lubberline.aircraft.upkeep import Directive, Done, End, Interval

SERIAL: Final = re.compile(r"(.*?)(\d+)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What a directive comes to: settled, or due, or not known and what would supply it.

    ``applies`` is None where that is not known. ``settled`` is that it does not apply or asks
    for nothing more; ``account`` says why.
    """

    directive: Directive
    applies: bool | None
    settled: bool
    account: str
    due: Due | None = None
    missing: str = ""

    @property
    def last(self) -> Done | None:
        """The latest compliance, None where there was none."""
        return latest(self.directive)


def standing(directive: Directive, aircraft: Aircraft) -> Standing:
    """Where one airplane stands with one directive."""
    applies, account = applicability(directive, aircraft)
    stands = partial(Standing, directive=directive, applies=applies)
    if applies is None:
        words = f"whether it applies to this airplane depends on {account}"
        return stands(settled=False, account=words, missing=account)
    if not applies:
        return stands(settled=True, account=f"does not apply: {account}")
    last = latest(directive)
    if last is None:
        return stands(settled=False, account="not complied with yet", due=_first_due(directive))
    account = f"done {last.on} ({last.method}; {last.reference})"
    every, ended_by = _in_force(directive)
    if every is None:
        why = f"ended by: {ended_by.action}" if ended_by else "required once"
        return stands(settled=True, account=f"{why}; {account}")
    place = f"of the latest directive.done of {directive.number}"
    bounds = interval_bounds(every, last, clock=directive.clock, prefix="", place=place)
    return stands(settled=False, account=account, due=Due(bounds=tuple(bounds)))


def applicability(directive: Directive, aircraft: Aircraft) -> tuple[bool | None, str]:
    """Whether it applies, and why not; None with the entry that would tell.

    One condition that is not met decides, whatever else is not known.
    """
    told = list(_conditions(directive, aircraft))
    for met, account in told:
        if met is False:
            return False, account
    missing = [account for met, account in told if met is None]
    return (None, " and ".join(missing)) if missing else (True, "")


def serial_in_range(serial: str, first: str, last: str) -> bool:
    """Whether a serial number lies between two of the same make, ends included.

    Serials are letters and signs, then a number; only those of the same letters compare.
    """
    (made, number), (first_made, low), (last_made, high) = map(_split, (serial, first, last))
    if number is None or low is None or high is None:
        return False
    return made == first_made == last_made and low <= number <= high


def latest(directive: Directive) -> Done | None:
    """The latest compliance, None where there was none."""
    return directive.done[-1] if directive.done else None


def _conditions(directive: Directive, aircraft: Aircraft) -> Iterator[tuple[bool | None, str]]:
    yield from _serial_condition(directive, aircraft)
    yield from _configuration_conditions(directive, aircraft)
    yield from _hour_conditions(directive)


def _serial_condition(
    directive: Directive, aircraft: Aircraft
) -> Iterator[tuple[bool | None, str]]:
    ranges, part = directive.applies.serial_ranges, directive.applies.part
    if not ranges:
        return
    serial = aircraft.serials.get(part)
    if serial is None:
        yield None, f"serials.{part} in the aircraft file"
        return
    shown = " or ".join(f"{first} to {last}" for first, last in ranges)
    met = any(serial_in_range(serial, first, last) for first, last in ranges)
    yield met, f"{part} serial {serial} is not in {shown}"


def _configuration_conditions(
    directive: Directive, aircraft: Aircraft
) -> Iterator[tuple[bool | None, str]]:
    wanted, unwanted = directive.applies.only_with, directive.applies.only_without
    if not wanted and not unwanted:
        return
    if aircraft.configuration is None:
        yield None, "configuration in the aircraft file"
        return
    fitted = set(aircraft.configuration)
    if wanted:
        yield bool(fitted & set(wanted)), f"it has no {' and no '.join(wanted)}"
    present = sorted(fitted & set(unwanted))
    yield not present, f"it has {' and '.join(present)}"


def _hour_conditions(directive: Directive) -> Iterator[tuple[bool | None, str]]:
    applies, had_h = directive.applies, directive.effective_h
    if applies.from_h is None and applies.below_h is None:
        return
    if had_h is None:
        yield None, f"effective_h of directive {directive.number}"
        return
    had_h -= directive.part_new_h
    when = f"{had_h:,.1f} h on {directive.effective_on}"
    if applies.from_h is not None:
        yield had_h >= applies.from_h, f"{when}, and it is for {applies.from_h:,g} h or more"
    if applies.below_h is not None:
        yield had_h < applies.below_h, f"{when}, and it is for less than {applies.below_h:,g} h"


def _first_due(directive: Directive) -> Due:
    """When it must first be complied with."""
    first, came = directive.first, directive.effective_on
    since = Done(on=came, h=directive.effective_h)
    place = f"of directive {directive.number}"
    bounds: list[Bound] = [
        *interval_bounds(
            first.within, since, clock=directive.clock, prefix="effective_", place=place
        ),
        *end_bounds(_of_clock(first.at, directive.part_new_h), clock=directive.clock),
    ]
    if not bounds:
        account = f"before the next flight, from {came}"
        bounds = [DayBound(last_day=came - timedelta(days=1), account=account)]
    return Due(bounds=tuple(bounds), whichever=first.whichever)


def _of_clock(end: End, part_new_h: float) -> End:
    """An end in the part's own hours as one on the clock."""
    h = None if end.h is None else end.h + part_new_h
    return End(on=end.on, h=h, cycles=end.cycles)


def _in_force(directive: Directive) -> tuple[Interval | None, Done | None]:
    """The interval after the latest entry, None where it is over, and the entry that ended it."""
    every = directive.then
    for entry in directive.done:
        for alternative in directive.alternatives:
            if entry.action == alternative.action:
                every = None if alternative.every.is_empty else alternative.every
                if every is None:
                    return None, entry
    return every, None


def _split(serial: str) -> tuple[str, int | None]:
    """The letters before the number, and the number; None where it does not end in one."""
    text = serial.strip().upper()
    found = SERIAL.fullmatch(text)
    return (found[1], int(found[2])) if found else (text, None)
