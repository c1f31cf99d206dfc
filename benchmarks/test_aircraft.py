"""Speed of the aircraft room: one question of a plan, and 100,000 places on a table."""

from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

import lubberline
from lubberline.aircraft import (
    Aircraft,
    arm_margin_in,
    burn_paths,
    look_up,
    read_aircraft,
    takeoff_distance,
    tightest,
)

HERON = Path(lubberline.__file__).parent / "demo" / "files" / "aircraft" / "heron.toml"
RANDOM = np.random.default_rng(1)
COUNT = 100_000
WEIGHT_LB = RANDOM.uniform(2_300.0, 2_900.0, COUNT)
PRESSURE_FT = RANDOM.uniform(0.0, 8_000.0, COUNT)
OAT_DEGC = RANDOM.uniform(0.0, 40.0, COUNT)
ARM_IN = RANDOM.uniform(90.0, 115.0, COUNT)


@pytest.fixture(scope="module")
def heron() -> Aircraft:
    return read_aircraft(HERON)


def test_reading_a_file(benchmark: BenchmarkFixture) -> None:
    assert benchmark(read_aircraft, HERON).name == "Heron"


def test_one_look_up(benchmark: BenchmarkFixture, heron: Aircraft) -> None:
    place = {"weight_lb": 2_650.0, "pressure_ft": 1_200.0, "oat_degc": 12.0}
    assert benchmark(look_up, heron.tables["climb_fpm"], **place) > 0.0


def test_many_look_ups(benchmark: BenchmarkFixture, heron: Aircraft) -> None:
    places = {"weight_lb": WEIGHT_LB, "pressure_ft": PRESSURE_FT, "oat_degc": OAT_DEGC}
    found = benchmark(look_up, heron.tables["takeoff_roll_ft"], **places)
    assert np.isfinite(found).all()


def test_one_distance(benchmark: BenchmarkFixture, heron: Aircraft) -> None:
    result = benchmark(
        takeoff_distance,
        heron,
        weight_lb=2_650.0,
        pressure_ft=1_200.0,
        oat_degc=12.0,
        headwind_kt=8.0,
        surface="paved",
    )
    assert result.value is not None


def test_many_margins(benchmark: BenchmarkFixture, heron: Aircraft) -> None:
    assert benchmark(arm_margin_in, heron.loading, WEIGHT_LB, ARM_IN).shape == (COUNT,)


def test_every_moment_of_the_burn(benchmark: BenchmarkFixture, heron: Aircraft) -> None:
    limits = heron.loading
    load_lb, fuel_gal = {"front": 340.0, "baggage": 60.0}, {"left": 25.0, "right": 30.0}

    def near() -> float:
        paths = burn_paths(limits, load_lb=load_lb, fuel_gal=fuel_gal)
        return tightest(limits, paths).margin_in

    assert benchmark(near) > 0.0
