"""What comes due for airplanes and pilot from a day on, each with the day it is expected.

What comes due by hours has no day of its own; the airplane's usual week gives one, and says
that it is estimated. A flight does not enter: what a flight would run past is a finding.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from math import floor, inf
from typing import Final

from lubberline.aircraft import Aircraft, Clocks, Use
from lubberline.fit.rules import DEFAULT, RULE_SETS
from lubberline.fit.upkeep import DAYS_PER_WEEK, Duty, Occasion, duty_finding, duty_findings
from lubberline.line import Finding, Verdict
from lubberline.pilot import Pilot

MOST_DAYS: Final = 36_525.0  # own: a day beyond a century is no estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class ComingDue:
    """One thing that comes due: whose, the finding of the end that comes first, and its day.

    ``on`` is the last good day; ``estimated`` that the usual week gave it, None that no day can
    be told. ``remark`` is when it is asked for, where that is not always.
    """

    whose: str
    finding: Finding
    on: date | None
    estimated: bool = False
    remark: str = ""

    @property
    def is_known(self) -> bool:
        """Whether what is left of it is known."""
        return self.finding.value is not None

    def is_within(self, today: date, *, days: int, hours_h: float) -> bool:
        """Whether it is past, or comes due in so many days or hours."""
        if self.finding.verdict is Verdict.OUTSIDE:
            return True
        if self.on is not None and self.on <= today + timedelta(days=days):
            return True
        left, unit = self.finding.value, self.finding.limit.unit
        if left is None or unit == "days":
            return False
        return left <= hours_h if unit == "h" else self.on is None


@dataclass(frozen=True, slots=True, kw_only=True)
class NotAsked:
    """Something on file that asks for nothing, and why."""

    whose: str
    label: str
    why: str


def airplane_due(aircraft: Aircraft, today: date) -> tuple[ComingDue, ...]:
    """Everything the airplane comes due for, soonest first; what is not known last."""
    occasion = Occasion(day=today, clocks=aircraft.clocks, use=Use())
    return soonest_first(
        row
        for duty in RULE_SETS[DEFAULT].duties(aircraft, None)
        if not duty.settled_as or (duty.due is not None and duty.due.bounds)
        for row in _coming(aircraft.call_sign, duty, occasion)
    )


def airplane_not_asked(aircraft: Aircraft) -> tuple[NotAsked, ...]:
    """What is on file for the airplane and asks for nothing: directives closed or not for it."""
    return tuple(
        NotAsked(whose=aircraft.call_sign, label=duty.label, why=duty.note)
        for duty in RULE_SETS[DEFAULT].duties(aircraft, None)
        if duty.settled_as and ".directive." in duty.key
    )


def pilot_due(pilot: Pilot, today: date) -> tuple[ComingDue, ...]:
    """Everything of the pilot's that has a last day, soonest first; what is not known last."""
    return soonest_first(
        ComingDue(whose=pilot.name, finding=one, on=_day(one, today)[0])
        for one in RULE_SETS[DEFAULT].pilot_dates(pilot, today)
    )


def soonest_first(rows: Iterable[ComingDue]) -> tuple[ComingDue, ...]:
    """By day; what has no day after those by what is left; what is not known last."""

    def rank(row: ComingDue) -> tuple[bool, date, float, str, str]:
        left = inf if row.finding.value is None else row.finding.value
        key = row.finding.limit.key
        return (not row.is_known, row.on or date.max, left, row.whose, key)

    return tuple(sorted(rows, key=rank))


def _coming(whose: str, duty: Duty, occasion: Occasion) -> Iterator[ComingDue]:
    """The end of a duty that comes first, and each end that is not known."""
    later = duty.due is not None and duty.due.whichever == "later"
    found = (duty_finding(duty, occasion),) if later else duty_findings(duty, occasion)
    rows = [_row(whose, duty, one, occasion) for one in found if not _is_no_end(one)]
    known = [row for row in rows if row.is_known]
    past = [row for row in known if row.finding.verdict is Verdict.OUTSIDE]
    yield from soonest_first(past or known)[:1]
    yield from (row for row in rows if not row.is_known)


def _is_no_end(finding: Finding) -> bool:
    """What is kept without ever coming due, as the use of a battery while it is within."""
    return finding.limit.low is None and finding.verdict is Verdict.INSIDE


def _row(whose: str, duty: Duty, finding: Finding, occasion: Occasion) -> ComingDue:
    on, estimated = _day(finding, occasion.day, occasion.clocks)
    return ComingDue(whose=whose, finding=finding, on=on, estimated=estimated, remark=duty.remark)


def _day(finding: Finding, today: date, clocks: Clocks | None = None) -> tuple[date | None, bool]:
    """The last good day of a finding, and whether it is estimated."""
    left, unit = finding.value, finding.limit.unit
    if left is None or finding.limit.low is None:
        return None, False
    if unit == "days":
        return today + timedelta(days=left), False
    usual = _weekly(clocks, unit) if clocks else None
    after_days = left / usual * DAYS_PER_WEEK if usual else inf
    if abs(after_days) > MOST_DAYS:
        return None, False
    return today + timedelta(days=floor(after_days)), True


def _weekly(clocks: Clocks, unit: str) -> float | None:
    """What the airplane usually adds in a week to what a unit counts."""
    return {"h": clocks.weekly_h, "cycles": clocks.weekly_cycles}.get(unit)
