"""What the logbooks say: clocks, items that come due, directives, and when each was last done.

Values only. What is due when is computed in ``ledger`` and ``directives``; which item is
whose rule, and whether it applies to a flight, is decided in ``fit``. Hours are readings of
the clock that an item names; cycles are one take-off and landing each.
"""

from dataclasses import dataclass
from datetime import date
from typing import Literal

Clock = Literal["tach", "hobbs", "in_service"]
Kind = Literal[
    "annual",
    "hundred-hour",
    "transponder",
    "altimeter-static",
    "elt",
    "elt-battery",
    "registration",
    "adsb",
    "database",
    "oil",
    "life-limited",
    "other",
]
ItemBasis = Literal["law", "manual", "own"]
Whichever = Literal["first", "later"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clocks:
    """What the clocks showed on a day, and how fast they run; None where not on file.

    ``weekly_h`` and ``weekly_cycles`` are what the airplane usually flies in a week, whoever
    flies it. They bridge the days between the reading and a flight.
    """

    on: date | None = None
    tach_h: float | None = None
    hobbs_h: float | None = None
    in_service_h: float | None = None
    cycles: int | None = None
    weekly_h: float | None = None
    weekly_cycles: int | None = None

    def reading_h(self, clock: Clock) -> float | None:
        """The reading of one clock [h]."""
        readings = {"tach": self.tach_h, "hobbs": self.hobbs_h, "in_service": self.in_service_h}
        return readings[clock]


@dataclass(frozen=True, slots=True, kw_only=True)
class Interval:
    """How often; where several are given, whichever comes first.

    ``calendar_months`` run to the end of a month, ``months`` to the same day of a month.
    """

    days: int | None = None
    months: int | None = None
    calendar_months: int | None = None
    h: float | None = None
    cycles: int | None = None

    @property
    def is_empty(self) -> bool:
        """Whether it says nothing."""
        parts = (self.days, self.months, self.calendar_months, self.h, self.cycles)
        return all(part is None for part in parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """A fixed end: a day, a reading of the clock, a number of cycles; None where not given."""

    on: date | None = None
    h: float | None = None
    cycles: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """One logbook entry: when, at which readings, how, and where its signature stands.

    ``due_h`` is what a late inspection had been due at; ``action`` names the alternative of a
    directive that it carried out.
    """

    on: date | None = None
    h: float | None = None
    cycles: int | None = None
    due_h: float | None = None
    method: str = ""
    action: str = ""
    reference: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """Something that comes due: by an interval after it was last done, by a fixed end, or both.

    ``had_h`` and ``had_cycles`` are what a part had on it when it was fitted. ``used_h`` is the
    time that an emergency transmitter's battery was in use; ``useful_life_months`` its life.
    """

    name: str
    kind: Kind
    label: str
    every: Interval = Interval()
    until: End = End()
    last: Done = Done()
    clock: Clock = "in_service"
    had_h: float = 0.0
    had_cycles: int = 0
    used_h: float | None = None
    useful_life_months: int | None = None
    basis: ItemBasis = "manual"
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Upkeep:
    """Dates of the last inspections, and items with more to say; None where not copied in.

    Of a kind that has a date here there is no item, and the other way round.
    """

    annual_on: date | None = None
    transponder_on: date | None = None
    altimeter_static_on: date | None = None
    elt_inspected_on: date | None = None
    elt_battery_until: date | None = None
    elt_battery_used_h: float | None = None
    items: tuple[Item, ...] = ()

    def of_kind(self, kind: Kind) -> Item | None:
        """The item of a kind, made of the date above where only that is on file."""
        item = next((item for item in self.items if item.kind == kind), None)
        return item or self._dated(kind)

    def _dated(self, kind: Kind) -> Item | None:
        if kind == "elt-battery":
            until, used_h = self.elt_battery_until, self.elt_battery_used_h
            if until is None and used_h is None:
                return None
            return Item(name=kind, kind=kind, label=kind, until=End(on=until), used_h=used_h)
        dates: dict[Kind, date | None] = {
            "annual": self.annual_on,
            "transponder": self.transponder_on,
            "altimeter-static": self.altimeter_static_on,
            "elt": self.elt_inspected_on,
        }
        if dates.get(kind) is None:
            return None
        return Item(name=kind, kind=kind, label=kind, last=Done(on=dates[kind]))


@dataclass(frozen=True, slots=True, kw_only=True)
class First:
    """When a directive must first be complied with.

    ``within`` counts from the day it came into force and the reading of its clock on that
    day; ``at`` is a fixed day or the part's own total. An empty one means before the next flight.
    """

    within: Interval = Interval()
    at: End = End()
    whichever: Whichever = "first"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """What an action changes: the interval from then on; an empty interval ends the directive."""

    action: str
    every: Interval = Interval()


@dataclass(frozen=True, slots=True, kw_only=True)
class Applies:
    """To which airplanes a directive applies; what is empty or None does not narrow it.

    ``serial_ranges`` are inclusive and meant for the serial number of ``part``. The hours are
    those of its clock on the day it came into force.
    """

    part: str = "airframe"
    serial_ranges: tuple[tuple[str, str], ...] = ()
    only_with: tuple[str, ...] = ()
    only_without: tuple[str, ...] = ()
    from_h: float | None = None
    below_h: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Directive:
    """An airworthiness directive, and how it was complied with, oldest first.

    ``part_new_h`` is the reading of the clock when the part was new, negative for a part that
    came with hours of its own. ``then`` is None for what is done once.
    """

    number: str
    subject: str
    effective_on: date
    effective_h: float | None = None
    clock: Clock = "in_service"
    part_new_h: float = 0.0
    applies: Applies = Applies()
    first: First = First()
    then: Interval | None = None
    alternatives: tuple[Alternative, ...] = ()
    done: tuple[Done, ...] = ()
