"""Distances to airspace and ground heights, as often as a search of ways asks for them."""

from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline.demo.relief import write_relief
from lubberline.earth import LocalPlane
from lubberline.places import (
    Corridor,
    distance_nm,
    highest_ground,
    read_places,
    read_terrain,
)

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


def test_highest_ground_beside_200_nm(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    """Nine tiles of one arc-second."""
    heights_m = RANDOM.integers(0, 3_000, (3_601, 3_601)).astype(">i2").tobytes()
    for name in (f"N{lat}W{lon}.hgt" for lat in (41, 42, 43) for lon in (129, 130, 131)):
        (tmp_path / name).write_bytes(heights_m)
    lat_deg, lon_deg = np.array([41.2, 43.8]), np.array([-130.8, -128.2])
    route = Corridor(lat_deg=lat_deg, lon_deg=lon_deg, half_width_nm=10.0)
    terrain = read_terrain(tmp_path, route)
    benchmark(highest_ground, terrain, route)
