"""Published files of national size, from disk to a data set in memory.

Wanted: 50,000 obstacles/s, 10,000 volumes in 30 s, 70,000 aerodromes quickly. Writing the files
takes longer than reading them.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import published_made as made
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline.places import DataSet
from lubberline.places.published import (
    read_class_airspace,
    read_nasr,
    read_obstacles,
    read_ourairports,
)

Read = Callable[[Path], DataSet]


def once(benchmark: BenchmarkFixture, read: Read, path: Path) -> Any:
    """Read cold, as whoever adds a file does; two rounds show what chance does."""
    return benchmark.pedantic(read, args=(path,), rounds=2)  # type: ignore[no-untyped-call]


@pytest.mark.parametrize("name", ["DOF.DAT", "DOF.CSV"])
def test_half_a_million_obstacles(benchmark: BenchmarkFixture, tmp_path: Path, name: str) -> None:
    path = made.write_obstacles(tmp_path / name, csv=name.endswith("CSV"))
    data = once(benchmark, read_obstacles, path)
    assert len(data.obstacles) + data.account.left_out_count == made.OBSTACLES


def test_a_subscription_of_twenty_thousand_airports(
    benchmark: BenchmarkFixture, tmp_path: Path
) -> None:
    data = once(benchmark, read_nasr, made.write_subscription(tmp_path / "nasr-csv.zip"))
    assert (len(data.aerodromes), len(data.waypoints)) == (made.AIRPORTS, made.FIXES)
    assert all(one.runways and one.radios for one in data.aerodromes)


def test_ten_thousand_volumes(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    data = once(benchmark, read_class_airspace, made.write_airspace(tmp_path / "airspace.zip"))
    assert len(data.volumes) == made.VOLUMES


def test_eighty_thousand_aerodromes(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    data = once(benchmark, read_ourairports, made.write_world(tmp_path))
    assert len(data.aerodromes) == made.WORLD
