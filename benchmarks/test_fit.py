"""How long it takes to check the demo's flight, and to evaluate all its ways."""

from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline.demo import write_folder
from lubberline.fit import check_fit
from lubberline.fit.appointment import draw
from lubberline.flight import Plan, read_plan
from lubberline.line import Verdict
from lubberline.ways import Way, evaluate_plan

SLOWEST_S = 0.150  # own: what nobody waits for; held against the fastest of all rounds


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    return read_plan(write_folder(tmp_path_factory.mktemp("fit") / "folder"))


@pytest.fixture(scope="module")
def way(plan: Plan) -> Way:
    return evaluate_plan(plan)[0]


def test_check_of_the_demo(plan: Plan, way: Way, benchmark: BenchmarkFixture) -> None:
    found = benchmark(check_fit, plan, way)
    assert len(found) > 40
    assert Verdict.UNKNOWN not in {one.verdict for one in found}
    if benchmark.enabled:
        assert benchmark.stats is not None
        assert benchmark.stats["min"] < SLOWEST_S


def test_draws_of_the_demo(plan: Plan, way: Way, benchmark: BenchmarkFixture) -> None:
    assert benchmark(draw, plan, way).block_min.shape == (20_000,)


def test_all_ways_of_the_demo(plan: Plan, benchmark: BenchmarkFixture) -> None:
    assert len(benchmark(evaluate_plan, plan)) >= 3


def test_reading_of_the_demo(plan: Plan, benchmark: BenchmarkFixture) -> None:
    path: Path = plan.folder
    assert benchmark(read_plan, path).flight == plan.flight
