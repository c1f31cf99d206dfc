"""A step is found where it came, and seldom where none did."""

import numpy as np
import pytest

from lubberline.drift.change import flights_to_know_count, step
from lubberline.errors import RangeError


def test_a_clean_step_is_found_to_the_flight() -> None:
    values = [*np.tile([1.0, 1.2, 0.8], 3), *np.tile([5.0, 5.2, 4.8], 2)]
    found = step(values)
    assert (found.index, found.earliest_index, found.latest_index) == (9, 9, 9)
    assert (found.before, found.after) == pytest.approx((1.0, 5.0))
    assert found.p_ratio < 0.01


def test_without_a_change_five_in_a_hundred_are_called_one() -> None:
    rng = np.random.default_rng(1)
    count = 400
    called = sum(step(rng.normal(size=20)).p_ratio <= 0.05 for _ in range(count))
    assert called / count == pytest.approx(0.05, abs=3 * np.sqrt(0.05 * 0.95 / count))


def test_skewed_values_are_not_called_oftener() -> None:
    rng = np.random.default_rng(2)
    count = 400
    called = sum(step(rng.exponential(size=15)).p_ratio <= 0.05 for _ in range(count))
    assert called / count == pytest.approx(0.05, abs=3 * np.sqrt(0.05 * 0.95 / count))


def test_the_bounds_hold_the_place_of_a_clear_step() -> None:
    rng = np.random.default_rng(3)
    held = 0
    for _ in range(300):
        values = rng.normal(size=30)
        values[14:] += 2.0
        found = step(values)
        held += found.earliest_index <= 14 <= found.latest_index
    assert held / 300 >= 0.95


@pytest.mark.parametrize("size", [0.5, 1.0, 2.0])
def test_the_flights_it_takes_show_the_step_as_often_as_promised(size: float) -> None:
    each = flights_to_know_count(size)
    rng = np.random.default_rng(4)
    means = rng.normal(size=(4_000, 2, each)).mean(axis=2)
    z = (means[:, 1] + size - means[:, 0]) / np.sqrt(2.0 / each)
    assert (np.abs(z) > 1.959964).mean() >= 0.8 - 3 * np.sqrt(0.16 / 4_000)


@pytest.mark.parametrize("values", [[1.0] * 5, [1.0, np.nan, 2.0, 3.0, 4.0, 5.0]])
def test_too_few_or_unknown_values_are_refused(values: list[float]) -> None:
    with pytest.raises(RangeError):
        step(values)


def test_values_that_are_all_alike_have_no_step() -> None:
    assert step([2.0] * 12).p_ratio == 1.0


def test_a_change_of_no_size_cannot_be_awaited() -> None:
    with pytest.raises(RangeError):
        flights_to_know_count(0.0)
