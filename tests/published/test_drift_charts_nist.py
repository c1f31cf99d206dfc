"""Control charts against the worked examples that are in public print.

NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.2 (individuals) and 6.3.2.4 (moving
average), read in public test files that quote it. The second moving-average series is printed
in a vendor's manual page for its own routine; its results are computed. Montgomery & Runger,
Applied Statistics and Probability for Engineers, 3rd ed., table 16-3, read.
"""

import numpy as np
import pytest

from lubberline.drift import ewma_chart, individuals_chart, moving_range_chart
from lubberline.drift.chart import MEAN_RANGE_FACTOR, RANGE_LIMIT_FACTOR

FLOW = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]  # e-Handbook 6.3.2.2
FLOW_RANGES = [2.0, 2.3, 1.4, 3.5, 3.4, 1.4, 0.2, 1.2, 1.5]  # same page, printed
PRINTED_RANGE_FACTOR = 1.128  # same page
FOUR_PLACES = 5e-5

AVERAGED = [  # e-Handbook 6.3.2.4: value, printed moving average
    *((52.0, 50.60), (47.0, 49.52), (53.0, 50.56), (49.3, 50.18), (50.1, 50.16)),
    *((47.0, 49.21), (51.0, 49.75), (50.1, 49.85), (51.2, 50.26), (50.5, 50.33)),
    *((49.6, 50.11), (47.6, 49.36), (49.9, 49.52), (51.3, 50.05), (47.8, 49.38)),
    *((51.2, 49.92), (52.6, 50.73), (52.4, 51.23), (53.6, 51.94), (52.1, 51.99)),
]
TWO_PLACES = 0.005

CONCENTRATION = [  # Montgomery & Runger, table 16-3, read
    *(102.0, 94.8, 98.3, 98.4, 102.0, 98.5, 99.0, 97.7, 100.0, 98.1),
    *(101.3, 98.7, 101.1, 98.4, 97.0, 96.7, 100.3, 101.4, 97.2, 101.0),
]

SECOND = [  # data read in a vendor's manual page, which cites Montgomery
    *(9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.20, 10.34),
    *(9.03, 11.47, 10.51, 9.40, 10.08, 9.37, 10.62, 10.31, 8.52, 10.84),
    *(10.90, 9.33, 12.29, 11.50, 10.60, 11.08, 10.38, 11.62, 11.31, 10.52),
]


@pytest.mark.parametrize(("index", "printed"), list(enumerate(FLOW_RANGES)))
def test_moving_ranges_of_the_flow_example(index: int, printed: float) -> None:
    assert moving_range_chart(FLOW).values[index] == pytest.approx(printed, abs=1e-9)


@pytest.mark.parametrize(
    ("name", "printed"),
    [("center", 50.81), ("mean range", 1.8778), ("high", 55.8041), ("low", 45.8159)],
)
def test_limits_of_the_flow_example(name: str, printed: float) -> None:
    chart = individuals_chart(FLOW, range_factor=PRINTED_RANGE_FACTOR)
    got = {
        "center": chart.center,
        "mean range": moving_range_chart(FLOW).center,
        "high": chart.high[0],
        "low": chart.low[0],
    }
    assert got[name] == pytest.approx(printed, abs=FOUR_PLACES)


def test_no_flow_value_is_outside() -> None:
    assert not individuals_chart(FLOW).outside.any()
    assert not moving_range_chart(FLOW).outside.any()


def test_the_exact_range_factor_moves_the_flow_limit_a_little() -> None:
    # Computed: 55.80241 with 2/sqrt(pi) where 1.128 gives 55.80409.
    assert individuals_chart(FLOW).high[0] == pytest.approx(55.80241, abs=5e-6)


@pytest.mark.parametrize(
    ("got", "exact", "printed", "half_digit"),
    [
        # Exact values computed; printed ones from the factor tables of the same handbook.
        (MEAN_RANGE_FACTOR, 1.128379, 1.128, 5e-4),
        (RANGE_LIMIT_FACTOR, 3.266532, 3.267, 5e-4),
    ],
)
def test_factors_for_pairs(got: float, exact: float, printed: float, half_digit: float) -> None:
    assert got == pytest.approx(exact, abs=5e-7)
    assert got == pytest.approx(printed, abs=half_digit)


