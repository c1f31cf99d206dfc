"""The bars keep their promise: false words in a year, slips found in twelve flights.

``make careers`` simulates whole careers; here the comparison alone is, on many at once, and held to
the page.
"""

import re
from pathlib import Path

import numpy as np
import pytest

from lubberline.arrays import FloatArray
from lubberline.drift import _recent as recently
from lubberline.drift.verdict import PROMISES

PAGE = Path(__file__).parents[2] / "docs" / "science" / "drift.md"
RUNS = 1_500
YEAR = 52


def slipping_percent(values: FloatArray, flights: range) -> float:
    """Careers called slipping after any of the flights."""
    called = np.zeros(values.shape[0], dtype=bool)
    for count in flights:
        seen = values[:, max(0, count - recently.KEPT_COUNT) : count]
        found = recently.compare(recently.tame(seen), np.zeros_like(seen))
        called |= (found.beyond_sigma > 0.0) & (found.latest > found.usual)
    return 100.0 * float(called.mean())


def promised(what: str) -> float:
    text = " ".join(PAGE.read_text(encoding="utf-8").split())
    found = re.search(rf"([\d.]+) % {what}", text)
    assert found is not None
    return float(found[1])


def doubt(percent: float) -> float:
    return 3.0 * float(np.sqrt(percent * (100.0 - percent) / RUNS))


def test_steady_careers_are_seldom_called_slipping() -> None:
    values = np.random.default_rng(11).standard_normal((RUNS, 2 * YEAR))
    said = promised("of steady careers in the second year")
    assert said <= 5.0
    found = slipping_percent(values, range(YEAR + 1, 2 * YEAR + 1))
    assert abs(found - said) < doubt(said)


def test_a_slip_is_found_within_twelve_flights_as_often_as_promised() -> None:
    values = np.random.default_rng(12).standard_normal((RUNS, YEAR + 12))
    values[:, YEAR:] += 1.0
    said = promised("of slips by one scatter after one year")
    assert abs(slipping_percent(values, range(YEAR + 1, YEAR + 13)) - said) < doubt(said)


@pytest.mark.parametrize(("count", "false_percent", "found_percent"), PROMISES)
def test_what_is_promised_is_what_was_simulated(
    count: int, false_percent: float, found_percent: float
) -> None:
    text = PAGE.read_text(encoding="utf-8")
    steady = rf"\| steady, {count} before, no conditions \| .* \| {false_percent} \| [\d.]+ \|"
    slip = rf"\| slip of one scatter, {count} before, no conditions \| {found_percent} \|"
    assert re.search(steady, text)
    assert re.search(slip, text)
    assert false_percent <= 5.0
