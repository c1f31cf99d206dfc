"""What days not flown cost, pooled over pilots, and several steps of one series."""

import numpy as np
import pytest
from scipy import stats

from lubberline.drift import fading, pooled, steps
from lubberline.errors import RangeError, ShapeError

RNG = np.random.default_rng(20261126)


def test_fading_is_least_squares_on_doublings() -> None:
    days = RNG.uniform(1.0, 60.0, 40)
    values = 30.0 + 4.0 * np.log2(days) + RNG.normal(0.0, 5.0, 40)
    found, other = fading(days, values), stats.linregress(np.log2(days), values)
    assert found.per_doubling == pytest.approx(other.slope, rel=1e-9)
    assert found.sigma == pytest.approx(other.stderr, rel=1e-9)
    assert found.after(1.0) == pytest.approx(other.intercept, rel=1e-9)
    assert found.longest_days == days.max()


def test_what_lies_beyond_the_longest_pause_is_not_told() -> None:
    found = fading([1.0, 2.0, 4.0, 8.0, 16.0], [1.0, 2.0, 3.0, 4.0, 6.0])
    with pytest.raises(RangeError, match="longest pause"):
        found.after(17.0)


def test_an_unknown_pause_is_left_out_and_too_few_are_refused() -> None:
    assert fading([np.nan, 1, 2, 4, 8, 16], [9.0, 1, 2, 3, 4, 6]).flight_count == 5
    with pytest.raises(RangeError, match="expected 5"):
        fading([1.0, 2.0, 4.0], [1.0, 2.0, 3.0])
    with pytest.raises(RangeError, match="different length"):
        fading([7.0] * 8, RNG.normal(size=8))
    with pytest.raises(ShapeError):
        fading([1.0], [1.0, 2.0])


def test_who_has_few_flights_leans_on_the_others() -> None:
    found = pooled([4.0, 4.4, 3.6, 12.0], [0.3, 0.3, 0.3, 6.0])
    assert found.common == pytest.approx(4.0, abs=0.3)
    assert found.each[3] == pytest.approx(found.common, abs=0.6)
    assert found.each[0] == pytest.approx(4.0, abs=0.2)
    assert found.each_sigma[3] < 6.0


def test_pooled_estimates_are_nearer_the_truth() -> None:
    alone, drawn = [], []
    for _ in range(200):
        truth = RNG.normal(3.0, 1.0, 6)
        sigma = np.array([0.5, 0.5, 1.0, 2.0, 3.0, 3.0])
        seen = truth + sigma * RNG.normal(size=6)
        alone.append(((seen - truth) ** 2).mean())
        drawn.append(((np.array(pooled(seen.tolist(), sigma.tolist()).each) - truth) ** 2).mean())
    assert np.mean(drawn) < 0.6 * np.mean(alone)


def test_two_steps_are_told_apart() -> None:
    values = np.concatenate([RNG.normal(0, 1, 20), RNG.normal(5, 1, 20), RNG.normal(-3, 1, 20)])
    found = steps(values)
    assert [each.index for each in found] == [20, 40]
    assert all(each.earliest_index <= each.index <= each.latest_index for each in found)


def test_no_step_is_made_of_noise_or_of_few_flights() -> None:
    called = sum(bool(steps(RNG.normal(size=30))) for _ in range(100))
    assert called <= 5
    assert steps([1.0, 2.0, 9.0]) == ()
