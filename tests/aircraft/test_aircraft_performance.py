"""Distances, climb and cruise: each result is the sum of its steps, or says why there is none."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.aircraft import (
    Aircraft,
    Table,
    climb_rate,
    cruise_flow,
    cruise_tas,
    landing_distance,
    landing_roll,
    takeoff_distance,
    takeoff_roll,
)

DISTANCES: list[Any] = [takeoff_roll, takeoff_distance, landing_roll, landing_distance]
RATES: list[Any] = [climb_rate, cruise_tas, cruise_flow]
# A printed point of every distance table of the heron.
PRINTED: dict[str, Any] = {"weight_lb": 2600.0, "pressure_ft": 2000.0, "oat_degc": 20.0}
STILL: dict[str, Any] = PRINTED | {"headwind_kt": 0.0, "surface": "paved"}


@pytest.mark.parametrize(
    ("distance", "printed_ft"), [*zip(DISTANCES, [990.0, 1700.0, 730.0, 1410.0], strict=True)]
)
def test_in_still_air_on_pavement_the_printed_figure_stands(
    heron: Aircraft, distance: Any, printed_ft: float
) -> None:
    result = distance(heron, **STILL)
    assert (result.value, result.unit, result.missing) == (printed_ft, "ft", "")
    (step,) = result.steps
    assert step.words == "table at weight 2,600 lb, pressure height 2,000 ft, temperature 20 °C"
    assert "Heron 200 flight manual" in result.source
    assert "section 5, figure 5-" in result.source


@pytest.mark.parametrize(
    ("headwind_kt", "surface", "percent", "words"),
    [
        (10.0, "paved", -11.0, "headwind 10 kt, 1.1 % per kt"),
        (40.0, "paved", -33.0, "headwind 40 kt, credited up to 30 kt, 1.1 % per kt"),
        (-10.0, "paved", 50.0, "tailwind 10 kt, 5 % per kt"),
        (0.0, "grass", 15.0, "dry grass, 15 %"),
        (-4.0, "grass", 35.0, "tailwind 4 kt, 5 % per kt"),
    ],
)
def test_corrections_are_percent_of_the_table_figure(
    heron: Aircraft, headwind_kt: float, surface: str, percent: float, words: str
) -> None:
    result = takeoff_distance(heron, **(STILL | {"headwind_kt": headwind_kt, "surface": surface}))
    assert result.value == pytest.approx(1700.0 * (1.0 + percent / 100.0))
    assert words in [step.words for step in result.steps]


@given(st.floats(1_800, 2_900), st.floats(-1_500, 8_000), st.floats(0, 40), st.floats(-10, 60))
def test_a_result_is_the_sum_of_its_steps(
    heron: Aircraft, weight_lb: float, pressure_ft: float, oat_degc: float, headwind_kt: float
) -> None:
    result = landing_distance(
        heron,
        weight_lb=weight_lb,
        pressure_ft=pressure_ft,
        oat_degc=oat_degc,
        headwind_kt=headwind_kt,
        surface="grass",
    )
    assert result.value == pytest.approx(sum(step.value for step in result.steps))
    assert result.value is not None
    assert result.value > 0.0


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"weight_lb": 2950.0}, "weight_lb 2950 is 50 beyond the last printed 2900"),
        ({"pressure_ft": 9_000.0}, "pressure_ft 9000 is 1000 beyond the last printed 8000"),
        ({"oat_degc": 45.0}, "oat_degc 45 is 5 beyond the last printed 40"),
        ({"headwind_kt": -12.5}, "tailwind 12.5 kt is 2.5 beyond the 10 kt that its notes reach"),
        ({"weight_lb": 0.0}, "a weight of at least empty_lb, 1795; got 0"),
        ({"weight_lb": np.nan}, "weight_lb is not known"),
        ({"oat_degc": np.nan}, "oat_degc is not known"),
        ({"headwind_kt": np.nan}, "the wind is not known"),
    ],
)
@pytest.mark.parametrize("distance", DISTANCES)
def test_where_the_manual_has_no_answer_the_result_says_why(
    heron: Aircraft, distance: Any, changed: dict[str, float], told: str
) -> None:
    result = distance(heron, **(STILL | changed))
    assert result.value is None
    assert result.steps == ()
    assert result.missing.startswith(result.table)
    assert told in result.missing


def test_without_a_note_for_grass_there_is_no_answer_on_grass(heron: Aircraft) -> None:
    table = replace(heron.tables["landing_roll_ft"], grass_percent=None)
    plane = replace(heron, tables={"landing_roll_ft": table})
    assert landing_roll(plane, **STILL).value == 730.0
    result = landing_roll(plane, **(STILL | {"surface": "grass", "headwind_kt": -11.0}))
    assert result.value is None
    assert "tailwind 11 kt is 1 beyond" in result.missing
    assert "grass_percent, if the manual has a note for grass" in result.missing


@pytest.mark.parametrize("surface", ["gravel", "dirt", "snow", "water", "other", "unknown"])
def test_no_table_answers_for_another_surface(heron: Aircraft, surface: str) -> None:
    result = takeoff_distance(heron, **(STILL | {"surface": surface}))
    assert result.value is None
    assert f"no figure for a surface of {surface}" in result.missing


@pytest.mark.parametrize("question", DISTANCES + RATES)
def test_without_a_table_the_file_could_supply_it(heron: Aircraft, question: Any) -> None:
    asked = STILL if question in DISTANCES else PRINTED
    result = question(replace(heron, tables={}), **asked)
    assert result.value is None
    assert result.missing == f"a table {result.table} in the aircraft file"


def allowing(plane: Aircraft, *axes: str) -> Aircraft:
    """The airplane with a manual that allows the first printed figures below these axes."""
    tables = {name: replace(table, use_first_below=axes) for name, table in plane.tables.items()}
    return replace(plane, tables=tables)


BEFORE_FIRST: list[Any] = [
    ({"weight_lb": 1970.0}, 2300.0),
    ({"pressure_ft": -155.0}, 0.0),
    ({"oat_degc": -8.0}, 0.0),
]


@pytest.mark.parametrize(("changed", "first"), BEFORE_FIRST)
@pytest.mark.parametrize("distance", DISTANCES)
def test_before_the_first_printed_point_that_figure_is_used_where_the_manual_allows_it(
    heron: Aircraft, distance: Any, changed: dict[str, float], first: float
) -> None:
    ((axis, value),) = changed.items()
    plane = allowing(heron, axis)
    result = distance(plane, **(STILL | changed))
    assert result.value == distance(plane, **(STILL | {axis: first})).value
    assert result.steps[0].words == (
        f"{axis} {value:g} is before the first printed {first:g}:"
        " that figure is used, the manual allows it"
    )


@pytest.mark.parametrize(("changed", "first"), BEFORE_FIRST)
@pytest.mark.parametrize("question", DISTANCES)
def test_before_the_first_printed_point_there_is_no_answer_unless_the_manual_allows_it(
    heron: Aircraft, question: Any, changed: dict[str, float], first: float
) -> None:
    ((axis, value),) = changed.items()
    others = {"weight_lb", "pressure_ft", "oat_degc"} - {axis}
    for plane in (allowing(heron), allowing(heron, *others)):
        result = question(plane, **(STILL | changed))
        assert result.value is None
        by = first - value
        told = f"{axis} {value:g} is {by:g} before the first printed {first:g}"
        assert told in result.missing


def test_the_heron_s_manual_allows_less_weight_and_height_but_not_colder_air(
    heron: Aircraft,
) -> None:
    assert climb_rate(heron, weight_lb=1970.0, pressure_ft=-155.0, oat_degc=-20.0).value == 1695.0
    cold = climb_rate(heron, weight_lb=1970.0, pressure_ft=-155.0, oat_degc=-25.0)
    assert cold.value is None
    assert "oat_degc -25 is 5 before the first printed -20" in cold.missing


def test_lighter_than_printed_climbs_no_worse_than_the_first_printed(heron: Aircraft) -> None:
    plane = allowing(heron, "weight_lb", "pressure_ft", "oat_degc")
    result = climb_rate(plane, weight_lb=1970.0, pressure_ft=-155.0, oat_degc=-30.0)
    assert result.value == 1695.0
    assert len(result.steps) == 4


def test_the_first_printed_figure_is_not_used_where_it_is_not_the_worse(heron: Aircraft) -> None:
    table = heron.tables["takeoff_over_50_ft"]
    upside_down = replace(table, values=table.values[::-1])
    plane = allowing(replace(heron, tables={table.name: upside_down}), "weight_lb")
    result = takeoff_distance(plane, **(STILL | {"weight_lb": 1970.0}))
    assert result.value is None
    assert "weight_lb 1970 is 330 before the first printed 2300" in result.missing


@pytest.mark.parametrize("question", [cruise_tas, cruise_flow])
def test_cruise_has_no_safe_side(heron: Aircraft, question: Any) -> None:
    plane = allowing(heron, "pressure_ft")
    result = question(plane, weight_lb=2500.0, pressure_ft=-100.0, oat_degc=10.0)
    assert result.value is None
    assert "pressure_ft -100 is 100 before the first printed 0" in result.missing


def test_rates_carry_their_units(heron: Aircraft) -> None:
    assert [question(heron, **PRINTED).unit for question in RATES] == ["ft/min", "kt", "gph"]
    assert [question(heron, **PRINTED).value for question in RATES] == [987.5, 137.0, 10.2]


def test_a_blank_part_of_a_table_is_named(heron: Aircraft) -> None:
    values = heron.tables["climb_fpm"].values.copy()
    values[-1, -1, -1] = np.nan
    table = replace(heron.tables["climb_fpm"], values=values)
    plane = replace(heron, tables={table.name: table})
    result = climb_rate(plane, weight_lb=2900.0, pressure_ft=12_000.0, oat_degc=39.0)
    assert result.value is None
    assert "the manual leaves this part of the table blank" in result.missing


STANDARD = Table(
    name="landing_over_50_ft",
    axes={"pressure_ft": np.array([0.0, 2500.0])},
    values=np.array([1000.0, 1100.0]),
    above_standard_percent_per_degc=0.3,
    source="a table for standard temperature",
)


@pytest.mark.parametrize(("oat_degc", "expected_ft"), [(15.0, 1000.0), (25.0, 1030.0), (0.0, 1000)])
def test_warm_air_lengthens_a_standard_table_and_cold_air_earns_nothing(
    heron: Aircraft, oat_degc: float, expected_ft: float
) -> None:
    plane = replace(heron, tables={STANDARD.name: STANDARD})
    place = STILL | {"pressure_ft": 0.0, "oat_degc": oat_degc}
    assert landing_distance(plane, **place).value == pytest.approx(expected_ft)


def test_a_standard_table_needs_the_temperature_too(heron: Aircraft) -> None:
    plane = replace(heron, tables={STANDARD.name: STANDARD})
    result = landing_distance(plane, **(STILL | {"oat_degc": np.nan}))
    assert result.value is None
    assert "the temperature is not known" in result.missing


@given(
    st.sampled_from(DISTANCES),
    st.lists(st.floats(1_795.0, 2_900.0), min_size=2, max_size=2),
    st.floats(-1_000.0, 8_000.0),
    st.floats(0.0, 40.0),
    st.floats(-10.0, 40.0),
    st.sampled_from(["paved", "grass"]),
)
def test_a_heavier_airplane_never_needs_less_runway(
    heron: Aircraft,
    distance: Any,
    weights_lb: list[float],
    pressure_ft: float,
    oat_degc: float,
    headwind_kt: float,
    surface: str,
) -> None:
    light, heavy = (
        distance(
            heron,
            weight_lb=lb,
            pressure_ft=pressure_ft,
            oat_degc=oat_degc,
            headwind_kt=headwind_kt,
            surface=surface,
        ).value
        for lb in sorted(weights_lb)
    )
    assert heavy >= light - 1e-9
