"""Land comes from shapefiles and GeoJSON alike; lakes are water."""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from airspace_made import disk, ring, write_parts

from lubberline.errors import BadFile
from lubberline.places import DataSet
from lubberline.places.published import read_land

ISLAND = shapely.box(-131.0, 41.0, -130.0, 42.0)
LAKES = [shapely.box(-130.8, 41.2, -130.7, 41.3), shapely.box(-130.3, 41.6, -130.2, 41.7)]
WITH_LAKES = ISLAND.difference(shapely.MultiPolygon(LAKES))


def feature(shape: Any) -> dict[str, Any]:
    return {"type": "Feature", "properties": {}, "geometry": json.loads(shapely.to_geojson(shape))}


def write_json(path: Path, *features: Any) -> Path:
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    return path


def land_of(data: DataSet) -> Any:
    """All pieces together, as longitude and latitude."""
    return shapely.union_all([shapely.Polygon(piece[:, ::-1]) for piece in data.land_deg])


@pytest.mark.parametrize("turn", [1, -1])
def test_an_island_with_lakes_is_cut_into_pieces_without(tmp_path: Path, turn: int) -> None:
    shape = shapely.orient_polygons(WITH_LAKES, exterior_cw=turn < 0)
    data = read_land(write_json(tmp_path / "land.geojson", feature(shape)))
    assert len(data.land_deg) > 1
    assert land_of(data).symmetric_difference(WITH_LAKES).area < 1e-12
    assert not any(shapely.contains(land_of(data), lake) for lake in LAKES)
    assert data.account.read == {"records of land": 1}


def test_a_shapefile_gives_the_same_land(tmp_path: Path) -> None:
    for name, content in write_parts([({"NAME": "X"}, ring(41.0, -131.0, 0.1, 0.5))]).items():
        (tmp_path / f"land.{name}").write_bytes(content)
    data = read_land(tmp_path / "land.shp")
    assert land_of(data).symmetric_difference(ring(41.0, -131.0, 0.1, 0.5)).area < 1e-9


def test_what_is_no_polygon_is_told(tmp_path: Path) -> None:
    broken = {"type": "Feature", "geometry": {"type": "Polygon", "coordinates": [[[0, 0]]]}}
    features = [feature(disk(41.0, -131.0, 0.2)), feature(shapely.Point(0, 0)), broken]
    features += [feature(shapely.box(179.0, 0.0, 181.0, 1.0)), {"geometry": None}]
    data = read_land(write_json(tmp_path / "land.json", *features))
    assert len(data.land_deg) == 1
    assert data.account.left_out_count == 4
    assert [one.line for one in data.account.left_out] == [2, 3, 4, 5]


@pytest.mark.parametrize("text", ["{}", "[", '{"features": 3}', '{"features": [7]}', "[" * 9_999])
def test_what_is_no_geojson_is_refused(tmp_path: Path, text: str) -> None:
    (tmp_path / "land.json").write_text(text)
    with pytest.raises(BadFile):
        read_land(tmp_path / "land.json")


def test_a_crossed_ring_loses_no_land(tmp_path: Path) -> None:
    crossed = shapely.Polygon([(0, 0), (2, 2), (2, 0), (0, 2)])
    data = read_land(write_json(tmp_path / "land.json", feature(crossed)))
    assert sum(shapely.Polygon(piece).area for piece in data.land_deg) == pytest.approx(2.0)
    assert all(np.isfinite(piece).all() for piece in data.land_deg)
