"""Would this flight run past anything that the airplane comes due for, as findings.

A duty is one thing to keep up: what a country's rules made of an entry in the logbooks. Its
ends are held against the day of the flight and against the clocks as the flight will leave
them. Hours flown since the clocks were read are bridged by the airplane's usual week; where
that is not on file, only a margin that could not have been flown away by then is inside.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import inf, isfinite
from typing import Final

from lubberline.aircraft import (
    CLOCK_WORDS,
    Bound,
    Clocks,
    CycleBound,
    DayBound,
    Due,
    HourBound,
    Use,
)
from lubberline.fit.calendar import SOON_DAYS
from lubberline.line import Basis, Finding, Limit, Verdict, unknown, worst_first

SOON_H: Final = 10.0  # own: one step of margin for what comes due by hours
SOON_CYCLES: Final = 50.0  # own: the same by cycles
DAYS_PER_WEEK: Final = 7.0
H_PER_DAY: Final = 24.0
USE_SIGMA_FRACTION: Final = 0.5  # own: the usual week is known to half of itself
SETTLED_UNIT: Final = "open"  # of what asks for nothing: none of it is open


@dataclass(frozen=True, slots=True, kw_only=True)
class Occasion:
    """The day of a flight, the clocks as read, what the flight adds, and the pilot's buffers."""

    day: date
    clocks: Clocks
    use: Use
    buffer_days: float = 0.0
    buffer_h: float = 0.0

    @property
    def days_since_reading(self) -> int:
        """Days on which the airplane may have flown since the clocks were read."""
        return max(0, (self.day - self.clocks.on).days) if self.clocks.on else 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """One thing to keep up, as a rule, a manual or the owner asks for it.

    ``settled_as`` is the word for what asks for nothing, and ``note`` says why; ``due`` then
    only tells when it would be. Without either, ``missing`` is what would supply it.
    ``in_doubt`` is what would tell whether it is asked for at all, ``remark`` when it is.
    ``over_h`` is how far it may be run past on this flight. ``more`` are findings of its own
    that are no ends.
    """

    key: str
    label: str
    basis: Basis
    source: str
    due: Due | None = None
    last_on: date | None = None
    settled_as: str = ""
    missing: str = ""
    in_doubt: str = ""
    remark: str = ""
    note: str = ""
    over_h: float = 0.0
    more: tuple[Finding, ...] = ()


def duty_finding(duty: Duty, occasion: Occasion) -> Finding:
    """The one finding of a duty: that of its end which counts, with the others in its note."""
    if duty.settled_as:
        return _settled(duty)
    ranked = worst_first(duty_findings(duty, occasion))
    later = duty.due is not None and duty.due.whichever == "later"
    counts = ranked.pop() if later else ranked.pop(0)
    others = ", ".join(one.where or one.missing for one in ranked)
    words = f"{'the later end counts' if later else 'besides'}: {others}" if others else ""
    note = "; ".join(part for part in (counts.note, duty.note, words) if part)
    if duty.in_doubt and counts.verdict is not Verdict.INSIDE:
        missing = " and ".join(part for part in (duty.in_doubt, counts.missing) if part)
        return unknown(counts.limit, missing, where=counts.where, note=note)
    return replace(counts, note=note)


def duty_findings(duty: Duty, occasion: Occasion) -> tuple[Finding, ...]:
    """A finding for each end of a duty; one that is unknown if it has none."""
    if duty.last_on is not None and duty.last_on > occasion.day:
        stood = f"the entry that stood on {occasion.day}; the one on file is of {duty.last_on}"
        return (unknown(_limit(duty, "days", SOON_DAYS), stood),)
    bounds: Iterable[Bound] = duty.due.bounds if duty.due else ()
    found = (*(_bound_finding(duty, bound, occasion) for bound in bounds), *duty.more)
    if not found or duty.missing:
        return (*found, unknown(_limit(duty, "days", SOON_DAYS), duty.missing or "an entry"))
    return found


def _settled(duty: Duty) -> Finding:
    limit = replace(
        _limit(duty, SETTLED_UNIT, 1.0),
        label=f"{duty.label}: {duty.settled_as}",
        low=None,
        high=0.0,
        target=0.0,
    )
    return Finding(limit=limit, value=0.0, note=duty.note)


def _bound_finding(duty: Duty, bound: Bound, occasion: Occasion) -> Finding:
    match bound:
        case DayBound():
            return _day_finding(duty, bound, occasion)
        case HourBound():
            return _as_read(_hour_finding(duty, bound, occasion), occasion)
        case CycleBound():
            return _as_read(_cycle_finding(duty, bound, occasion), occasion)


