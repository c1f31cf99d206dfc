"""What the manual's tables come to on a given day, with every step that led there.

Distances are the table figure plus corrections that are each a percentage of the table
figure, as the notes below such tables state them. Where the tables have no answer the
result says why. A figure for less weight, a lower pressure height or colder air than the
first printed is not printed either. Where the manual allows the first printed figure to
stand for it and the table says so, that figure is used if it is the worse one, and is
named as a step. Cruise has no worse side, so nothing stands for what is not printed.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import isnan, nan
from typing import Final, Literal

import numpy as np

from lubberline.air import isa_temperature_degc
from lubberline.aircraft.model import Aircraft, Table
from lubberline.aircraft.tables import before_first, beyond, look_up, place_words, printed_around

Surface = Literal["paved", "grass", "gravel", "dirt", "snow", "water", "other", "unknown"]

_Place = Mapping[str, float]  # where on the tables, by axis name
_UNITS: Final = {"ft": "ft", "fpm": "ft/min", "kt": "kt", "gph": "gph"}


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


def takeoff_roll(
    aircraft: Aircraft,
    *,
    weight_lb: float,
    pressure_ft: float,
    oat_degc: float,
    headwind_kt: float,
    surface: Surface,
) -> Performance:
    """Ground roll to lift-off, arguments as for ``takeoff_distance``."""
    place = {"weight_lb": weight_lb, "pressure_ft": pressure_ft, "oat_degc": oat_degc}
    return _distance(aircraft, "takeoff_roll_ft", place, headwind_kt=headwind_kt, surface=surface)


def takeoff_distance(
    aircraft: Aircraft,
    *,
    weight_lb: float,
    pressure_ft: float,
    oat_degc: float,
    headwind_kt: float,
    surface: Surface,
) -> Performance:
    """Distance from brake release to 50 ft above the runway.

    Parameters
    ----------
    aircraft : Aircraft
        With the manual's tables.
    weight_lb, pressure_ft, oat_degc : float
        Weight [lb], pressure height [ft] and outside air temperature [°C]; NaN if not known.
    headwind_kt : float
        Wind against the direction of motion [kt], negative for a tailwind.
    surface : {"paved", "grass", ...}
        What the runway is made of; the table is for paved, and ``grass_percent`` for dry grass.

    Returns
    -------
    Performance
        Distance [ft] with its steps. None with the reason beyond the printed points (before
        the first of an axis too, unless the table's ``use_first_below`` names it), in more
        tailwind than the notes reach, on grass without a note for it, on any other surface,
        and where an input is NaN.

    References
    ----------
    [PHAK]_, chapter "Aircraft Performance", take-off and landing distance tables and notes.
    """
    place = {"weight_lb": weight_lb, "pressure_ft": pressure_ft, "oat_degc": oat_degc}
    return _distance(
        aircraft, "takeoff_over_50_ft", place, headwind_kt=headwind_kt, surface=surface
    )


def landing_roll(
    aircraft: Aircraft,
    *,
    weight_lb: float,
    pressure_ft: float,
    oat_degc: float,
    headwind_kt: float,
    surface: Surface,
) -> Performance:
    """Ground roll from touchdown to a stop, arguments as for ``takeoff_distance``."""
    place = {"weight_lb": weight_lb, "pressure_ft": pressure_ft, "oat_degc": oat_degc}
    return _distance(aircraft, "landing_roll_ft", place, headwind_kt=headwind_kt, surface=surface)


def landing_distance(
    aircraft: Aircraft,
    *,
    weight_lb: float,
    pressure_ft: float,
    oat_degc: float,
    headwind_kt: float,
    surface: Surface,
) -> Performance:
    """Distance from 50 ft above the runway to a stop, arguments as for ``takeoff_distance``."""
    place = {"weight_lb": weight_lb, "pressure_ft": pressure_ft, "oat_degc": oat_degc}
    return _distance(
        aircraft, "landing_over_50_ft", place, headwind_kt=headwind_kt, surface=surface
    )


def climb_rate(
    aircraft: Aircraft, *, weight_lb: float, pressure_ft: float, oat_degc: float
) -> Performance:
    """Rate of climb [ft/min]; None with the reason where the table has no answer."""
    place = {"weight_lb": weight_lb, "pressure_ft": pressure_ft, "oat_degc": oat_degc}
    return _figure(aircraft, "climb_fpm", place, safe="falling")


def cruise_tas(
    aircraft: Aircraft, *, weight_lb: float, pressure_ft: float, oat_degc: float
) -> Performance:
    """True airspeed in cruise [kt]; None with the reason where the table has no answer."""
    place = {"weight_lb": weight_lb, "pressure_ft": pressure_ft, "oat_degc": oat_degc}
    return _figure(aircraft, "cruise_tas_kt", place, safe=None)


def cruise_flow(
    aircraft: Aircraft, *, weight_lb: float, pressure_ft: float, oat_degc: float
) -> Performance:
    """Fuel flow in cruise [gph]; None with the reason where the table has no answer."""
    place = {"weight_lb": weight_lb, "pressure_ft": pressure_ft, "oat_degc": oat_degc}
    return _figure(aircraft, "cruise_gph", place, safe=None)


def _figure(
    aircraft: Aircraft,
    name: str,
    place: _Place,
    *,
    safe: Literal["rising", "falling"] | None,
) -> Performance:
    """The table's own figure; ``safe`` is how figures change away from the first printed."""
    table = aircraft.tables.get(name)
    unit = _UNITS[name.rpartition("_")[2]]
    if table is None:
        return Performance(
            table=name, unit=unit, value=None, missing=f"a table {name} in the aircraft file"
        )
    empty_lb = aircraft.loading.empty_lb
    if place["weight_lb"] < empty_lb:  # a slip, which must not pass for a light airplane
        missing = f"a weight of at least empty_lb, {empty_lb:g}; got {place['weight_lb']:g}"
        return Performance(table=name, unit=unit, value=None, missing=f"{name}: {missing}")
    moved, steps = _on_safe_side(table, place, safe)
    figure = float(look_up(table, **moved))
    words = beyond(table, **moved) or "the manual leaves this part of the table blank"
    here = place_words(table, **moved)
    source = f"{aircraft.manual}, {table.source}"
    if isnan(figure):
        missing = f"{name} at {here}: {words}"
        return Performance(table=name, unit=unit, value=None, missing=missing, source=source)
    steps.append(Step(words=f"table at {here}", value=figure))
    return Performance(
        table=name,
        unit=unit,
        value=figure,
        steps=tuple(steps),
        printed=printed_around(table, **moved),
        source=source,
    )


def _on_safe_side(
    table: Table, place: _Place, safe: Literal["rising", "falling"] | None
) -> tuple[dict[str, float], list[Step]]:
    """The place moved to the first printed points where the manual allows it.

    And only where all figures of the table grow worse along that axis, or stay: elsewhere the
    first printed figure could be better than the true one.
    """
    moved, steps = dict(place), []
    for axis, first in before_first(table, **place).items():
        change = np.diff(table.values, axis=list(table.axes).index(axis))
        better_later = change < 0.0 if safe == "rising" else change > 0.0
        if safe is not None and axis in table.use_first_below and not better_later.any():
            moved[axis] = first
            words = f"{axis} {place[axis]:.6g} is before the first printed {first:g}"
            steps.append(
                Step(words=f"{words}: that figure is used, the manual allows it", value=0.0)
            )
    return moved, steps


def _distance(
    aircraft: Aircraft,
    name: str,
    place: _Place,
    *,
    headwind_kt: float,
    surface: Surface,
) -> Performance:
    """The table's figure with each correction of its notes, as percentages of that figure."""
    plain = _figure(aircraft, name, place, safe="rising")
    if plain.value is None:
        return plain
    table = aircraft.tables[name]
    notes = [
        *_wind_notes(table, headwind_kt),
        *_surface_notes(table, surface),
        *_temperature_notes(table, place),
    ]
    missing = "; ".join(words for words, percent in notes if isnan(percent))
    if missing:
        return replace(plain, value=None, steps=(), printed=(), missing=f"{name}: {missing}")
    steps = [Step(words=words, value=plain.value * percent / 100.0) for words, percent in notes]
    return replace(
        plain, value=plain.value + sum(step.value for step in steps), steps=(*plain.steps, *steps)
    )


_Note = tuple[str, float]  # what a note says, and its percent of the table figure; NaN: no answer


def _wind_notes(table: Table, headwind_kt: float) -> Iterator[_Note]:
    if isnan(headwind_kt):
        yield "the wind is not known", nan
    elif headwind_kt > 0.0:
        credited_kt = min(headwind_kt, table.headwind_max_kt)
        most = "" if credited_kt == headwind_kt else f", credited up to {credited_kt:g} kt"
        words = f"headwind {headwind_kt:.3g} kt{most}, {table.headwind_percent_per_kt:g} % per kt"
        yield words, -credited_kt * table.headwind_percent_per_kt
    elif -headwind_kt > table.tailwind_max_kt:
        yield (
            f"tailwind {-headwind_kt:.3g} kt is {-headwind_kt - table.tailwind_max_kt:.3g} beyond"
            f" the {table.tailwind_max_kt:g} kt that its notes reach",
            nan,
        )
    elif headwind_kt < 0.0:
        words = f"tailwind {-headwind_kt:.3g} kt, {table.tailwind_percent_per_kt:g} % per kt"
        yield words, -headwind_kt * table.tailwind_percent_per_kt


def _surface_notes(table: Table, surface: Surface) -> Iterator[_Note]:
    if surface == "grass":
        if table.grass_percent is None:
            yield "grass_percent, if the manual has a note for grass", nan
        else:
            yield f"dry grass, {table.grass_percent:g} %", table.grass_percent
    elif surface != "paved":
        yield f"its tables have no figure for a surface of {surface}", nan


def _temperature_notes(table: Table, place: _Place) -> Iterator[_Note]:
    """Air warmer than standard, for tables printed at standard temperature; no credit if colder."""
    percent = table.above_standard_percent_per_degc
    if percent:
        warmer_degc = place["oat_degc"] - float(isa_temperature_degc(place["pressure_ft"]))
        if isnan(warmer_degc):
            yield "the temperature is not known", nan
        elif warmer_degc > 0.0:
            yield (
                f"{warmer_degc:.3g} °C above standard, {percent:g} % per °C",
                warmer_degc * percent,
            )
