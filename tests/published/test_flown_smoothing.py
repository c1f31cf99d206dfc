"""Weights of local polynomial fits, and serial correlation, against published tables.

A. Savitzky and M. J. E. Golay, Smoothing and differentiation of data by simplified least
squares procedures, Analytical Chemistry 36, 1964, tables I (smoothing, quadratic and cubic) and
III (first derivative, quadratic), as corrected in 1972; integers read in several public programs.
"""

import numpy as np
import pytest

from lubberline.flown.cruise import parabola_weights, smooth_curve
from lubberline.flown.even import local_line
from lubberline.flown.liftoff import correlation_factor

SMOOTHING = [
    ([-3, 12, 17, 12, -3], 35),
    ([-2, 3, 6, 7, 6, 3, -2], 21),
    ([-21, 14, 39, 54, 59, 54, 39, 14, -21], 231),
    ([-36, 9, 44, 69, 84, 89, 84, 69, 44, 9, -36], 429),
]
DERIVATIVE = [
    ([-2, -1, 0, 1, 2], 10),
    ([-3, -2, -1, 0, 1, 2, 3], 28),
    ([-4, -3, -2, -1, 0, 1, 2, 3, 4], 60),
]
# SciPy's documented example of the 5-point quadratic filter, inner samples (ends are its own).
EXAMPLE = [2, 2, 5, 2, 1, 0, 1, 4, 9]
EXAMPLE_INNER = [3.54285714, 2.85714286, 0.65714286, 0.17142857, 1.0]
# Zwiers and von Storch (1995) equivalent sample size of N = 200 samples, as printed in the NCL
# reference for equiv_sample_size: lag-1 correlation, equivalent size (the integer part).
EQUIVALENT = [
    (0.702441, 34),
    (0.628879, 45),
    (0.576756, 53),
    (0.487207, 68),
    (0.407399, 83),
    (0.283313, 111),
    (0.119770, 156),
]


@pytest.mark.parametrize(("integers", "divisor"), SMOOTHING)
def test_parabola_weights_are_the_published_integers(integers: list[int], divisor: int) -> None:
    weights = parabola_weights(len(integers) // 2)
    assert weights * divisor == pytest.approx(integers, abs=1e-9)


@pytest.mark.parametrize(("integers", "divisor"), DERIVATIVE)
def test_the_slope_has_the_published_weights(integers: list[int], divisor: int) -> None:
    half = len(integers) // 2
    for k, integer in enumerate(integers):
        impulse = np.zeros(len(integers))
        impulse[k] = 1.0
        _, slope = local_line(impulse, np.zeros(len(integers), dtype=np.int64), half)
        assert slope[half] * divisor == pytest.approx(integer, abs=1e-9)


def test_the_curve_through_the_documented_example_is_the_documented_one() -> None:
    smooth = smooth_curve(np.array(EXAMPLE, dtype=float), 2)
    assert smooth[2:-2] == pytest.approx(EXAMPLE_INNER, abs=5e-9)


@pytest.mark.parametrize(("lag_1", "equivalent"), EQUIVALENT)
def test_widening_for_serial_correlation_is_the_published_loss_of_samples(
    lag_1: float, equivalent: int
) -> None:
    # Printed is the integer part of (N - 1) (1 - r) / (1 + r).
    assert int(199.0 / correlation_factor(lag_1)) == equivalent
