"""A figure of the manual on a given day, with every step that led there.

Where a table has no answer the result says why, and by how much which axis ran out. A figure
beyond the ends of an axis is not printed. Where the manual allows the figure at the end to
stand for it and the table says so, that figure is used if it is the worse one, and is named
as a step.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import isnan, nan
from typing import Final, Literal

import numpy as np

from lubberline.aircraft.model import Aircraft, Table
from lubberline.aircraft.tables import (
    after_last,
    before_first,
    beyond,
    look_up,
    place_words,
    printed_around,
)

Place = Mapping[str, float]  # where on the tables, by axis name
Worse = Literal["rising", "falling"]  # what a figure does as it grows worse
UNITS: Final = {
    "ft": "ft",
    "fpm": "ft/min",
    "kt": "kt",
    "gph": "gph",
    "min": "min",
    "gal": "gal",
    "nm": "NM",
    "rpm": "rpm",
    "inhg": "inHg",
    "percent": "%",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step to a result: what was done, and what it added in the result's unit."""

    words: str
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Performance:
    """A figure from the manual: the sum of its steps, or None and what would supply it.

    ``printed`` are the figures of the table that it rests on, in words.
    """

    table: str
    unit: str
    value: float | None
    steps: tuple[Step, ...] = ()
    printed: tuple[str, ...] = ()
    missing: str = ""
    source: str = ""

    @property
    def workings(self) -> tuple[str, ...]:
        """Every step in words: the table and its printed figures, then what corrects them."""
        steps = [f"{step.words}: {step.value:+,.5g} {self.unit}" for step in self.steps]
        return (self.source, *self.printed, *steps) if self.steps else ()


def figure(aircraft: Aircraft, key: str, place: Place, *, worse: Worse | None) -> Performance:
    """The table's own figure; ``worse`` is None where neither way is the safe side."""
    name = key.partition(" ")[0]
    unit, table = UNITS[name.rpartition("_")[2]], aircraft.tables.get(key)
    if table is None:
        return no_answer(name, unit, f"a table {name} in the aircraft file")
    empty_lb, weight_lb = aircraft.loading.empty_lb, place.get("weight_lb", nan)
    if weight_lb < empty_lb:  # a slip, which must not pass for a light airplane
        slip = f"a weight of at least empty_lb, {empty_lb:g}; got {weight_lb:g}"
        return no_answer(name, unit, f"{name}: {slip}")
    asked = {axis: place.get(axis, nan) for axis in table.axes}
    moved, steps = _on_safe_side(table, asked, worse)
    found = float(look_up(table, **moved))
    words = beyond(table, **moved) or "the manual leaves this part of the table blank"
    here, source = place_words(table, **moved), f"{aircraft.manual}, {table.source}"
    if isnan(found):
        return no_answer(name, unit, f"{name} at {here}: {words}", source=source)
    steps.append(Step(words=f"table at {here}", value=found))
    printed = printed_around(table, **moved)
    return Performance(
        table=name, unit=unit, value=found, steps=tuple(steps), printed=printed, source=source
    )


def no_answer(name: str, unit: str, missing: str, *, source: str = "") -> Performance:
    """A figure that is not known, and what would supply it."""
    return Performance(table=name, unit=unit, value=None, missing=missing, source=source)


def _on_safe_side(
    table: Table, place: Place, worse: Worse | None
) -> tuple[dict[str, float], list[Step]]:
    """The place moved to the printed ends that the manual allows to stand for it."""
    moved, steps = dict(place), []
    for axis, end, words in _allowed(table, place, worse):
        moved[axis] = end
        said = f"{axis} {place[axis]:.6g} is {words} printed {end:g}"
        steps.append(Step(words=f"{said}: that figure is used, the manual allows it", value=0.0))
    return moved, steps


def _allowed(table: Table, place: Place, worse: Worse | None) -> Iterator[tuple[str, float, str]]:
    """Axes to leave at an end: where no figure of the table is better on the side of the end.

    Elsewhere the figure at the end could be better than the true one.
    """
    sense_factor = {None: nan, "rising": 1.0, "falling": -1.0}[worse]
    for axis, first in before_first(table, **place).items():
        if axis in table.use_first_below and not _falls(table, axis, sense_factor):
            yield axis, first, "before the first"
    for axis, last in after_last(table, **place).items():
        if axis in table.use_last_above and not _falls(table, axis, -sense_factor):
            yield axis, last, "beyond the last"


def _falls(table: Table, axis: str, sense_factor: float) -> bool:
    """Whether any figure, times the sense_factor, falls along an axis; NaN, a blank, does not."""
    change = sense_factor * np.diff(table.values, axis=list(table.axes).index(axis))
    return isnan(sense_factor) or bool((change < 0.0).any())
