"""Charts on awkward data: empty, short, with gaps, with nonsense for factors."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import ArrayLike

from lubberline.drift import Chart, ewma_chart, individuals_chart, moving_range_chart
from lubberline.errors import NoSolution, RangeError, ShapeError

VALUES = st.lists(st.floats(-1e6, 1e6), min_size=3, max_size=30)


@pytest.mark.parametrize("chart_of", [individuals_chart, moving_range_chart])
@pytest.mark.parametrize("values", [[], [4.0], [np.nan, np.nan], [4.0, np.nan]])
def test_no_range_without_two_known_values(
    chart_of: Callable[[ArrayLike], Chart], values: list[float]
) -> None:
    with pytest.raises(NoSolution, match="needs 2 known values"):
        chart_of(values)


@pytest.mark.parametrize("chart_of", [individuals_chart, moving_range_chart])
@pytest.mark.parametrize("values", [4.0, [[4.0, 5.0], [6.0, 7.0]]])
def test_only_one_column_makes_a_chart(
    chart_of: Callable[[ArrayLike], Chart], values: ArrayLike
) -> None:
    with pytest.raises(ShapeError, match="one column"):
        chart_of(values)


def test_an_average_of_nothing_is_an_empty_chart() -> None:
    chart = ewma_chart([], center=1.0, sigma=1.0)
    assert chart.values.shape == chart.low.shape == chart.outside.shape == (0,)


def test_an_unknown_value_leaves_the_average_where_it_was() -> None:
    with_gap = ewma_chart([12.0, np.nan, 9.0], center=10.0, sigma=1.0)
    without = ewma_chart([12.0, 9.0], center=10.0, sigma=1.0)
    for name in ("values", "low", "high"):
        column = getattr(with_gap, name)
        assert np.isnan(column[1])
        assert column[[0, 2]] == pytest.approx(getattr(without, name), rel=1e-14)


def test_an_unknown_value_is_never_outside() -> None:
    assert individuals_chart([1.0, 2.0, np.nan, 1.0, 2.0]).outside.tolist() == [False] * 5


def test_ranges_are_taken_across_an_unknown_value() -> None:
    assert moving_range_chart([1.0, np.nan, 4.0, 6.0]).values.tolist() == [3.0, 2.0]


def test_a_point_exactly_on_the_limit_is_no_signal() -> None:
    chart = Chart(
        values=np.array([2.0, 0.0, 2.1]), center=1.0, low=np.zeros(3), high=np.full(3, 2.0)
    )
    assert chart.outside.tolist() == [False, False, True]


def test_the_first_limit_is_weight_times_width_times_sigma() -> None:
    chart = ewma_chart([0.0], center=0.0, sigma=2.0, weight_factor=0.25, width_factor=3.0)
    assert chart.high[0] == pytest.approx(0.25 * 3.0 * 2.0, rel=1e-15)


def test_weight_one_is_the_chart_of_single_values() -> None:
    chart = ewma_chart([3.0, 5.0], center=4.0, sigma=1.0, weight_factor=1.0, width_factor=3.0)
    assert chart.values.tolist() == [3.0, 5.0]
    assert chart.high.tolist() == [7.0, 7.0]


@given(VALUES, st.floats(0.01, 1.0), st.floats(0.1, 100.0))
def test_a_doubtful_value_never_narrows_a_later_limit(
    values: list[float], weight: float, more: float
) -> None:
    sigmas = np.ones(len(values))
    plain = ewma_chart(values, center=0.0, sigma=sigmas, weight_factor=weight)
    sigmas[1] += more
    doubtful = ewma_chart(values, center=0.0, sigma=sigmas, weight_factor=weight)
    assert (doubtful.high >= plain.high).all()
    assert doubtful.high[1] > plain.high[1]


@given(VALUES, st.floats(-1e3, 1e3))
def test_a_chart_moves_with_its_values(values: list[float], shift: float) -> None:
    chart = individuals_chart(values)
    moved = individuals_chart(np.array(values) + shift)
    assert moved.high - shift == pytest.approx(chart.high, abs=1e-6)


def test_a_baseline_gives_the_limits_for_the_values_after_it() -> None:
    chart = individuals_chart([4.0, 6.0, 5.0, 7.0, 5.0, 30.0], baseline_count=5)
    assert chart.center == 5.4
    assert chart.outside.tolist() == [False] * 5 + [True]


@pytest.mark.parametrize(
    ("settings", "message"),
    [
        ({"weight_factor": 0.0}, "weight_factor is 0"),
        ({"weight_factor": 1.5}, "weight_factor is 1.5"),
        ({"width_factor": -1.0}, "width_factor is -1"),
        ({"sigma": -2.0}, "sigma is -2"),
        ({"sigma": np.nan}, "sigma is nan"),
        ({"center": np.inf}, "center is inf"),
    ],
)
def test_nonsense_is_refused_with_its_value(settings: dict[str, float], message: str) -> None:
    with pytest.raises(RangeError, match=message):
        ewma_chart([1.0, 2.0], **({"center": 0.0, "sigma": 1.0} | settings))


def test_a_nan_weight_is_refused() -> None:
    with pytest.raises(RangeError, match="weight_factor is nan"):
        ewma_chart([1.0, 2.0], center=0.0, sigma=1.0, weight_factor=np.nan)


def test_sigma_must_fit_the_values() -> None:
    with pytest.raises(ShapeError, match=r"sigma has shape \(3,\) but values have \(2,\)"):
        ewma_chart([1.0, 2.0], center=0.0, sigma=[1.0, 1.0, 1.0])


def test_a_chart_cannot_be_changed() -> None:
    chart = individuals_chart([1.0, 2.0, 3.0])
    with pytest.raises(ValueError, match="read-only"):
        chart.values[0] = 9.0


def test_chart_columns_share_one_shape() -> None:
    with pytest.raises(ShapeError, match="one 1-d shape"):
        Chart(values=np.zeros(3), center=0.0, low=np.zeros(2), high=np.zeros(3))