def _as_read(finding: Finding, occasion: Occasion) -> Finding:
    """A clock read after the day has run further: past the end then is not past it before."""
    on = occasion.clocks.on
    if on is None or on <= occasion.day or finding.verdict is not Verdict.OUTSIDE:
        return finding
    missing = f"clocks as they were on {occasion.day}"
    return unknown(finding.limit, missing, where=finding.where, note=finding.note)


def _day_finding(duty: Duty, bound: DayBound, occasion: Occasion) -> Finding:
    limit = _limit(duty, "days", SOON_DAYS, buffer=occasion.buffer_days)
    if bound.last_day is None:
        return unknown(limit, bound.missing, note=bound.account)
    days = (bound.last_day - occasion.day) / timedelta(days=1)
    where = f"good through {bound.last_day}"
    return Finding(limit=limit, value=days, where=where, note=bound.account)


def _hour_finding(duty: Duty, bound: HourBound, occasion: Occasion) -> Finding:
    limit = replace(_limit(duty, "h", SOON_H, buffer=occasion.buffer_h), low=0.0 - duty.over_h)
    if bound.at_h is None:
        return unknown(limit, bound.missing, note=bound.account)
    reading_h = occasion.clocks.reading_h(bound.clock)
    where = f"due at {bound.at_h:,.1f} h {CLOCK_WORDS[bound.clock]}"
    if reading_h is None:
        missing = f"clocks.{bound.clock}_h in the aircraft file"
        return unknown(limit, missing, where=where, note=bound.account)
    where += f"; {reading_h:,.1f} h on {occasion.clocks.on}"
    left_h = bound.at_h - reading_h - occasion.use.added_h(bound.clock)
    return _since_reading(
        limit,
        left_h,
        since=_flown_since(occasion, occasion.clocks.weekly_h, H_PER_DAY),
        key=f"{bound.clock}_h",
        where=where,
        note=bound.account,
    )


def _cycle_finding(duty: Duty, bound: CycleBound, occasion: Occasion) -> Finding:
    limit = _limit(duty, "cycles", SOON_CYCLES)
    if bound.at_cycles is None:
        return unknown(limit, bound.missing, note=bound.account)
    cycles = occasion.clocks.cycles
    where = f"due at {bound.at_cycles:,} cycles"
    if cycles is None:
        missing = "clocks.cycles in the aircraft file"
        return unknown(limit, missing, where=where, note=bound.account)
    return _since_reading(
        limit,
        float(bound.at_cycles - cycles - occasion.use.cycles),
        since=_flown_since(occasion, occasion.clocks.weekly_cycles, inf),
        key="cycles",
        where=f"{where}; {cycles:,} on {occasion.clocks.on}",
        note=bound.account,
    )


def _flown_since(
    occasion: Occasion, weekly_count: float | None, most_daily_count: float
) -> tuple[float | None, float]:
    """Hours or cycles usually flown since the clocks were read, and the most it can have been."""
    days = occasion.days_since_reading
    if days == 0:
        return 0.0, 0.0
    usual = None if weekly_count is None else weekly_count * days / DAYS_PER_WEEK
    return usual, most_daily_count * days


def _since_reading(
    limit: Limit,
    value: float,
    *,
    since: tuple[float | None, float],
    key: str,
    where: str,
    note: str,
) -> Finding:
    """What is left after the flight, less what was flown since the clocks were read."""
    usual, most = since
    if most == 0.0:
        return Finding(limit=limit, value=value, where=where, note=note)
    if usual is not None:
        words = f"{note}; {usual:.1f} {limit.unit} since then are taken from the usual week"
        sigma = USE_SIGMA_FRACTION * usual
        return Finding(limit=limit, value=value - usual, sigma=sigma, where=where, note=words)
    words = f"{note}; nothing flown since then can change the verdict"
    at_best = Finding(limit=limit, value=value, where=where, note=words)
    at_worst = replace(at_best, value=value - most) if isfinite(most) else None
    if at_best.verdict is Verdict.OUTSIDE or (at_worst and at_worst.verdict is Verdict.INSIDE):
        return at_best
    missing = f"clocks.{key} read on the day, or clocks.weekly_{limit.unit}"
    return unknown(limit, missing, where=where, note=note)


def _limit(duty: Duty, unit: str, tolerance: float, *, buffer: float = 0.0) -> Limit:
    return Limit(
        key=duty.key,
        label=duty.label,
        unit=unit,
        low=0.0,
        buffer=buffer,
        tolerance=tolerance,
        basis=duty.basis,
        source=duty.source,
    )
