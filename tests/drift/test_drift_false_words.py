"""How often the words are wrong, and how soon they are right: simulated, and held to the docs.

Every row of the two tables in docs/science/drift.md is simulated here with the computation
that ``judge`` uses, and must agree within three standard errors and the table's rounding.
"""

import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from lubberline.arrays import BoolArray, FloatArray
from lubberline.drift import _kernel as kernel
from lubberline.drift.chart import AVERAGE_WEIGHT_FACTOR, AVERAGE_WIDTH_FACTOR
from lubberline.drift.verdict import (
    BASELINE_MIN_COUNT,
    NEW_MIN_COUNT,
    baseline_flights_count,
)

PAGE = Path(__file__).parents[2] / "docs" / "science" / "drift.md"
RUNS = 20_000
ROUNDING_PERCENT = 0.05

Draw = Callable[[np.random.Generator, tuple[int, int]], FloatArray]


def _normal(rng: np.random.Generator, shape: tuple[int, int]) -> FloatArray:
    return rng.standard_normal(shape)


def _distances(rng: np.random.Generator, shape: tuple[int, int]) -> FloatArray:
    """Distances from a mark missed equally in two directions: skewed, mean 0, variance 1."""
    misses: FloatArray = rng.rayleigh(1.0, shape) - np.sqrt(np.pi / 2.0)
    return misses / float(np.sqrt(2.0 - np.pi / 2.0))


def _waits(rng: np.random.Generator, shape: tuple[int, int]) -> FloatArray:
    """Exponential values: as skewed as a measure of flying is likely to get."""
    return rng.exponential(1.0, shape) - 1.0


def _beyond(values: FloatArray, baseline_count: int) -> BoolArray:
    """Runs whose latest average lies beyond a limit of ours."""
    center, average, half = kernel.against_baseline(
        values,
        np.zeros_like(values),
        baseline_count=baseline_count,
        weight_factor=AVERAGE_WEIGHT_FACTOR,
        width_factor=AVERAGE_WIDTH_FACTOR,
    )
    return np.abs(average - center)[:, -1] > half[:, -1]


def _beyond_textbook(values: FloatArray, baseline_count: int) -> BoolArray:
    """The same with limits that take center and scatter of the baseline for known."""
    base, new = values[:, :baseline_count], values[:, baseline_count:]
    center = base.mean(axis=1, keepdims=True)
    average = kernel.moving_average(new, target=center, weight_factor=AVERAGE_WEIGHT_FACTOR)
    sigma = kernel.moving_average_sigma(
        kernel.scatter(base) + np.zeros_like(new), weight_factor=AVERAGE_WEIGHT_FACTOR
    )
    half = AVERAGE_WIDTH_FACTOR * sigma
    beyond: BoolArray = np.abs(average - center)[:, -1] > half[:, -1]
    return beyond


def _rows(heading: str) -> list[list[float]]:
    """Numbers of the table under a heading of the page, one list per row."""
    section = PAGE.read_text(encoding="utf-8").partition(heading)[2].partition("\n#")[0]
    lines = re.findall(r"^\| (\d.*) \|$", section, re.MULTILINE)
    return [[float(cell) for cell in line.split(" | ")] for line in lines]


def _agrees(hits: BoolArray, printed_percent: float) -> bool:
    share = hits.mean()
    doubt_percent = 100.0 * np.sqrt(max(share * (1.0 - share), 1e-4) / hits.size)
    return bool(
        abs(100.0 * share - printed_percent) < 3.0 * doubt_percent + ROUNDING_PERCENT + 1e-9
    )


@pytest.mark.parametrize(
    "row", _rows("### False words") or pytest.fail("no table"), ids=lambda row: f"{row[0]:.0f}"
)
def test_false_words_are_as_rare_as_the_page_says(row: list[float]) -> None:
    flights, baseline, textbook, normal, distances, waits = row
    assert baseline == baseline_flights_count(int(flights))
    rng = np.random.default_rng(20260101)
    shape = (RUNS, int(flights))
    assert _agrees(_beyond_textbook(_normal(rng, shape), int(baseline)), textbook)
    draws: list[tuple[Draw, float]] = [(_normal, normal), (_distances, distances), (_waits, waits)]
    for draw, printed in draws:
        assert _agrees(_beyond(draw(rng, shape), int(baseline)), printed), draw.__name__


@pytest.mark.parametrize(
    "row", _rows("### Changes found") or pytest.fail("no table"), ids=lambda row: f"{row[:2]}"
)
def test_changes_are_found_as_often_as_the_page_says(row: list[float]) -> None:
    before, new, *printed = row
    flights = int(before + new)
    rng = np.random.default_rng(20260102)
    for change, percent in zip([1.0, 1.5, 2.0, 3.0], printed, strict=True):
        values = rng.standard_normal((RUNS, flights))
        values[:, int(before) :] += change
        assert _agrees(_beyond(values, baseline_flights_count(flights)), percent), change


def test_a_stretch_of_flights_is_as_free_of_false_words_as_the_page_says() -> None:
    printed = re.search(
        r"in ([\d.]+) % of cases \(textbook limits: ([\d.]+) %\)",
        PAGE.read_text(encoding="utf-8"),
    )
    assert printed is not None
    values = np.random.default_rng(20260103).standard_normal((RUNS // 2, 30))
    ours, textbook = np.zeros(RUNS // 2, dtype=bool), np.zeros(RUNS // 2, dtype=bool)
    for flights in range(11, 31):
        baseline = baseline_flights_count(flights)
        ours |= _beyond(values[:, :flights], baseline)
        textbook |= _beyond_textbook(values[:, :flights], baseline)
    assert _agrees(ours, float(printed[1]))
    assert _agrees(textbook, float(printed[2]))


def test_eleven_is_the_fewest_and_eight_to_three_the_best_division() -> None:
    rng = np.random.default_rng(20260104)

    def found(baseline: int, new: int) -> float:
        values = rng.standard_normal((RUNS, baseline + new))
        values[:, baseline:] += 3.0
        return float(_beyond(values, baseline).mean())

    assert max(found(baseline, 10 - baseline) for baseline in range(4, 10)) < 0.5
    eleven = {baseline: found(baseline, 11 - baseline) for baseline in range(4, 11)}
    assert max(eleven, key=lambda baseline: eleven[baseline]) == BASELINE_MIN_COUNT
    assert eleven[BASELINE_MIN_COUNT] > 0.5
    assert BASELINE_MIN_COUNT + NEW_MIN_COUNT == 11


@pytest.mark.parametrize("flights", [5, 8, 20])
def test_the_scatter_of_few_flights_is_worth_the_freedom_claimed(flights: int) -> None:
    values = np.random.default_rng(20260105).standard_normal((200_000, flights))
    scatter = kernel.scatter(values)[:, 0]
    relative = scatter.var() / scatter.mean() ** 2
    assert kernel.scatter_freedom_count(flights) == pytest.approx(0.5 / relative, rel=0.02)
    assert scatter.mean() == pytest.approx(1.0, abs=0.005)
