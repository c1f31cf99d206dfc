"""Speed of the upkeep findings: the demo's airplane, and one with two hundred directives."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

import lubberline
from lubberline.aircraft import Aircraft, Use, read_aircraft
from lubberline.fit import airplane_due
from lubberline.fit.operation import Operation
from lubberline.fit.upkeep import Occasion
from lubberline.fit.us import upkeep_findings

HERON = read_aircraft(
    Path(lubberline.__file__).parent / "demo" / "files" / "aircraft" / "heron.toml"
)
MANY = replace(
    HERON,
    directives=tuple(replace(HERON.directives[0], number=f"Q-{count}") for count in range(200)),
)
TODAY = date(2026, 11, 25)


@pytest.mark.parametrize("aircraft", [HERON, MANY], ids=["demo", "two hundred directives"])
def test_findings(aircraft: Aircraft, benchmark: BenchmarkFixture) -> None:
    occasion = Occasion(day=TODAY, clocks=aircraft.clocks, use=Use(in_service_h=1.0, cycles=1))
    found = benchmark(upkeep_findings, aircraft, Operation(hire="none"), occasion)
    assert len(found) >= 12


@pytest.mark.parametrize("aircraft", [HERON, MANY], ids=["demo", "two hundred directives"])
def test_list_of_what_comes_due(aircraft: Aircraft, benchmark: BenchmarkFixture) -> None:
    assert len(benchmark(airplane_due, aircraft, TODAY)) >= 10
