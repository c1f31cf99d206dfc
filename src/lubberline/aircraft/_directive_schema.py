"""The form of a directive in an aircraft file, and what makes it impossible."""

from collections.abc import Iterator, Sequence
from typing import Annotated

from pydantic import Field, ValidationInfo, field_validator

from lubberline.aircraft._upkeep_schema import (
    ClocksForm,
    Cycles,
    Day,
    Days,
    EveryCycles,
    EveryH,
    Months,
    ReadingH,
    interval,
)
from lubberline.aircraft.directives import serial_in_range
from lubberline.aircraft.upkeep import (
    Alternative,
    Applies,
    Clock,
    Directive,
    Done,
    End,
    First,
    Whichever,
)
from lubberline.tomlfile import Location, Schema, refusal

Words = Annotated[str, Field(min_length=1, max_length=200)]


class EveryForm(Schema):
    """How often; several keys: whichever comes first."""

    every_calendar_months: Annotated[Months | None, Field(examples=[12])] = None
    every_months: Annotated[Months | None, Field(examples=[6])] = None
    every_days: Annotated[Days | None, Field(examples=[30])] = None
    every_h: Annotated[EveryH | None, Field(examples=[500])] = None
    every_cycles: Annotated[EveryCycles | None, Field(examples=[1_000])] = None


class ThenForm(EveryForm):
    """How often it recurs after it was first complied with."""

    every_cycles: Annotated[EveryCycles | None, Field(examples=[1_000], validate_default=True)] = (
        None
    )

    @field_validator("every_cycles")
    @classmethod
    def _never_empty(cls, every_cycles: int | None, info: ValidationInfo) -> int | None:
        """An empty interval would never come due."""
        if every_cycles is None and not any(info.data.values()):
            raise ValueError("one of every_h, every_cycles, every_days, every_months, ...")
        return every_cycles


class AfterForm(EveryForm):
    """What an action changes: how often from then on; without an interval it ends there."""

    action: Annotated[Words, Field(examples=["'detent replaced'"])]


class FirstForm(Schema):
    """When it must first be complied with; left out: before the next flight."""

    within_calendar_months: Annotated[Months | None, Field(examples=[12])] = None
    within_months: Annotated[Months | None, Field(examples=[12])] = None
    within_days: Annotated[Days | None, Field(examples=[30])] = None
    within_h: Annotated[EveryH | None, Field(examples=[50])] = None
    by_on: Annotated[Day | None, Field(examples=["2026-12-31"])] = None
    at_h: Annotated[EveryH | None, Field(examples=[5_000])] = None
    at_cycles: Annotated[EveryCycles | None, Field(examples=[10_000])] = None
    whichever: Annotated[Whichever, Field(examples=["'first'"])] = "first"

    def to_model(self) -> First:
        """The ends as values."""
        return First(
            within=interval(self, "within_"),
            at=End(on=self.by_on, h=self.at_h, cycles=self.at_cycles),
            whichever=self.whichever,
        )


class DoneForm(Schema):
    """One compliance, as the maintenance record says it."""

    on: Annotated[Day, Field(examples=["2026-03-12"])]
    h: Annotated[ReadingH | None, Field(examples=[2150.2])] = None
    cycles: Annotated[Cycles | None, Field(examples=[4_000])] = None
    method: Annotated[Words, Field(examples=["'inspected, no cracks'"])]
    action: Annotated[str, Field(max_length=200, examples=["'detent replaced'"])] = ""
    reference: Annotated[Words, Field(examples=["'airframe log, page 77, signed'"])]


class DirectiveForm(Schema):
    """An airworthiness directive: to whom it applies, when it is due, how it was complied with."""

    number: Annotated[
        str, Field(pattern=r"^[A-Za-z0-9][\w .-]*$", max_length=40, examples=["'2025-04-07'"])
    ]
    subject: Annotated[Words, Field(examples=["'fuel selector detent'"])]
    effective_on: Annotated[Day, Field(examples=["2025-04-21"])]
    effective_h: Annotated[ReadingH | None, Field(examples=[2101.5])] = None
    clock: Annotated[Clock, Field(examples=["'in_service'"])] = "in_service"
    part: Annotated[Words, Field(examples=["'engine'"])] = "airframe"
    part_new_h: Annotated[float, Field(ge=-200_000, le=200_000, examples=[1_200.0])] = 0.0
    serial_ranges: Annotated[
        tuple[tuple[Words, Words], ...], Field(examples=["[['HR-0001', 'HR-0150']]"])
    ] = ()
    only_with: Annotated[tuple[Words, ...], Field(examples=["['three-blade propeller']"])] = ()
    only_without: Annotated[tuple[Words, ...], Field(examples=["['steel detent']"])] = ()
    from_h: Annotated[EveryH | None, Field(examples=[500])] = None
    below_h: Annotated[EveryH | None, Field(examples=[3_000])] = None
    first: FirstForm = FirstForm()
    then: ThenForm | None = None
    after: tuple[AfterForm, ...] = ()
    done: tuple[DoneForm, ...] = ()

    @field_validator("serial_ranges")
    @classmethod
    def _ranges_run_up(cls, ranges: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
        """Both ends of a range have the same letters, then a number, and it runs up."""
        problems: list[tuple[Location, object, str]] = [
            ((index,), list(ends), "two serials, the same letters and then numbers that run up")
            for index, ends in enumerate(ranges)
            if not serial_in_range(ends[0], *ends)
        ]
        if problems:
            raise refusal(problems)
        return ranges

    @field_validator("done")
    @classmethod
    def _entries_fit(cls, done: tuple[DoneForm, ...], info: ValidationInfo) -> tuple[DoneForm, ...]:
        """Oldest first; hours do not run back; an action is one of the alternatives."""
        actions = [one.action for one in info.data.get("after", ())]
        problems: list[tuple[Location, object, str]] = []
        for index, entry in enumerate(done):
            if entry.action and entry.action not in actions:
                shown = ", ".join(map(repr, actions)) or "none: there is no directive.after"
                problems.append(((index, "action"), entry.action, f"an action of after: {shown}"))
            if index and entry.on < done[index - 1].on:
                expected = f"a day not before the entry above, {done[index - 1].on}"
                problems.append(((index, "on"), str(entry.on), expected))
        if problems:
            raise refusal(problems)
        return done

    def to_model(self) -> Directive:
        """The directive as values."""
        applies = {"part", "serial_ranges", "only_with", "only_without", "from_h", "below_h"}
        same = {"number", "subject", "effective_on", "effective_h", "clock", "part_new_h"}
        return Directive(
            **self.model_dump(include=same),
            applies=Applies(**self.model_dump(include=applies)),
            first=self.first.to_model(),
            then=interval(self.then, "every_") if self.then else None,
            alternatives=tuple(
                Alternative(action=one.action, every=interval(one, "every_")) for one in self.after
            ),
            done=tuple(Done(**entry.model_dump()) for entry in self.done),
        )


def ahead_of_clock(
    directives: Sequence[DirectiveForm], clocks: ClocksForm | None
) -> Iterator[tuple[Location, object, str]]:
    """Compliances at a reading that the clock has not reached."""
    for index, directive in enumerate(directives):
        key = f"{directive.clock}_h"
        reading_h = getattr(clocks, key) if clocks else None
        for number, entry in enumerate(directive.done):
            if entry.h is not None and reading_h is not None and entry.h > reading_h:
                place: Location = (index, "done", number, "h")
                yield place, entry.h, f"at most clocks.{key}, {reading_h:g}"
