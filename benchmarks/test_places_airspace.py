"""Airspace of national size in open forms, from disk to a data set in memory.

Wanted: 10,000 volumes in 30 s.
"""

import json
from pathlib import Path
from typing import Any

import aixm_made
import geojson_made
import openair_made
from pytest_benchmark.fixture import BenchmarkFixture

from lubberline.places.published import read_aixm, read_geojson, read_openair

FIVES, TRIPLES, PAIRS = 2_000, 3_300, 5_000  # volumes of one copy of each made file


def once(benchmark: BenchmarkFixture, read: Any, path: Path) -> Any:
    return benchmark.pedantic(read, args=(path,), rounds=2)  # type: ignore[no-untyped-call]


def test_openair_of_ten_thousand_volumes(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    path = tmp_path / "x.txt"
    path.write_text(openair_made.ALL * FIVES)
    assert len(once(benchmark, read_openair, path).volumes) == 5 * FIVES


def test_aixm_of_ten_thousand_volumes(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    path = tmp_path / "x.xml"
    body = aixm_made.ALL.removeprefix(aixm_made.HEAD).removesuffix(aixm_made.TAIL)
    with path.open("w") as file:
        file.write(aixm_made.HEAD)
        file.writelines(numbered(body, n) for n in range(TRIPLES))
        file.write(aixm_made.TAIL)
    data = once(benchmark, read_aixm, path)
    assert (len(data.volumes), len(data.aerodromes)) == (3 * TRIPLES, TRIPLES)


def numbered(body: str, number: int) -> str:
    """The same features under identifiers of their own."""
    replaced = body.replace("QQML", f"QQ{number}").replace('gml:id="s"', f'gml:id="s{number}"')
    for name in ("ctr", "tma", "svc", "rcc", "ad", "rwy", "d09", "d27", "d09-p", "d27-p"):
        replaced = replaced.replace(f":{name}<", f":{number}-{name}<")
        replaced = replaced.replace(f">{name}<", f">{number}-{name}<")
        replaced = replaced.replace(f'urn:uuid:{name}"', f'urn:uuid:{number}-{name}"')
        replaced = replaced.replace(f'"uuid.{name}"', f'"uuid.{number}-{name}"')
    return replaced


def test_geojson_of_ten_thousand_volumes(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    path = tmp_path / "x.geojson"
    path.write_text(geojson_made.collection(*(json.loads(geojson_made.ALL)["features"] * PAIRS)))
    assert len(once(benchmark, read_geojson, path).volumes) == 2 * PAIRS
