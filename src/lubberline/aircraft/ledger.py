"""What is due when: ends by day, by clock and by cycles, from intervals and logbook entries.

The last day is still good; the reading of the clock at which something is due may be
reached but not run past. An end that cannot be computed says which entry is missing; it
never disappears.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from lubberline.aircraft.upkeep import Clock, Done, End, Interval, Item, Whichever
from lubberline.months import end_of_month_after, same_day_after

NEW: Final = Done(h=0.0, cycles=0)  # a part with nothing on it
CLOCK_WORDS: dict[Clock, str] = {
    "tach": "tach",
    "hobbs": "Hobbs",
    "in_service": "time in service",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class DayBound:
    """The last good day; None where ``missing`` names the entry that would supply it."""

    last_day: date | None
    account: str
    missing: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HourBound:
    """The reading of a clock not to run past; None where ``missing`` names the entry."""

    clock: Clock
    at_h: float | None
    account: str
    missing: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleBound:
    """The number of cycles not to run past; None where ``missing`` names the entry."""

    at_cycles: int | None
    account: str
    missing: str = ""


Bound = DayBound | HourBound | CycleBound


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """Ends that must not be run past: the first of them counts, or only the last."""

    bounds: tuple[Bound, ...]
    whichever: Whichever = "first"


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """What one flight adds to the clocks."""

    tach_h: float = 0.0
    hobbs_h: float = 0.0
    in_service_h: float = 0.0
    cycles: int = 0

    def added_h(self, clock: Clock) -> float:
        """What it adds to one clock [h]."""
        adds = {"tach": self.tach_h, "hobbs": self.hobbs_h, "in_service": self.in_service_h}
        return adds[clock]


def item_due(item: Item, rule: Interval | None = None) -> Due:
    """Every end of an item: the rule's interval, its own, and its fixed ends."""
    place = f"of upkeep.item {item.name!r}"
    last, clock = item.last, item.clock
    had = Done(h=item.had_h, cycles=item.had_cycles)
    bounds = [
        *interval_bounds(rule or Interval(), last, clock=clock, prefix="last_", place=place),
        *interval_bounds(item.every, last, clock=clock, prefix="last_", place=place, had=had),
        *end_bounds(item.until, clock=clock),
    ]
    return Due(bounds=tuple(bounds))


def interval_bounds(
    every: Interval,
    last: Done,
    *,
    clock: Clock,
    prefix: str,
    place: str,
    had: Done = NEW,
) -> Iterator[Bound]:
    """An end for each part of an interval after the last entry.

    ``had`` is what a part had on it when it was fitted. ``prefix`` and ``place`` name the
    entry's keys in the file, for what is missing.
    """
    for account, last_day in _days(every, last.on):
        yield DayBound(
            last_day=last_day,
            account=f"{account} after {last.on}" if last.on else account,
            missing="" if last.on else f"{prefix}on {place}",
        )
    had_h, had_cycles = had.h or 0.0, had.cycles or 0
    if every.h is not None:
        yield HourBound(
            clock=clock,
            at_h=None if last.h is None else last.h + every.h - had_h,
            account=f"{every.h:,g} h" + _after_h(last.h, had_h),
            missing="" if last.h is not None else f"{prefix}h {place}",
        )
    if every.cycles is not None:
        yield CycleBound(
            at_cycles=None if last.cycles is None else last.cycles + every.cycles - had_cycles,
            account=f"{every.cycles:,} cycles" + _after_cycles(last.cycles, had_cycles),
            missing="" if last.cycles is not None else f"{prefix}cycles {place}",
        )


def end_bounds(end: End, *, clock: Clock) -> Iterator[Bound]:
    """An end for each fixed day, reading or number of cycles."""
    if end.on is not None:
        yield DayBound(last_day=end.on, account=f"until {end.on}")
    if end.h is not None:
        yield HourBound(clock=clock, at_h=end.h, account=f"until {end.h:,.1f} h")
    if end.cycles is not None:
        yield CycleBound(at_cycles=end.cycles, account=f"until {end.cycles:,} cycles")


def _days(every: Interval, on: date | None) -> Iterator[tuple[str, date | None]]:
    """Each calendar part of an interval in words, with its last good day."""
    if every.calendar_months is not None:
        count = every.calendar_months
        yield (
            f"{count} calendar months",
            end_of_month_after(on, months_count=count) if on else None,
        )
    if every.months is not None:
        count = every.months
        yield f"{count} months", same_day_after(on, months_count=count) if on else None
    if every.days is not None:
        yield f"{every.days} days", on + timedelta(days=every.days) if on else None


def _after_h(last_h: float | None, had_h: float) -> str:
    less = f", less {had_h:,g} h that it came with" if had_h else ""
    return "" if last_h is None else f" after {last_h:,.1f} h{less}"


def _after_cycles(last_cycles: int | None, had_cycles: int) -> str:
    less = f", less {had_cycles:,} that it came with" if had_cycles else ""
    return "" if last_cycles is None else f" after {last_cycles:,}{less}"
