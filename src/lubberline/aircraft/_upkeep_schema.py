"""The form of an aircraft file's clocks and upkeep, and what makes them impossible.

Private to the reader in ``file``. A check that looks at several keys hangs on the last of
them, so that its message names a line of the file.
"""

from datetime import date
from typing import Annotated, Final

from pydantic import Field, ValidationInfo, field_validator

from lubberline.aircraft.upkeep import (
    Clock,
    Clocks,
    Done,
    End,
    Interval,
    Item,
    ItemBasis,
    Kind,
    Upkeep,
)
from lubberline.tomlfile import Location, Schema, refusal

FIRST_DAY: Final = date(1900, 1, 1)  # own: no airplane is older
LAST_DAY: Final = date(2200, 1, 1)  # own: nothing is due later

Day = Annotated[date, Field(ge=FIRST_DAY, le=LAST_DAY)]
ReadingH = Annotated[float, Field(ge=0, le=200_000)]
Cycles = Annotated[int, Field(ge=0, le=1_000_000)]
EveryH = Annotated[float, Field(gt=0, le=200_000)]
EveryCycles = Annotated[int, Field(gt=0, le=1_000_000)]
Months = Annotated[int, Field(gt=0, le=600)]
Days = Annotated[int, Field(gt=0, le=20_000)]

# A date of these kinds has a key of its own in [upkeep]: one or the other.
DATED: Final[dict[Kind, str]] = {
    "annual": "annual_on",
    "transponder": "transponder_on",
    "altimeter-static": "altimeter_static_on",
    "elt": "elt_inspected_on",
    "elt-battery": "elt_battery_until",
}
RULED: Final[tuple[Kind, ...]] = (*DATED, "hundred-hour", "registration")


class ClocksForm(Schema):
    """What the clocks showed on a day; leave out what the airplane does not have."""

    tach_h: Annotated[ReadingH | None, Field(examples=[2237.7])] = None
    hobbs_h: Annotated[ReadingH | None, Field(examples=[2755.1])] = None
    in_service_h: Annotated[ReadingH | None, Field(examples=[2237.7])] = None
    cycles: Annotated[Cycles | None, Field(examples=[4120])] = None
    on: Annotated[Day | None, Field(examples=["2026-11-24"], validate_default=True)] = None
    weekly_h: Annotated[float | None, Field(ge=0, le=168, examples=[4.5])] = None
    weekly_cycles: Annotated[int | None, Field(ge=0, le=2_000, examples=[9])] = None

    @field_validator("on")
    @classmethod
    def _read_on_a_day(cls, on: date | None, info: ValidationInfo) -> date | None:
        """A reading means nothing without its day."""
        keys = ("tach_h", "hobbs_h", "in_service_h", "cycles")
        if on is None and any(info.data.get(key) is not None for key in keys):
            raise ValueError("a date, the day of the readings")
        return on

    def to_model(self) -> Clocks:
        """The readings as values."""
        return Clocks(**self.model_dump())


