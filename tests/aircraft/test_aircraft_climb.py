"""Climbs and descents as differences of printed sums, and how far it glides."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lubberline.aircraft import Aircraft, Performance, Table, climb, descent, glide
from lubberline.units import FT_PER_NM

HEIGHTS_FT = st.floats(0.0, 10_000.0)


def minutes(heron: Aircraft, low_ft: float, high_ft: float) -> Performance:
    return climb(heron, weight_lb=2_500.0, from_ft=low_ft, to_ft=high_ft).time


@settings(deadline=None)
@given(HEIGHTS_FT, HEIGHTS_FT, HEIGHTS_FT)
def test_two_stretches_are_as_long_as_the_whole(
    heron: Aircraft, first_ft: float, second_ft: float, third_ft: float
) -> None:
    low_ft, mid_ft, high_ft = sorted((first_ft, second_ft, third_ft))
    parts = [minutes(heron, *pair).value for pair in ((low_ft, mid_ft), (mid_ft, high_ft))]
    whole = minutes(heron, low_ft, high_ft).value
    assert None not in (*parts, whole)
    assert sum(one or 0.0 for one in parts) == pytest.approx(whole, abs=1e-9)


def test_a_result_is_the_sum_of_its_steps(heron: Aircraft) -> None:
    found = climb(heron, weight_lb=2_500.0, from_ft=500.0, to_ft=7_000.0, above_standard_degc=12.0)
    for one in (found.time, found.fuel, found.distance):
        assert one.value == pytest.approx(sum(step.value for step in one.steps))
        assert "12 °C above standard, 1 % per °C" in one.steps[-1].words
    assert (found.time.unit, found.fuel.unit, found.distance.unit) == ("min", "gal", "NM")


@pytest.mark.parametrize(
    ("from_ft", "to_ft", "words"),
    [
        (-100.0, 5_000.0, "-100 is 100 before the first printed 0"),
        (500.0, 10_500.0, "10500 is 500 beyond the last printed 10000"),
        (float("nan"), 5_000.0, "pressure_ft is not known"),
    ],
)
def test_a_stretch_beyond_the_printed_heights_has_no_answer(
    heron: Aircraft, from_ft: float, to_ft: float, words: str
) -> None:
    found = minutes(heron, from_ft, to_ft)
    assert found.value is None
    assert words in found.missing


def test_a_descent_is_read_from_its_own_sums(heron: Aircraft) -> None:
    assert (
        "a table descent_min"
        in descent(heron, weight_lb=2_500.0, from_ft=8e3, to_ft=1e3).time.missing
    )
    sums = Table(
        name="descent_min",
        axes={"pressure_ft": np.array([0.0, 10_000.0])},
        values=np.array([0.0, 20.0]),
    )
    plane = replace(heron, tables={"descent_min": sums})
    down = descent(plane, weight_lb=2_500.0, from_ft=8_000.0, to_ft=1_000.0)
    assert down.time.value == pytest.approx(14.0)


def test_a_glide_is_that_of_the_table_or_of_the_ratio(heron: Aircraft) -> None:
    by_ratio = glide(heron, agl_ft=2_000.0)
    assert by_ratio.value == pytest.approx(2_000.0 * heron.glide_ratio / FT_PER_NM)
    printed = Table(
        name="glide_nm", axes={"agl_ft": np.array([0.0, 6_000.0])}, values=np.array([0.0, 9.0])
    )
    plane = replace(heron, tables={"glide_nm": printed})
    assert glide(plane, agl_ft=2_000.0).value == pytest.approx(3.0)
    assert glide(plane, agl_ft=7_000.0).value is None
    assert glide(heron, agl_ft=float("nan")).missing == "the height above the ground"
