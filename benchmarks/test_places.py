"""Distances to airspace and ground heights, as often as a search of ways asks for them."""

from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline.demo.relief import write_relief
from lubberline.earth import LocalPlane
from lubberline.places import distance_nm, read_places, read_terrain

REGION = Path(__file__).parents[1] / "src" / "lubberline" / "demo" / "files" / "places"
PLANE = LocalPlane(41.0, -131.0)
RANDOM = np.random.default_rng(41)
EAST_NM, NORTH_NM = RANDOM.uniform(-40.0, 40.0, (2, 10_000))


@pytest.mark.parametrize("id_", ["QV-MARL", "QV-GANNET-INNER", "QV-GANNET-OUTER"])
def test_ten_thousand_distances(benchmark: BenchmarkFixture, id_: str) -> None:
    (volume,) = (volume for volume in read_places(REGION).volumes if volume.id == id_)
    benchmark(distance_nm, volume.footprint, PLANE, EAST_NM, NORTH_NM)


def test_read_a_region(benchmark: BenchmarkFixture) -> None:
    benchmark(read_places, REGION)


def test_read_and_sample_terrain(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    write_relief(tmp_path, read_places(REGION))
    lat_deg, lon_deg = PLANE.to_degrees(EAST_NM, NORTH_NM)
    benchmark(lambda: read_terrain(tmp_path).ground_ft(lat_deg, lon_deg))


def test_write_the_relief(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    benchmark(write_relief, tmp_path, read_places(REGION))
