"""How long it takes to check the demo's flight, and to evaluate all its ways."""

from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline.demo import write_folder
from lubberline.fit import check_fit, fuel_plan, rules_of
from lubberline.fit.appointment import draw
from lubberline.flight import Plan, read_plan
from lubberline.line import Verdict
from lubberline.loop import prepare_plan
from lubberline.ways import Way, evaluate_plan

SLOWEST_S = 0.150  # own: what nobody waits for; held against the fastest of all rounds
SLOWEST_DRAWS_S = 0.050  # own: 20,000 draws


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Plan:
    return read_plan(write_folder(tmp_path_factory.mktemp("fit") / "folder"))


@pytest.fixture(scope="module")
def way(plan: Plan) -> Way:
    return evaluate_plan(plan)[0]


def hold(benchmark: BenchmarkFixture, slowest_s: float) -> None:
    """Refuse what is slower; not asked where nothing is measured."""
    if benchmark.enabled:
        assert benchmark.stats is not None
        assert benchmark.stats["min"] < slowest_s


def test_check_of_the_demo(plan: Plan, way: Way, benchmark: BenchmarkFixture) -> None:
    found = benchmark(check_fit, plan, way)
    assert len(found) > 60
    assert Verdict.UNKNOWN not in {one.verdict for one in found}
    hold(benchmark, SLOWEST_S)


def test_fit_of_the_demo(plan: Plan, benchmark: BenchmarkFixture) -> None:
    """All ways evaluated, and the check of one: what the command does once files are read."""
    assert benchmark(prepare_plan, plan, 1).findings
    hold(benchmark, SLOWEST_S)


def test_draws_of_the_demo(plan: Plan, way: Way, benchmark: BenchmarkFixture) -> None:
    assert benchmark(draw, plan, way).block_min.shape == (20_000,)
    hold(benchmark, SLOWEST_DRAWS_S)


def test_fuel_plan_of_the_demo(plan: Plan, way: Way, benchmark: BenchmarkFixture) -> None:
    assert benchmark(fuel_plan, plan, way, rules_of(plan)).decisions


def test_all_ways_of_the_demo(plan: Plan, benchmark: BenchmarkFixture) -> None:
    assert len(benchmark(evaluate_plan, plan)) >= 3


def test_reading_of_the_demo(plan: Plan, benchmark: BenchmarkFixture) -> None:
    path: Path = plan.folder
    assert benchmark(read_plan, path).flight == plan.flight