def test_range_limit_of_the_flow_example() -> None:
    # Computed with the rounded factor 3.267: 6.134700; ours is exact.
    high = moving_range_chart(FLOW).high[0]
    assert high == pytest.approx(6.134700 * 3.266532 / 3.267, abs=1e-5)


@pytest.mark.parametrize(
    ("name", "printed"),
    [("center", 99.1), ("mean range", 2.59), ("high", 105.99), ("low", 92.21)],
)
def test_limits_of_the_concentration_example(name: str, printed: float) -> None:
    # The book works on from 99.1 and 2.59, already rounded: within 0.01.
    chart = individuals_chart(CONCENTRATION, range_factor=PRINTED_RANGE_FACTOR)
    got = {
        "center": chart.center,
        "mean range": moving_range_chart(CONCENTRATION).center,
        "high": chart.high[0],
        "low": chart.low[0],
    }
    assert got[name] == pytest.approx(printed, abs=0.01)


@pytest.mark.parametrize(("name", "computed"), [("high", 105.98190), ("low", 92.20810)])
def test_unrounded_limits_of_the_concentration_example(name: str, computed: float) -> None:
    chart = individuals_chart(CONCENTRATION, range_factor=PRINTED_RANGE_FACTOR)
    assert chart.center == pytest.approx(99.095, abs=1e-9)
    assert getattr(chart, name)[0] == pytest.approx(computed, abs=5e-6)


@pytest.mark.parametrize("index", range(len(AVERAGED)))
def test_moving_average_of_the_printed_series(index: int) -> None:
    chart = ewma_chart(
        [value for value, _ in AVERAGED],
        center=50.0,
        sigma=2.0539,
        weight_factor=0.3,
        width_factor=3.0,
    )
    assert chart.values[index] == pytest.approx(AVERAGED[index][1], abs=TWO_PLACES)
    assert not chart.outside[index]  # printed verdict: no point outside


def test_settled_limits_of_the_printed_series() -> None:
    # Printed 52.5884 and 47.4115, the latter from a rounded factor: 1e-4 on both.
    chart = ewma_chart(
        np.full(200, 50.0), center=50.0, sigma=2.0539, weight_factor=0.3, width_factor=3.0
    )
    assert chart.high[-1] == pytest.approx(52.5884, abs=1e-4)
    assert chart.low[-1] == pytest.approx(47.4115, abs=1e-4)


@pytest.mark.parametrize(
    ("flight", "computed"),
    [
        *((1, 51.8485), (2, 52.2564), (3, 52.4314), (4, 52.5127)),
        *((5, 52.5516), (10, 52.5874), (20, 52.5884)),
    ],
)
def test_widening_limits_of_the_printed_series(flight: int, computed: float) -> None:
    chart = ewma_chart(
        np.full(20, 50.0), center=50.0, sigma=2.0539, weight_factor=0.3, width_factor=3.0
    )
    assert chart.high[flight - 1] == pytest.approx(computed, abs=FOUR_PLACES)
    assert chart.low[flight - 1] == pytest.approx(100.0 - computed, abs=FOUR_PLACES)


@pytest.mark.parametrize(
    ("flight", "computed"),
    [
        *((1, 9.945000), (2, 9.749500), (3, 9.703550), (4, 9.899195), (5, 10.125276)),
        *((27, 10.456819), (28, 10.573137), (29, 10.646823), (30, 10.634141)),
    ],
)
def test_moving_average_of_the_second_series(flight: int, computed: float) -> None:
    chart = ewma_chart(SECOND, center=10.0, sigma=1.0, weight_factor=0.1, width_factor=2.7)
    assert chart.values[flight - 1] == pytest.approx(computed, abs=5e-7)


def test_signals_and_limits_of_the_second_series() -> None:
    # Computed: outside at 29 and 30; first half-width 0.27; settled 9.380578 and 10.619422.
    chart = ewma_chart(SECOND, center=10.0, sigma=1.0, weight_factor=0.1, width_factor=2.7)
    assert (np.flatnonzero(chart.outside) + 1).tolist() == [29, 30]
    assert chart.high[0] - 10.0 == pytest.approx(0.27, abs=1e-12)
    settled = ewma_chart(
        np.full(400, 10.0), center=10.0, sigma=1.0, weight_factor=0.1, width_factor=2.7
    )
    assert (settled.low[-1], settled.high[-1]) == pytest.approx((9.380578, 10.619422), abs=5e-7)
    assert (np.flatnonzero(chart.values > settled.high[-1]) + 1).tolist() == [29, 30]
