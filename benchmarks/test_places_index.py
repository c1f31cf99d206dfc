"""A corridor of 200 NM out of a national set, against the other ways to keep half a million rows.

Wanted: built at 50,000 obstacles/s and 10,000 volumes in 30 s, opened in 200 ms, asked in 20 ms.
"""

import sqlite3
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from national import national
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline.places import Corridor, DataSet, Obstacles
from lubberline.places.index import open_index, write_index

ROUTE = Corridor(  # as crowded as any in the invented country
    lat_deg=np.array([44.15, 45.3, 46.45]),
    lon_deg=np.array([-120.94, -119.5, -117.94]),
    half_width_nm=25.0,
)


def asked() -> Corridor:
    """The same route with nothing worked out yet."""
    return Corridor(lat_deg=ROUTE.lat_deg, lon_deg=ROUTE.lon_deg, half_width_nm=ROUTE.half_width_nm)


@pytest.fixture(scope="module")
def data() -> DataSet:
    return national()


@pytest.fixture(scope="module")
def written(data: DataSet, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("index") / "national.index"
    write_index(path, data)
    return path


def told(benchmark: BenchmarkFixture, most_s: float) -> None:
    """The promise, held to the middle run."""
    assert benchmark.stats is not None
    assert benchmark.stats.stats.median < most_s


def test_build_500_000_obstacles(
    benchmark: BenchmarkFixture, data: DataSet, tmp_path: Path
) -> None:
    alone = DataSet(source=data.source, account=data.account, obstacles=data.obstacles)
    benchmark.pedantic(write_index, (tmp_path / "a.index", alone), rounds=3)  # type: ignore[no-untyped-call]
    told(benchmark, 500_000 / 50_000)


def test_build_10_000_volumes(benchmark: BenchmarkFixture, data: DataSet, tmp_path: Path) -> None:
    alone = DataSet(source=data.source, account=data.account, volumes=data.volumes)
    benchmark.pedantic(write_index, (tmp_path / "a.index", alone), rounds=3)  # type: ignore[no-untyped-call]
    told(benchmark, 30.0)


def test_build_70_000_aerodromes(
    benchmark: BenchmarkFixture, data: DataSet, tmp_path: Path
) -> None:
    alone = DataSet(source=data.source, account=data.account, aerodromes=data.aerodromes)
    benchmark.pedantic(write_index, (tmp_path / "a.index", alone), rounds=2)  # type: ignore[no-untyped-call]
    told(benchmark, 30.0)


def test_open(benchmark: BenchmarkFixture, written: Path) -> None:
    benchmark(open_index, written)
    told(benchmark, 0.200)


def test_ask(benchmark: BenchmarkFixture, written: Path) -> None:
    index = open_index(written)
    found = benchmark(lambda: index.near(asked()))
    assert found.obstacles is not None
    assert min(len(found.obstacles), 10 * len(found.aerodromes), 40 * len(found.volumes)) > 900
    told(benchmark, 0.020)


# The obstacles of the same corridor's box, out of a database and a table of columns.

COLUMNS = [name for name in Obstacles.__slots__ if name != "kind"]


def rows_of(given: Obstacles) -> list[Any]:
    return list(zip(*(getattr(given, name).tolist() for name in Obstacles.__slots__), strict=True))


def database(given: Obstacles, path: Path) -> sqlite3.Connection:
    path.unlink(missing_ok=True)
    base = sqlite3.connect(path)
    base.execute(f"create table obstacle ({', '.join(Obstacles.__slots__)})")
    base.executemany("insert into obstacle values (?,?,?,?,?,?,?,?)", rows_of(given))
    base.execute("create virtual table box using rtree(id, south, north, west, east)")
    base.execute("insert into box select rowid, lat_deg, lat_deg, lon_deg, lon_deg from obstacle")
    base.commit()
    return base


def from_database(base: sqlite3.Connection) -> list[Any]:
    south, north, mid, half = asked().box_deg.tolist()
    return base.execute(
        "select obstacle.* from box join obstacle on obstacle.rowid = box.id"
        " where south >= ? and north <= ? and west >= ? and east <= ?",
        (south, north, mid - half, mid + half),
    ).fetchall()


def test_build_a_database(benchmark: BenchmarkFixture, data: DataSet, tmp_path: Path) -> None:
    benchmark.pedantic(database, (data.obstacles, tmp_path / "a.db"), rounds=1)  # type: ignore[no-untyped-call]


def test_ask_a_database(benchmark: BenchmarkFixture, data: DataSet, tmp_path: Path) -> None:
    assert data.obstacles is not None
    base = database(data.obstacles, tmp_path / "a.db")
    assert len(benchmark(from_database, base)) > 1_000


def table(given: Obstacles, path: Path) -> None:
    import polars

    columns = {name: getattr(given, name) for name in Obstacles.__slots__}
    polars.DataFrame(columns).sort("lat_deg").write_parquet(path, row_group_size=20_000)


def from_table(path: Path) -> Any:
    import polars

    south, north, mid, half = asked().box_deg.tolist()
    lat, lon = polars.col("lat_deg"), polars.col("lon_deg")
    inside = lat.is_between(south, north) & lon.is_between(mid - half, mid + half)
    return polars.scan_parquet(path).filter(inside).collect()


def test_build_a_parquet_table(benchmark: BenchmarkFixture, data: DataSet, tmp_path: Path) -> None:
    benchmark.pedantic(table, (data.obstacles, tmp_path / "a.parquet"), rounds=2)  # type: ignore[no-untyped-call]


def test_ask_a_parquet_table(benchmark: BenchmarkFixture, data: DataSet, tmp_path: Path) -> None:
    assert data.obstacles is not None
    table(data.obstacles, tmp_path / "a.parquet")
    assert len(benchmark(from_table, tmp_path / "a.parquet")) > 1_000


def test_ask_obstacles_alone(benchmark: BenchmarkFixture, written: Path) -> None:
    index = open_index(written)
    benchmark(lambda: index._obstacles_near(asked()))


def test_ask_a_tree_of_boxes(benchmark: BenchmarkFixture, written: Path) -> None:
    """What a tree would add to opening, for the boxes of all items."""
    import shapely

    index = open_index(written)
    boxes_deg = np.vstack([index.columns[f"{kind}.box"] for kind in ("volumes", "aerodromes")])
    south, north, mid, half = boxes_deg.T
    shapes = shapely.box(mid - half, south, mid + half, north)
    benchmark(lambda: shapely.STRtree(shapes).query(shapely.box(-121.0, 44.0, -118.0, 46.5)))


def test_compare_all_boxes(benchmark: BenchmarkFixture, written: Path) -> None:
    index = open_index(written)
    boxes_deg = np.vstack([index.columns[f"{kind}.box"] for kind in ("volumes", "aerodromes")])
    benchmark(ROUTE.in_box, boxes_deg)
