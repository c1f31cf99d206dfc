"""Pooling, a line with its error, and the place of a step, against published results."""

import numpy as np
import pytest

from lubberline.drift import pooled, step, steps
from lubberline.drift.fading import line

# Thirteen trials of a vaccine: cases and others, treated and not. Colditz et al. (1994), JAMA
# 271, 698-702 (data from memory); the pooled logarithm of the risk ratio by the moment estimate is
# -0.7141 with standard error 0.1787 and variance between trials 0.3088 (documentation of a
# public package for such analyses; memory).
TRIALS = [
    *((4, 119, 11, 128), (6, 300, 29, 274), (3, 228, 11, 209), (62, 13536, 248, 12619)),
    *((33, 5036, 47, 5761), (180, 1361, 372, 1079), (8, 2537, 10, 619), (505, 87886, 499, 87892)),
    *((29, 7470, 45, 7232), (17, 1699, 65, 1600), (186, 50448, 141, 27197), (5, 2493, 3, 2338)),
    (27, 16886, 29, 17825),
]
# JCGM 100:2008 H.3: thermometer readings and corrections; intercept and slope at 20 degrees
# -0.1712 and 0.002 18 with standard errors 0.0029 and 0.000 67 (slope as read there).
T_DEGC = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
B_DEGC = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]
# Yearly flow of the Nile at Aswan, 1871 to 1970; one break after 28 years (1898), in 95 % of cases
# between 25 and 32 years: printed by a public package for structural change, read as quoted.
NILE_TEXT = """
    1120 1160 963 1210 1160 1160 813 1230 1370 1140 995 935 1110 994 1020 960 1180 799 958 1140
    1100 1210 1150 1250 1260 1220 1030 1100 774 840 874 694 940 833 701 916 692 1020 1050 969
    831 726 456 824 702 1120 1100 832 764 821 768 845 864 862 698 845 744 796 1040 759
    781 865 845 944 984 897 822 1010 771 676 649 846 812 742 801 1040 860 874 848 890
    744 749 838 1050 918 986 797 923 975 815 1020 906 901 1170 912 746 919 718 714 740
"""
NILE = np.array([float(flow) for flow in NILE_TEXT.split()])


def test_thirteen_trials_pool_to_the_published_figures() -> None:
    a, b, c, d = np.array(TRIALS, dtype=float).T
    ratio = np.log(a / (a + b) / (c / (c + d)))
    sigma = np.sqrt(1 / a - 1 / (a + b) + 1 / c - 1 / (c + d))
    found = pooled(ratio.tolist(), sigma.tolist())
    assert found.common == pytest.approx(-0.7141, abs=5e-5)
    assert found.sigma == pytest.approx(0.1787, abs=5e-5)
    assert found.apart**2 == pytest.approx(0.3088, abs=5e-5)


def test_the_calibration_line_of_the_guide() -> None:
    intercept, slope, sigma = line(np.array(T_DEGC) - 20.0, np.array(B_DEGC))
    assert intercept == pytest.approx(-0.1712, abs=5e-5)
    assert slope == pytest.approx(0.00218, abs=5e-6)
    assert sigma == pytest.approx(0.00067, abs=5e-6)


def test_the_nile_fell_after_1898() -> None:
    assert (NILE.size, NILE.sum()) == (100, 91_935.0)  # as the dossier's checks say
    found = step(NILE)
    assert found.index == 28
    assert 25 <= found.earliest_index <= 28 <= found.latest_index <= 32
    assert found.p_ratio < 0.001
    assert [each.index for each in steps(NILE)] == [28]
