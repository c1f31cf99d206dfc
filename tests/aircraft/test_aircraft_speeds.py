"""Speeds that depend on weight or height: from their table, else from the one number."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lubberline.aircraft import (
    Aircraft,
    Table,
    best_angle_speed,
    best_glide_speed,
    best_rate_speed,
    maneuvering_speed,
)


def tabled(
    heron: Aircraft, name: str, axis: str, points: list[float], values: list[float]
) -> Aircraft:
    one = Table(name=name, axes={axis: np.array(points)}, values=np.array(values))
    return replace(heron, tables={name: one})


@pytest.mark.parametrize(
    ("weight_lb", "known"), [(2_900.0, True), (2_900.1, False), (1_795.0, True), (1_794.9, False)]
)
def test_the_one_maneuvering_speed_is_scaled_between_empty_and_full(
    heron: Aircraft, weight_lb: float, known: bool
) -> None:
    found = maneuvering_speed(heron, weight_lb=weight_lb)
    assert (found.value is not None) is known
    assert known or "a weight from 1,795 to 2,900 lb" in found.missing


@given(st.floats(1_795.0, 2_900.0), st.floats(1_795.0, 2_900.0))
def test_a_lighter_airplane_never_has_more(heron: Aircraft, one_lb: float, other_lb: float) -> None:
    light, heavy = (
        maneuvering_speed(heron, weight_lb=lb).value for lb in sorted((one_lb, other_lb))
    )
    assert light is not None
    assert heavy is not None
    assert light <= heavy <= heron.speeds.maneuvering_kt


def test_an_unknown_weight_has_no_speed(heron: Aircraft) -> None:
    assert maneuvering_speed(heron, weight_lb=float("nan")).value is None


def test_a_table_of_maneuvering_speeds_is_not_scaled_nor_extended(heron: Aircraft) -> None:
    plane = tabled(heron, "maneuvering_kt", "weight_lb", [2_300.0, 2_900.0], [100.0, 117.0])
    assert maneuvering_speed(plane, weight_lb=2_600.0).value == pytest.approx(108.5)
    found = maneuvering_speed(plane, weight_lb=2_200.0)
    assert found.value is None
    assert "weight_lb 2200 is 100 before the first printed 2300" in found.missing


def test_climb_speeds_are_those_of_the_height(heron: Aircraft) -> None:
    assert best_rate_speed(heron, weight_lb=2_500.0, pressure_ft=2_000.0).value == 87.0
    assert best_rate_speed(heron, weight_lb=2_500.0, pressure_ft=13_000.0).value is None
    assert best_angle_speed(heron, weight_lb=2_500.0, pressure_ft=2_000.0).value == 74.0


def test_the_glide_speed_is_that_of_the_weight_where_it_is_printed(heron: Aircraft) -> None:
    assert best_glide_speed(heron, weight_lb=2_000.0).value == 82.0
    plane = tabled(heron, "best_glide_kt", "weight_lb", [2_000.0, 2_900.0], [73.0, 82.0])
    assert best_glide_speed(plane, weight_lb=2_100.0).value == pytest.approx(74.0)
