"""How long a chart runs until it signals: published tables, an integral equation, and ours.

The tables hold for settled limits. The mean run length L(z) from an average z solves the
Fredholm equation L(z) = 1 + integral of L(y) p(y | z) over the inside; Gauss-Legendre nodes
turn it into linear equations. That solver is first held to the tables, then says what our
weight, width and widening limits come to; last, our own recursion is run on random values.
"""

from functools import cache

import numpy as np
import pytest

from lubberline.arrays import FloatArray
from lubberline.drift import _kernel as kernel
from lubberline.drift.chart import AVERAGE_WEIGHT_FACTOR, AVERAGE_WIDTH_FACTOR

NODES, WEIGHTS = np.polynomial.legendre.leggauss(120)
SHIFTS = [0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0]

# Lucas & Saccucci (1990) Technometrics 32, table 3; read as quoted by the documentation of a
# public statistics package. Half a unit of the last printed digit is the tolerance.
LUCAS = {
    (0.5, 3.071): "500 255 88.8 35.9 17.5 6.53 3.63 2.50 1.93 1.58 1.34 1.07",
    (0.03, 2.437): "500 76.7 29.3 17.6 12.6 8.07 5.99 4.80 4.03 3.49 3.11 2.55",
}
# Crowder (1987) Technometrics 29, table 1, width 2; read in the same place.
CROWDER_SHIFTS = [0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0]
CROWDER = {
    (0.5, 2.0): "26.45 20.12 11.89 7.29 4.91 2.80 1.94 1.26 1.05",
    (0.05, 2.0): "127.53 43.94 18.97 11.64 8.38 5.41 4.04 2.76 2.15",
}
# Pairs from memory (Montgomery, after Lucas & Saccucci); run lengths computed.
DESIGNS = {
    (0.40, 3.054): "499.95 71.20 14.26 3.52 2.02",
    (0.25, 2.998): "499.84 48.29 11.14 3.61 2.26",
    (0.20, 2.962): "499.74 41.76 10.54 3.74 2.38",
    (0.10, 2.814): "499.58 31.30 10.33 4.36 2.87",
    (0.05, 2.615): "499.93 28.76 11.38 5.22 3.50",
}
DESIGN_SHIFTS = [0.0, 0.5, 1.0, 2.0, 3.0]
OTHERS = [  # computed: weight, width, in control, at one sigma
    *((0.1, 2.7, 368.99, 9.73), (0.2, 2.7, 237.70, 8.77)),
    *((0.2, 3.0, 559.87, 10.84), (0.3, 3.0, 465.55, 11.70)),
]
# Crowder (1989) J. Quality Technology 21, 155-162: width for 250 between false signals; read
# in the same place, two printed decimals.
WIDTHS_FOR_250 = [(0.05, 2.32), (0.10, 2.55), (0.15, 2.65), (0.20, 2.72), (0.25, 2.76)]


def _rows(
    table: dict[tuple[float, float], str], shifts: list[float]
) -> list[tuple[float, float, float, str]]:
    return [
        (weight, width, shift, printed)
        for (weight, width), text in table.items()
        for shift, printed in zip(shifts, text.split(), strict=True)
    ]


def _half_digit(printed: str) -> float:
    return 0.5 * 10.0 ** -len(printed.partition(".")[2])


def _step_density(to: FloatArray, start: FloatArray, weight: float, shift: float) -> FloatArray:
    """Density of the next average at ``to`` (rows) from ``start`` (columns)."""
    x = (to[:, None] - (1.0 - weight) * start[None, :]) / weight - shift
    density: FloatArray = np.exp(-0.5 * x**2) / (np.sqrt(2.0 * np.pi) * weight)
    return density


@cache
def _settled(weight: float, width: float, shift: float) -> tuple[float, FloatArray, FloatArray]:
    """Mean run length from nought with settled limits; also the nodes and it at the nodes."""
    half = width * np.sqrt(weight / (2.0 - weight))
    nodes, steps = half * NODES, half * WEIGHTS
    density = _step_density(nodes, nodes, weight, shift).T
    lengths = np.linalg.solve(np.eye(nodes.size) - density * steps, np.ones(nodes.size))
    from_nought = _step_density(nodes, np.zeros(1), weight, shift)[:, 0]
    return float(1.0 + (from_nought * steps) @ lengths), nodes, lengths


