"""Wind, slope and surface as axes or as notes of a table; power as an axis; ends that stand."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from lubberline.aircraft import (
    Aircraft,
    Performance,
    Table,
    accelerate_stop,
    cruise_figures,
    cruise_tas,
    takeoff_roll,
)

NOWHERE = float("nan")


def roll(heron: Aircraft, *tables: Table, **asked: Any) -> Performance:
    """Take-off roll of an airplane that has these tables only."""
    keyed = {one.name + (" grass" if "grass" in one.source else ""): one for one in tables}
    place: dict[str, Any] = {
        "weight_lb": 2_500.0,
        "pressure_ft": 0.0,
        "oat_degc": 15.0,
        "headwind_kt": 0.0,
        "surface": "paved",
    }
    return takeoff_roll(replace(heron, tables=keyed), **{**place, **asked})


def table(axis: str, points: list[float], values: list[float], **notes: Any) -> Table:
    axes = {axis: np.array(points)}
    return Table(name="takeoff_roll_ft", axes=axes, values=np.array(values), **notes)


WIND = table("headwind_kt", [-10.0, 0.0, 20.0], [1_500.0, 1_000.0, 600.0])
SLOPE = table("slope_percent", [-2.0, 0.0, 2.0], [900.0, 1_000.0, 1_300.0])


@pytest.mark.parametrize(
    ("headwind_kt", "expected_ft"),
    [(-10.0, 1_500.0), (-4.0, 1_200.0), (5.0, 900.0), (20.0, 600.0)],
)
def test_wind_may_be_an_axis(heron: Aircraft, headwind_kt: float, expected_ft: float) -> None:
    assert roll(heron, WIND, headwind_kt=headwind_kt).value == pytest.approx(expected_ft)


@pytest.mark.parametrize(
    ("headwind_kt", "words"),
    [
        (-12.0, "headwind_kt -12 is 2 before the first printed -10"),
        (25.0, "headwind_kt 25 is 5 beyond the last printed 20"),
        (NOWHERE, "headwind_kt is not known"),
    ],
)
def test_beyond_the_printed_winds_there_is_no_answer(
    heron: Aircraft, headwind_kt: float, words: str
) -> None:
    result = roll(heron, WIND, headwind_kt=headwind_kt)
    assert result.value is None
    assert words in result.missing


def test_more_headwind_than_printed_may_be_allowed_and_is_named(heron: Aircraft) -> None:
    allowed = replace(WIND, use_last_above=("headwind_kt",))
    result = roll(heron, allowed, headwind_kt=25.0)
    assert result.value == 600.0
    assert "beyond the last printed 20: that figure is used" in result.steps[0].words
    # Not where the last printed figure is better than one before it.
    risen = replace(allowed, values=np.array([1_500.0, 590.0, 600.0]))
    assert roll(heron, risen, headwind_kt=25.0).value is None
    assert roll(heron, allowed, headwind_kt=-12.0).value is None


@pytest.mark.parametrize(
    ("slope_percent", "expected_ft"), [(-2.0, 900.0), (1.0, 1_150.0), (2.1, None), (NOWHERE, None)]
)
def test_slope_may_be_an_axis(
    heron: Aircraft, slope_percent: float, expected_ft: float | None
) -> None:
    assert roll(heron, SLOPE, slope_percent=slope_percent).value == expected_ft


NOTED = table(
    "pressure_ft",
    [0.0, 4_000.0],
    [1_000.0, 1_400.0],
    uphill_percent_per_percent=10.0,
    downhill_percent_per_percent=-5.0,
    slope_max_percent=2.0,
)


@pytest.mark.parametrize(
    ("slope_percent", "expected_ft"), [(0.0, 1_000.0), (1.5, 1_150.0), (-2.0, 900.0)]
)
def test_slope_may_be_a_note(heron: Aircraft, slope_percent: float, expected_ft: float) -> None:
    assert roll(heron, NOTED, slope_percent=slope_percent).value == pytest.approx(expected_ft)


@pytest.mark.parametrize(
    ("slope_percent", "words"),
    [
        (2.5, "slope 2.5 % is 0.5 beyond the 2 % that its notes reach"),
        (-2.5, "slope 2.5 % is 0.5 beyond the 2 % that its notes reach"),
        (NOWHERE, "the slope of the runway is not known"),
    ],
)
def test_a_note_of_slope_reaches_so_far(heron: Aircraft, slope_percent: float, words: str) -> None:
    assert words in roll(heron, NOTED, slope_percent=slope_percent).missing


def test_a_note_of_one_side_does_not_answer_for_the_other(heron: Aircraft) -> None:
    one_side = replace(NOTED, downhill_percent_per_percent=None)
    assert "a note for downhill" in roll(heron, one_side, slope_percent=-1.0).missing
    assert roll(heron, one_side, slope_percent=0.0).value == 1_000.0


def test_without_axis_or_note_slope_changes_nothing(heron: Aircraft) -> None:
    plain = replace(NOTED, uphill_percent_per_percent=None, downhill_percent_per_percent=None)
    assert roll(heron, plain, slope_percent=NOWHERE).value == 1_000.0


def test_a_table_for_the_surface_stands_before_a_note(heron: Aircraft) -> None:
    paved = table("pressure_ft", [0.0, 4_000.0], [1_000.0, 1_400.0], grass_percent=15.0)
    grass = table("pressure_ft", [0.0, 4_000.0], [1_200.0, 1_700.0], source="on grass")
    assert roll(heron, paved, surface="grass").value == pytest.approx(1_150.0)
    assert roll(heron, paved, grass, surface="grass").value == 1_200.0
    assert roll(heron, paved, grass).value == 1_000.0
    assert roll(heron, grass, surface="gravel").value is None


def test_accelerate_stop_is_looked_up_like_any_distance(heron: Aircraft) -> None:
    stop = replace(NOTED, name="accelerate_stop_ft", headwind_percent_per_kt=1.0)
    result = accelerate_stop(
        replace(heron, tables={stop.name: stop}),
        weight_lb=2_500.0,
        pressure_ft=2_000.0,
        oat_degc=15.0,
        headwind_kt=10.0,
        surface="paved",
        slope_percent=1.0,
    )
    assert result.value == pytest.approx(1_200.0 * (1.0 - 0.1 + 0.1))
    assert (
        "accelerate_stop_ft in the aircraft file"
        in accelerate_stop(
            heron,
            weight_lb=2_500.0,
            pressure_ft=2_000.0,
            oat_degc=15.0,
            headwind_kt=10.0,
            surface="paved",
        ).missing
    )


def cruising(heron: Aircraft) -> Aircraft:
    """An airplane whose cruise tables print two powers at three pressure heights."""
    axes = {
        "power_percent": np.array([55.0, 75.0]),
        "pressure_ft": np.array([2_000.0, 4_000.0, 8_000.0]),
    }
    figures = {
        "cruise_tas_kt": [[120.0, 122.0, 126.0], [140.0, 142.0, 146.0]],
        "cruise_rpm": [[2_100.0, 2_150.0, 2_250.0], [2_400.0, 2_450.0, 2_550.0]],
    }
    tables = {
        name: Table(name=name, axes=axes, values=np.array(values))
        for name, values in figures.items()
    }
    return replace(heron, tables=tables, cruise={"power_percent": 65.0})


def test_the_power_usually_set_is_looked_up(heron: Aircraft) -> None:
    plane, air = cruising(heron), {"weight_lb": 2_500.0, "pressure_ft": 6_000.0, "oat_degc": 5.0}
    assert cruise_tas(plane, **air).value == pytest.approx(134.0)
    found = cruise_figures(plane, **air, power={"power_percent": 75.0})
    assert {name: one.value for name, one in found.items()} == {
        "cruise_tas_kt": 144.0,
        "cruise_rpm": 2_500.0,
    }
    assert found["cruise_rpm"].unit == "rpm"


def test_without_a_power_set_the_axis_is_not_known(heron: Aircraft) -> None:
    plane = replace(cruising(heron), cruise={})
    result = cruise_tas(plane, weight_lb=2_500.0, pressure_ft=6_000.0, oat_degc=5.0)
    assert result.value is None
    assert "power_percent is not known" in result.missing
