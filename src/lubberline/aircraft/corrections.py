"""The notes below a distance table: what each adds, in percent of the table figure.

A note without an answer has NaN for its percent, and its words say what would supply it.
"""

from collections.abc import Iterator
from math import isnan, nan
from typing import Literal

from lubberline.air import isa_temperature_degc
from lubberline.aircraft.figures import Place
from lubberline.aircraft.model import Table

Surface = Literal["paved", "grass", "gravel", "dirt", "snow", "water", "other", "unknown"]

Note = tuple[str, float]


def notes_of(table: Table, place: Place, surface: Surface | None) -> Iterator[Note]:
    """Every note that bears on the place; a surface of None is that the table is for it."""
    if "headwind_kt" not in table.axes:
        yield from _wind_notes(table, place["headwind_kt"])
    if "slope_percent" not in table.axes:
        yield from _slope_notes(table, place["slope_percent"])
    if surface is not None:
        yield from _surface_notes(table, surface)
    yield from temperature_notes(table, place)


def temperature_notes(table: Table, place: Place) -> Iterator[Note]:
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


def _wind_notes(table: Table, headwind_kt: float) -> Iterator[Note]:
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


def _slope_notes(table: Table, slope_percent: float) -> Iterator[Note]:
    """Slope in the direction of motion, if the manual has a note of it."""
    notes = (table.uphill_percent_per_percent, table.downhill_percent_per_percent)
    if notes == (None, None):
        return
    side = "uphill" if slope_percent > 0.0 else "downhill"
    percent, steep_percent = notes[slope_percent <= 0.0], abs(slope_percent)
    if isnan(slope_percent):
        yield "the slope of the runway is not known", nan
    elif steep_percent > table.slope_max_percent:
        yield (
            f"slope {steep_percent:.2g} % is {steep_percent - table.slope_max_percent:.2g} beyond"
            f" the {table.slope_max_percent:g} % that its notes reach",
            nan,
        )
    elif percent is None and slope_percent:
        yield f"{side}_percent_per_percent, if the manual has a note for {side}", nan
    elif percent is not None and slope_percent:
        words = f"{side} {steep_percent:.2g} %, {percent:g} % per %"
        yield words, steep_percent * percent


def _surface_notes(table: Table, surface: Surface) -> Iterator[Note]:
    if surface == "grass":
        if table.grass_percent is None:
            yield "grass_percent, if the manual has a note for grass", nan
        else:
            yield f"dry grass, {table.grass_percent:g} %", table.grass_percent
    elif surface != "paved":
        yield f"its tables have no figure for a surface of {surface}", nan