def widening_run_length(weight: float, width: float, shift: float) -> float:
    """Mean run length with limits exact at every point: densities forward, then settled."""
    start, mass = np.zeros(1), np.ones(1)
    total = 0.0
    for t in range(1, 301):
        total += float(mass.sum())  # the chance to get as far as point t
        bracket = 1.0 - (1.0 - weight) ** (2 * t)
        half = width * np.sqrt(weight / (2.0 - weight) * bracket)
        to = half * NODES
        mass = (_step_density(to, start, weight, shift) @ mass) * half * WEIGHTS
        start = to
    _, nodes, lengths = _settled(weight, width, shift)
    assert start == pytest.approx(nodes, abs=1e-12)
    return total + float(mass @ lengths)


@pytest.mark.parametrize(("weight", "width", "shift", "printed"), _rows(LUCAS, SHIFTS))
def test_solver_matches_lucas_and_saccucci(
    weight: float, width: float, shift: float, printed: str
) -> None:
    expected = pytest.approx(float(printed), abs=1.0001 * _half_digit(printed))
    assert _settled(weight, width, shift)[0] == expected


@pytest.mark.parametrize(("weight", "width", "shift", "printed"), _rows(CROWDER, CROWDER_SHIFTS))
def test_solver_matches_crowder_1987(
    weight: float, width: float, shift: float, printed: str
) -> None:
    assert _settled(weight, width, shift)[0] == pytest.approx(float(printed), abs=0.01)


@pytest.mark.parametrize(("weight", "width", "shift", "computed"), _rows(DESIGNS, DESIGN_SHIFTS))
def test_solver_matches_the_designs_for_500(
    weight: float, width: float, shift: float, computed: str
) -> None:
    assert _settled(weight, width, shift)[0] == pytest.approx(float(computed), abs=0.005001)


@pytest.mark.parametrize(("weight", "width", "unchanged", "shifted"), OTHERS)
def test_solver_matches_other_computed_run_lengths(
    weight: float, width: float, unchanged: float, shifted: float
) -> None:
    assert _settled(weight, width, 0.0)[0] == pytest.approx(unchanged, abs=0.005001)
    assert _settled(weight, width, 1.0)[0] == pytest.approx(shifted, abs=0.005001)


@pytest.mark.parametrize(("weight", "width"), WIDTHS_FOR_250)
def test_crowder_1989_widths_give_250_values_between_false_signals(
    weight: float, width: float
) -> None:
    shorter, _, _ = _settled(weight, width - 0.005, 0.0)
    longer, _, _ = _settled(weight, width + 0.005, 0.0)
    assert shorter < 250.0 < longer


def test_our_weight_and_width_are_a_printed_pair() -> None:
    assert (AVERAGE_WEIGHT_FACTOR, AVERAGE_WIDTH_FACTOR) in WIDTHS_FOR_250


@pytest.mark.parametrize(
    ("weight", "width", "shift", "simulated", "doubt"),
    [
        # Simulated elsewhere with 40 000 runs, value and standard error.
        *((0.1, 2.814, 0.0, 485.8, 2.5), (0.1, 2.814, 1.0, 8.19, 0.03)),
        *((0.2, 2.962, 0.0, 493.1, 2.5), (0.2, 2.962, 1.0, 9.63, 0.03)),
    ],
)
def test_widening_limits_match_an_earlier_simulation(
    weight: float, width: float, shift: float, simulated: float, doubt: float
) -> None:
    assert abs(widening_run_length(weight, width, shift) - simulated) < 3.0 * doubt


@pytest.mark.parametrize(
    ("weight", "width", "shift"),
    [
        (AVERAGE_WEIGHT_FACTOR, AVERAGE_WIDTH_FACTOR, 0.0),
        (AVERAGE_WEIGHT_FACTOR, AVERAGE_WIDTH_FACTOR, 1.0),
        (0.2, 2.962, 1.0),
        (0.5, 3.071, 1.0),
    ],
)
def test_our_recursion_runs_as_long_as_the_integral_equation_says(
    weight: float, width: float, shift: float
) -> None:
    rng = np.random.default_rng(20260101)
    runs, points = (1500, 2500) if shift == 0.0 else (6000, 200)
    values = rng.standard_normal((runs, points)) + shift
    average = kernel.moving_average(values, target=0.0, weight_factor=weight)
    sigma = kernel.moving_average_sigma(np.ones((1, points)), weight_factor=weight)
    outside = np.abs(average) > width * sigma
    lengths = np.where(outside.any(axis=1), outside.argmax(axis=1) + 1, points)
    doubt = lengths.std() / np.sqrt(runs)
    assert abs(lengths.mean() - widening_run_length(weight, width, shift)) < 3.0 * doubt
