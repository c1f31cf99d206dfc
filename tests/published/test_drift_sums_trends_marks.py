"""Sums, trends, agreement and chances against worked examples in public print.

Sums: NIST/SEMATECH e-Handbook 6.3.2.3 (data read in a package's documentation, table read in
public test files that cite it); Montgomery & Runger, 3rd ed., example 16-6 (read); run lengths
computed there from Siegmund's formula (memory). Trends: USEPA (2009) EPA 530/R-09-007, example
17-6 (read in a package's documentation) and small ones from EPA QA/G-9 (memory), an
administrative form and a vendor's page (read). Exact chances: computed by counting inversions.
Agreement: Cohen 1968, Fleiss, Cohen & Everitt 1969, Hout 1987 (read in packages' documentation;
outputs partly computed there). Chances: a general-purpose library's documentation and Wilks
1995, table 7.3 (inputs read in a package's documentation, two slips mended; outputs computed).
"""

from math import sqrt

import numpy as np
import pytest

from lubberline.drift.agreement import chance_marks, chance_marks_of_bins, kappa, marks_table
from lubberline.drift.cusum import run_length_count, tabular_sums
from lubberline.drift.trend import neighbor_correlation_ratio, spread_factor, trend

NIST = [  # value, printed sum above, printed sum below
    *((324.925, 0.00, 0.00), (324.675, 0.00, 0.01), (324.725, 0.00, 0.00), (324.350, 0.00, 0.33)),
    *((325.350, 0.03, 0.00), (325.225, 0.00, 0.00), (324.125, 0.00, 0.56), (324.525, 0.00, 0.72)),
    *((325.225, 0.00, 0.17), (324.600, 0.00, 0.25), (324.625, 0.00, 0.31), (325.150, 0.00, 0.00)),
    *((328.325, 3.01, 0.00), (327.250, 4.94, 0.00), (327.825, 7.45, 0.00), (328.500, 10.63, 0.00)),
    *((326.675, 11.99, 0.00), (327.775, 14.44, 0.00), (326.875, 16.00, 0.00)),
    (328.350, 19.04, 0.00),
]
TEXTBOOK = [  # value, sum above, sum below, all printed
    *((102.0, 2.0, 0.0), (94.8, 0.0, 3.2), (98.3, 0.0, 2.9), (98.4, 0.0, 2.5), (102.0, 2.0, 0.0)),
    *((98.5, 0.5, 0.0), (99.0, 0.0, 0.0), (97.7, 0.0, 0.3), (100.0, 0.0, 0.0), (98.1, 0.0, 0.0)),
    *((101.3, 1.3, 0.0), (98.7, 0.0, 0.0), (101.1, 1.1, 0.0), (98.4, 0.0, 0.0), (97.0, 0.0, 1.0)),
    *((96.7, 0.0, 2.3), (100.3, 0.3, 0.0), (101.4, 1.7, 0.0), (97.2, 0.0, 0.8), (101.0, 1.0, 0.0)),
]


@pytest.mark.parametrize("index", range(20))
def test_sums_of_the_handbook(index: int) -> None:
    sums = tabular_sums([row[0] for row in NIST], center=325.0, slack=0.3175, limit=4.1959)
    assert sums.above[index] == pytest.approx(NIST[index][1], abs=0.0051)
    assert sums.below[index] == pytest.approx(NIST[index][2], abs=0.0051)
    assert sums.first_index == 13


@pytest.mark.parametrize("index", range(20))
def test_sums_of_the_textbook(index: int) -> None:
    sums = tabular_sums([row[0] for row in TEXTBOOK], center=99.0, slack=1.0, limit=10.0)
    assert sums.above[index] == pytest.approx(TEXTBOOK[index][1], abs=1e-9)
    assert sums.below[index] == pytest.approx(TEXTBOOK[index][2], abs=1e-9)
    assert sums.first_index == -1


@pytest.mark.parametrize(
    ("shift", "count", "within"), [(0.0, 938.22, 0.005), (1.0, 10.336, 0.0005), (0.5, 38.02, 0.005)]
)
def test_run_lengths_by_the_approximation(shift: float, count: float, within: float) -> None:
    assert run_length_count(shift, slack=0.5, limit=5.0) == pytest.approx(count, abs=within)


MONTHS = [89.6, 89.8, 90.1, 90.3, 90.6, 90.8, 91.1, 91.3, 91.6, 91.8, 92.1, 92.6, 93.1]
MONTHS += [93.6, 94.1, 94.6, 95.1, 95.6, 95.8, 96.1, 96.3, 96.6, 96.8]
SULFATE = [480, 450, 490, 520, 485, 510, 510, 530, 510, 560, 560, 540, 590]
SULFATE += [550, 600, 700, 570, 610, 650, 620, 830, 720, 590]