class ItemForm(Schema):
    """Something that comes due by days, hours or cycles; whichever comes first."""

    kind: Annotated[Kind, Field(examples=["'oil'"])]
    name: Annotated[
        str | None, Field(pattern=r"^[a-z0-9][a-z0-9_-]*$", max_length=40, examples=["'oil'"])
    ] = None
    label: Annotated[str | None, Field(min_length=1, max_length=60, examples=["'oil change'"])] = (
        None
    )
    last_on: Annotated[Day | None, Field(examples=["2026-09-01"])] = None
    last_h: Annotated[ReadingH | None, Field(examples=[2231.4])] = None
    last_cycles: Annotated[Cycles | None, Field(examples=[4100])] = None
    last_due_h: Annotated[ReadingH | None, Field(examples=[2200.0])] = None
    reference: Annotated[str, Field(max_length=200, examples=["'engine log, page 41'"])] = ""
    every_calendar_months: Annotated[Months | None, Field(examples=[12])] = None
    every_months: Annotated[Months | None, Field(examples=[4])] = None
    every_days: Annotated[Days | None, Field(examples=[28])] = None
    every_h: Annotated[EveryH | None, Field(examples=[50])] = None
    every_cycles: Annotated[EveryCycles | None, Field(examples=[500])] = None
    until: Annotated[Day | None, Field(examples=["2029-06-30"])] = None
    until_h: Annotated[EveryH | None, Field(examples=[4000])] = None
    until_cycles: Annotated[EveryCycles | None, Field(examples=[10_000])] = None
    had_h: Annotated[ReadingH, Field(examples=[312.5])] = 0.0
    had_cycles: Annotated[Cycles, Field(examples=[600])] = 0
    used_h: Annotated[float | None, Field(ge=0, le=1_000, examples=[0.2])] = None
    useful_life_months: Annotated[Months | None, Field(examples=[60])] = None
    basis: Annotated[ItemBasis, Field(examples=["'manual'"])] = "manual"
    source: Annotated[str, Field(max_length=200, examples=["'engine manual, section 4'"])] = ""
    clock: Annotated[Clock | None, Field(examples=["'tach'"], validate_default=True)] = None

    @field_validator("last_due_h")
    @classmethod
    def _done_late(cls, due_h: float | None, info: ValidationInfo) -> float | None:
        """Only what was done late had been due before."""
        last_h = info.data.get("last_h")
        if due_h is not None and "last_h" in info.data and (last_h is None or due_h > last_h):
            shown = "a last_h as well" if last_h is None else f"at most last_h, {last_h:g}"
            raise ValueError(shown)
        return due_h

    @field_validator("used_h", "useful_life_months")
    @classmethod
    def _of_a_battery(cls, value: float | None, info: ValidationInfo) -> float | None:
        """Only the battery of a transmitter has these."""
        if value is not None and info.data.get("kind") not in (None, "elt-battery"):
            raise ValueError("no such key, because kind is not 'elt-battery'")
        return value

    @field_validator("clock")
    @classmethod
    def _comes_due(cls, clock: Clock | None, info: ValidationInfo) -> Clock | None:
        """Hours name their clock, and something makes it come due."""
        keys = ("last_h", "last_due_h", "every_h", "until_h")
        timed = any(info.data.get(key) is not None for key in keys)
        kind = info.data.get("kind")
        if clock is None and (timed or kind == "hundred-hour"):
            raise ValueError("the clock that the hours are read from")
        ends = (key for key in info.data if key.startswith(("every_", "until")))
        ruled = kind is None or kind in (*RULED, "database")
        if not ruled and not any(info.data[key] is not None for key in ends):
            raise refusal([((), None, "a key that makes it come due: every_... or until...")])
        return clock

    @property
    def known_as(self) -> str:
        """Its name, or its kind where it has none."""
        return self.name or self.kind

    def to_model(self) -> Item:
        """The item as values."""
        return Item(
            name=self.known_as,
            kind=self.kind,
            label=self.label or self.known_as.replace("-", " "),
            every=interval(self, "every_"),
            until=End(on=self.until, h=self.until_h, cycles=self.until_cycles),
            last=Done(
                on=self.last_on,
                h=self.last_h,
                cycles=self.last_cycles,
                due_h=self.last_due_h,
                reference=self.reference,
            ),
            clock=self.clock or "in_service",
            **self.model_dump(
                include={"had_h", "had_cycles", "used_h", "useful_life_months", "basis", "source"}
            ),
        )


class UpkeepForm(Schema):
    """Dates of the last inspections, and items with more to say; leave out what is not known."""

    annual_on: Annotated[Day | None, Field(examples=["2026-03-10"])] = None
    transponder_on: Annotated[Day | None, Field(examples=["2025-02-18"])] = None
    altimeter_static_on: Annotated[Day | None, Field(examples=["2025-02-18"])] = None
    elt_inspected_on: Annotated[Day | None, Field(examples=["2026-03-10"])] = None
    elt_battery_until: Annotated[Day | None, Field(examples=["2029-06-30"])] = None
    elt_battery_used_h: Annotated[float | None, Field(ge=0, le=1_000, examples=[0.2])] = None
    item: tuple[ItemForm, ...] = ()

    @field_validator("item")
    @classmethod
    def _each_once(cls, items: tuple[ItemForm, ...], info: ValidationInfo) -> tuple[ItemForm, ...]:
        """One name once; a kind that a rule knows once, and not beside its date."""
        problems: list[tuple[Location, object, str]] = []
        for index, item in enumerate(items):
            before = items[:index]
            key = DATED.get(item.kind, "")
            if item.known_as in [other.known_as for other in before]:
                problems.append(((index, "name"), item.known_as, "a name not used above"))
            elif item.kind in RULED and item.kind in [other.kind for other in before]:
                problems.append(((index, "kind"), item.kind, "one item of this kind"))
            if info.data.get(key) is not None:
                wanted = f"this item or upkeep.{key}, not both"
                problems.append(((index, "kind"), item.kind, wanted))
        if problems:
            raise refusal(problems)
        return items

    def to_model(self) -> Upkeep:
        """The dates and items as values."""
        dates = self.model_dump(exclude={"item"})
        return Upkeep(**dates, items=tuple(item.to_model() for item in self.item))


def not_ahead(upkeep: UpkeepForm, clocks: ClocksForm | None) -> list[tuple[Location, object, str]]:
    """Entries that lie ahead of the clock they were read from."""
    if clocks is None:
        return []
    problems: list[tuple[Location, object, str]] = []
    for index, item in enumerate(upkeep.item):
        reading_h = getattr(clocks, f"{item.clock}_h") if item.clock else None
        for key, entry, reading in (
            (f"clocks.{item.clock}_h", item.last_h, reading_h),
            ("clocks.cycles", item.last_cycles, clocks.cycles),
        ):
            if entry is not None and reading is not None and entry > reading:
                what = "last_h" if key.endswith("_h") else "last_cycles"
                place = ("item", index, what)
                problems.append((place, entry, f"at most {key}, {reading:g}"))
    return problems


def interval(form: Schema, prefix: str) -> Interval:
    """The keys of a form that begin alike, as an interval."""
    parts = ("days", "months", "calendar_months", "h", "cycles")
    return Interval(**{part: getattr(form, f"{prefix}{part}", None) for part in parts})
