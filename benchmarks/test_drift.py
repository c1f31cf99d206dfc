"""Judging a season of flights, and a thousand pilots at once."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline.drift import Measure, judge
from lubberline.drift import _kernel as kernel


@pytest.mark.parametrize("flights", [40, 1000])
def test_judge_one_measure(benchmark: BenchmarkFixture, flights: int) -> None:
    rng = np.random.default_rng(1)
    first = datetime(2026, 1, 1, tzinfo=UTC)
    measure = Measure(
        key="task.height_ft",
        label="height held",
        unit="ft",
        better="smaller",
        flown_utc=tuple(first + timedelta(days=day) for day in range(flights)),
        values=rng.normal(40.0, 8.0, flights),
        sigmas=np.full(flights, 2.0),
        titles=("",) * flights,
    )
    assert benchmark(judge, measure).chart is not None


def test_judge_a_thousand_pilots(benchmark: BenchmarkFixture) -> None:
    values = np.random.default_rng(2).normal(40.0, 8.0, (1000, 40))

    def judged() -> float:
        _, _, half = kernel.against_baseline(
            values,
            np.zeros_like(values),
            baseline_count=20,
            weight_factor=0.1,
            width_factor=2.55,
        )
        return float(half.min())

    assert benchmark(judged) > 0.0