@pytest.mark.parametrize(
    ("name", "printed", "within"),
    [
        ("score", 194, 0.0),
        ("variance", 1428.0, 0.0),
        ("z_ratio", 5.107322, 5e-7),
        ("p_ratio", 3.267574e-07, 1e-12),
        ("slope", 26.6666667, 5e-8),
        ("intercept", -1909.3333333, 1e-6),
        ("low", 20.00000, 1e-5),
        ("high", 35.71182, 1e-5),
    ],
)
def test_the_trend_of_the_sulfate_example(name: str, printed: float, within: float) -> None:
    assert getattr(trend(MONTHS, SULFATE), name) == pytest.approx(printed, abs=within)


@pytest.mark.parametrize(
    ("values", "score", "variance", "z_ratio", "slope"),
    [
        ([5, 6, 11, 8, 10], 6, 16.6667, 1.22474, 1.125),
        ([100, 50, 85, 75, 50], -5, 15.6667, -1.01058, -9.16667),
        ([17, 14, 39, 16, 39, 14, 14, 39, 17, 39], 7, 111.6667, 0.567792, 0.0),
        ([10, 10, 10, 5, 10, 20, 18, 17, 15, 24, 15], 22, 155.3333, 1.684950, 1.0),
    ],
)
def test_small_trends(
    values: list[float], score: int, variance: float, z_ratio: float, slope: float
) -> None:
    found = trend(np.arange(len(values)), values)
    assert found.score == score
    assert found.variance == pytest.approx(variance, abs=5e-5)
    assert found.z_ratio == pytest.approx(z_ratio, abs=5e-6)
    assert found.slope == pytest.approx(slope, abs=5e-6)


@pytest.mark.parametrize(
    ("count", "score", "one_sided"),
    [
        *((5, 6, 0.1167), (5, 8, 0.0417), (5, 10, 0.0083)),
        *((6, 7, 0.1361), (6, 9, 0.0681), (6, 11, 0.0278), (6, 13, 0.0083), (6, 15, 0.0014)),
        *((7, 9, 0.1194), (7, 11, 0.0681), (7, 13, 0.0345), (7, 15, 0.0151), (7, 17, 0.0054)),
        *((8, 10, 0.1375), (8, 12, 0.0894), (8, 16, 0.0305), (8, 18, 0.0156), (8, 20, 0.0071)),
        *((9, 14, 0.0901), (9, 16, 0.0597), (9, 18, 0.0376), (9, 20, 0.0223), (9, 24, 0.0063)),
        *((10, 17, 0.0779), (10, 19, 0.0542), (10, 21, 0.0363), (10, 25, 0.0143), (10, 27, 0.0083)),
    ],
)
def test_exact_chances_of_small_samples(count: int, score: int, one_sided: float) -> None:
    values = order_with(count, score)
    found = trend(np.arange(count), values)
    assert found.score == score
    assert found.p_ratio / 2.0 == pytest.approx(one_sided, abs=5e-5)


