"""Plain statistics of how something was held, on deviations whose answers are known."""

import numpy as np
import pytest

from lubberline.flown.steadiness import recovery_s, reversals_count, worth_count


def test_a_sine_turns_back_twice_a_period() -> None:
    seconds = np.arange(600.0)
    values = 50.0 * np.sin(2.0 * np.pi * seconds / 60.0)
    assert reversals_count(values, 10.0) == 20
    assert reversals_count(values, 101.0) == 0


@pytest.mark.parametrize("values", [[], [5.0], [1.0, 1.0, 1.0], list(range(50))])
def test_what_never_turns_has_no_reversals(values: list[float]) -> None:
    assert reversals_count(np.array(values, dtype=float), 1.0) == 0


def test_independent_samples_are_worth_all_of_them_and_bound_ones_fewer() -> None:
    rng = np.random.default_rng(5)
    noise = rng.normal(0.0, 1.0, 4_000)
    assert worth_count(noise) == pytest.approx(4_000, rel=0.06)
    bound = np.empty(4_000)
    bound[0] = noise[0]
    for k in range(1, 4_000):
        bound[k] = 0.8 * bound[k - 1] + noise[k]
    assert worth_count(bound) == pytest.approx(4_000 * 0.2 / 1.8, rel=0.15)
    assert worth_count(np.zeros(100)) == 1.0


def test_the_longest_way_back_counts_and_a_moment_inside_is_no_recovery() -> None:
    inside = np.ones(100, dtype=bool)
    inside[10:14] = False
    inside[40:50] = False
    inside[55:60] = False  # five seconds inside between them: one excursion of 20 s
    assert recovery_s(inside, np.arange(100.0)) == (20.0, 40)
    assert recovery_s(np.ones(10, dtype=bool), np.arange(10.0)) == (0.0, None)


def test_what_never_came_back_counts_to_the_end() -> None:
    inside = np.ones(60, dtype=bool)
    inside[30:] = False
    assert recovery_s(inside, np.arange(60.0)) == (29.0, 30)
