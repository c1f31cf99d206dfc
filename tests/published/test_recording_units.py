"""Unit factors at the door of recordings, against printed tables.

NIST Special Publication 811 (2008 edition), Appendix B.8, factors to SI as printed (memory);
the last three rows from this project's dossier of open formats (computed there).
"""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from lubberline.recording.measures import converted

NIST_811 = [
    ("knot to m/s", "kt", "mps", "0.5144444"),
    ("foot to m", "ft", "m", "0.3048"),
    ("nautical mile to m", "nm", "m", "1852"),
    ("mile to m", "sm", "m", "1609.344"),
    ("mile per hour to m/s", "mph", "mps", "0.44704"),
    ("foot per minute to m/s", "fpm", "mps", "0.00508"),
    ("kilometer per hour to m/s", "kmh", "mps", "0.2777778"),
    ("inch of mercury, conventional, to Pa", "inhg", "pa", "3386.389"),
    ("millibar to Pa", "hpa", "pa", "100"),
    ("m/s to kt", "mps", "kt", "1.943844"),
    ("m to ft", "m", "ft", "3.280840"),
    ("m/s to ft/min", "mps", "fpm", "196.8504"),
]
# Fixed points of the Celsius and Fahrenheit scales, exact.
TEMPERATURES = [
    ("degf", 32.0, 0.0),
    ("degf", 212.0, 100.0),
    ("degf", -40.0, -40.0),
    ("k", 273.15, 0.0),
]


@pytest.mark.parametrize(("name", "source", "target", "printed"), NIST_811)
def test_a_factor_agrees_to_its_printed_digits(
    name: str, source: str, target: str, printed: str, as_printed: Callable[[str], Any]
) -> None:
    assert float(converted(np.array(1.0), source, target)) == as_printed(printed), name


@pytest.mark.parametrize(("unit", "value", "expected_degc"), TEMPERATURES)
def test_temperatures_agree_at_fixed_points(unit: str, value: float, expected_degc: float) -> None:
    assert float(converted(np.array(value), unit, "degc")) == pytest.approx(expected_degc)