def order_with(count: int, score: int) -> list[int]:
    """An order of 0 to n - 1 whose pairs rise that much oftener than they fall."""
    falls = (count * (count - 1) // 2 - score) // 2
    left, order = list(range(count)), []
    while left:
        skip = min(falls, len(left) - 1)
        order.append(left.pop(skip))
        falls -= skip
    return order


@pytest.mark.parametrize(
    ("count", "ratio", "worth", "root"),
    [
        *((100, 0.5, 33.78378, 1.720465), (100, 0.8, 11.62791, 2.932576)),
        *((60, 0.3, 32.66667, 1.355262), (20, 0.25, 12.32877, 1.273665)),
        *((30, 0.6, 8.00000, 1.936492), (100, -0.3, 184.498, 0.736215)),
    ],
)
def test_what_resembling_values_are_worth(
    count: int, ratio: float, worth: float, root: float
) -> None:
    factor = spread_factor(count, ratio)
    assert count / factor == pytest.approx(worth, abs=5e-4 if worth > 100 else 5e-6)
    assert sqrt(factor) == pytest.approx(root, abs=5e-7)


def test_neighbors_of_one_to_ten_correlate_by_seven_tenths() -> None:
    assert neighbor_correlation_ratio(np.arange(1.0, 11.0)) == pytest.approx(0.7, abs=1e-12)


COHEN = [[0.44, 0.07, 0.09], [0.05, 0.20, 0.05], [0.01, 0.03, 0.06]]
FLEISS = [[106, 10, 4], [22, 28, 10], [2, 12, 6]]
COUPLES = [[7, 7, 2, 3], [2, 8, 3, 7], [1, 5, 4, 9], [2, 8, 9, 14]]
PATIENTS = [[38, 5, 0, 1], [33, 11, 3, 0], [10, 14, 5, 6], [3, 7, 3, 10]]
NINE = marks_table(np.arange(9), np.array([1, 3, 1, 6, 1, 5, 5, 6, 7]) - 1, mark_count=9)


@pytest.mark.parametrize(
    ("table", "weights", "ratio", "within"),
    [
        (COHEN, "none", 0.492, 5e-4),
        (COHEN, [[0, 1, 3], [1, 0, 6], [3, 6, 0]], 0.348, 5e-4),
        (COHEN, [[0, 1, 4], [1, 0, 6], [2, 2, 0]], 0.353, 5e-4),
        (FLEISS, "none", 0.4285714, 5e-8),
        (FLEISS, [[0, 1, 0.5556], [1, 0, 0.3333], [0.5556, 0.3333, 0]], 0.5070700, 5e-8),
        (FLEISS, "linear", 0.4923077, 5e-8),
        (FLEISS, "quadratic", 0.5666667, 5e-8),
        (COUPLES, "none", 0.1293303, 5e-8),
        (COUPLES, "linear", 0.2373806, 5e-8),
        (COUPLES, "quadratic", 0.3320456, 5e-8),
        (PATIENTS, "none", 0.2079425, 5e-8),
        (PATIENTS, "linear", 0.3797305, 5e-8),
        (PATIENTS, "quadratic", 0.5245764, 1e-7),  # the dossier cuts the last digit: .52457646
        (NINE, "none", 0.0, 1e-12),
        (NINE, "linear", 0.3949580, 5e-8),
        (NINE, "quadratic", 0.6779661, 5e-8),
    ],
)
def test_agreement(table: object, weights: object, ratio: float, within: float) -> None:
    found = kappa(table, weights)  # type: ignore[arg-type]
    assert found.kappa_ratio == pytest.approx(ratio, abs=within)


@pytest.mark.parametrize(
    ("table", "weights", "sigma"),
    [
        (FLEISS, "none", 0.0537110),
        (FLEISS, [[0, 1, 0.5556], [1, 0, 0.3333], [0.5556, 0.3333, 0]], 0.0569939),
        (COUPLES, "none", 0.0685985),
        (COUPLES, "linear", 0.0783163),
        (COUPLES, "quadratic", 0.0972975),
    ],
)
def test_the_doubt_of_agreement(table: object, weights: object, sigma: float) -> None:
    found = kappa(table, weights)  # type: ignore[arg-type]
    assert found.sigma_ratio == pytest.approx(sigma, abs=5e-8)


P_2_8 = ([0.2] * 5 + [0.8] * 5, [0, 0, 0, 1, 0, 1, 1, 0, 1, 1])
P_1_5_9 = (
    [0.1] * 5 + [0.5] * 4 + [0.9] * 6,
    [0, 0, 0, 0, 1, 0, 1, 1, 1, 1, 1, 1, 1, 0, 1],
)


@pytest.mark.parametrize(
    ("stated", "came", "parts"),
    [
        ([0.1, 0.9, 0.8, 0.3], [0, 1, 1, 0], (0.0375, 0.0375, 0.25, 0.25)),
        (*P_2_8, (4 / 25, 0.0, 9 / 100, 1 / 4)),
        (*P_1_5_9, (271 / 1500, 49 / 2250, 73 / 900, 6 / 25)),
    ],
)
def test_stated_chances(
    stated: list[float], came: list[int], parts: tuple[float, float, float, float]
) -> None:
    found = chance_marks(stated, came)
    first = (found.score_ratio, found.reliability_ratio)
    assert (*first, found.resolution_ratio, found.uncertainty_ratio) == pytest.approx(
        parts, abs=1e-12
    )


def test_stated_chances_of_wilks() -> None:
    stated = [0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0]
    hit = [0.006, 0.019, 0.059, 0.150, 0.277, 0.377, 0.511, 0.587, 0.723, 0.779, 0.934, 0.933]
    share = [0.4112, 0.0671, 0.1833, 0.0986, 0.0616, 0.0366]
    share += [0.0303, 0.0275, 0.0245, 0.0220, 0.0170, 0.0203]
    found = chance_marks_of_bins(stated, hit, share)
    assert found.score_ratio == pytest.approx(0.0734610, abs=5e-8)
    assert found.reliability_ratio == pytest.approx(0.00082762, abs=5e-9)
    assert found.resolution_ratio == pytest.approx(0.06278663, abs=5e-9)
    assert found.uncertainty_ratio == pytest.approx(0.13542005, abs=5e-9)
