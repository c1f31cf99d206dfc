"""GeoJSON: our own properties, the government's export, dirt, and the date line."""

import json
from pathlib import Path
from typing import Any

import airspace_made
import geojson_made as made
import numpy as np
import openair_made
import pytest

from lubberline.errors import BadFile
from lubberline.places import Circle, DataSet, Polygon, Volume, outline_deg
from lubberline.places.published import _json, read_class_airspace, read_geojson, read_openair


def read(tmp_path: Path, content: str | bytes) -> DataSet:
    path = tmp_path / "x.geojson"
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return read_geojson(path)


def reasons(data: DataSet) -> str:
    return "\n".join(map(str, data.account.left_out))


def test_our_properties_become_airspace_points_and_land(tmp_path: Path) -> None:
    data = read(tmp_path, made.ALL)
    assert data.account.read == {"volumes": 2, "points": 1, "pieces of land": 1}
    assert data.account.left_out == ()
    marl, skua = data.volumes
    assert (marl.id, marl.airspace_class, marl.kind) == ("QMR-D", "D", "CTR")
    assert (marl.group, marl.facility, marl.frequency_mhz) == ("Marl Tower", "Marl Tower", 118.3)
    assert (marl.otherwise_class, marl.note) == ("G", "gliders on Sundays")
    assert marl.schedule is not None
    assert marl.schedule.spans is not None
    assert marl.valid_until_utc is not None
    assert isinstance(marl.footprint, Polygon)
    assert len(marl.footprint.holes_deg) == 1
    assert skua.footprint == Circle(lat_deg=41.1, lon_deg=-130.5, radius_nm=5.0)
    assert (skua.floor.ft, skua.ceiling.ft) == (6_500.0, 60_000.0)
    assert data.points[0].note == "chimney, report here"


def test_the_governments_export_is_the_shapefile_in_another_form(tmp_path: Path) -> None:
    rows = [*airspace_made.CLASSES, *airspace_made.SPECIAL]
    shapes = read_class_airspace(airspace_made.write_shapefile(tmp_path / "a.shp", rows)).volumes
    volumes = read(tmp_path, airspace_made.geojson(rows)).volumes
    assert [described(one) for one in volumes] == [described(one) for one in shapes]
    for one, other in zip(volumes, shapes, strict=True):
        assert area_deg2(one) == pytest.approx(area_deg2(other), rel=1e-12)


def described(volume: Volume) -> tuple[Any, ...]:
    return (
        *(volume.id, volume.name, volume.airspace_class, volume.group, volume.floor),
        *(volume.ceiling, volume.schedule, volume.otherwise_class, volume.note),
    )


def area_deg2(volume: Volume) -> float:
    """Area in degrees, holes taken away."""
    import shapely

    outer, *holes = outline_deg(volume.footprint)
    return float(shapely.Polygon(outer, holes).area)


@pytest.mark.parametrize("name", ["OLD", "EXTENDED", "SECTOR"])
def test_the_same_shapes_as_openair_text_cover_the_same(tmp_path: Path, name: str) -> None:
    (tmp_path / "x.txt").write_text(getattr(openair_made, name))
    (volume,) = read_openair(tmp_path / "x.txt").volumes
    (outline,) = outline_deg(volume.footprint)
    told = {"name": volume.name, "class": volume.airspace_class} | {
        "floor": "SFC",
        "ceiling": f"{volume.ceiling.ft} MSL",
    }
    text = made.collection(made.feature(told, made.polygon(outline[:, ::-1].tolist())))
    (other,) = read(tmp_path, text).volumes
    assert area_deg2(other) == pytest.approx(area_deg2(volume), rel=1e-9)
    assert other.ceiling.ft == pytest.approx(volume.ceiling.ft)


@pytest.mark.parametrize(
    "content",
    [
        b"\xef\xbb\xbf" + made.ALL.encode(),
        made.ALL.replace("\n", "\r\n").encode(),
        json.dumps(json.loads(made.ALL), separators=(",", ":")).encode(),
        made.ALL.replace("-130.9,", "229.1,").encode(),
        made.ALL.replace("Marl Tower", "M\xe4rl Tower").encode("latin-1"),
    ],
)
def test_dirt_changes_nothing(tmp_path: Path, content: bytes) -> None:
    clean, dirty = read(tmp_path, made.ALL), read(tmp_path, content)
    assert dirty.account == clean.account
    for one, other in zip(dirty.volumes, clean.volumes, strict=True):
        assert area_deg2(one) == pytest.approx(area_deg2(other))


def test_rings_may_run_either_way(tmp_path: Path) -> None:
    for rings in ((made.SQUARE, made.HOLE), (made.SQUARE[::-1], made.HOLE)):
        (volume,) = read(
            tmp_path, made.collection(made.feature(made.MARL, made.polygon(*rings)))
        ).volumes
        assert isinstance(volume.footprint, Polygon)
        assert len(volume.footprint.holes_deg) == 1


@pytest.mark.parametrize("west", [-179.9, 180.1])
def test_a_ring_over_the_date_line_stays_together(tmp_path: Path, west: float) -> None:
    ring = [[179.9, 10.0], [west, 10.0], [west, 10.2], [179.9, 10.2], [179.9, 10.0]]
    (volume,) = read(tmp_path, made.collection(made.feature(made.MARL, made.polygon(ring)))).volumes
    assert isinstance(volume.footprint, Polygon)
    assert (np.abs(volume.footprint.corners_deg[:, 1]) > 179.0).all()
    assert len(volume.footprint.corners_deg) < 10


def test_parts_of_a_multipolygon_are_volumes_of_their_own(tmp_path: Path) -> None:
    east = [[lon + 1.0, lat] for lon, lat in made.SQUARE]
    both = {"type": "MultiPolygon", "coordinates": [[made.SQUARE], [east]]}
    volumes = read(tmp_path, made.collection(made.feature(made.MARL, both))).volumes
    assert [one.id for one in volumes] == ["QMR-D", "QMR-D-2"]


@pytest.mark.parametrize(
    ("properties", "geometry", "reason"),
    [
        ({**made.MARL, "floor": ""}, made.polygon(made.SQUARE), "no floor"),
        ({**made.MARL, "ceiling": "0 MSL"}, made.polygon(made.SQUARE), "0 MSL stands for none"),
        ({**made.MARL, "floor": "3000 MSL"}, made.polygon(made.SQUARE), "not above the floor"),
        ({**made.MARL, "ceilling": "1"}, made.polygon(made.SQUARE), "'ceilling' is not known"),
        ({**made.MARL, "frequency_mhz": 12}, made.polygon(made.SQUARE), "frequency_mhz '12'"),
        ({**made.MARL, "frequency_mhz": "118"}, made.polygon(made.SQUARE), "frequency_mhz '118'"),
        ({**made.MARL, "valid_from": "soon"}, made.polygon(made.SQUARE), "'soon' is no time"),
        (made.MARL, made.polygon([[1, 2], [3, 4]]), "no area"),
        (made.MARL, made.polygon([[1, 2], [3, 94], [5, 6]]), "no place on earth"),
        (made.MARL, made.polygon([[1, 2], [3, None], [5, 6]]), "no place on earth"),
        (made.MARL, made.polygon([[1, 2], [3], [5, 6]]), "positions that are none"),
        (made.MARL, {"type": "Point", "coordinates": [1, 2]}, "without area"),
        (made.MARL, None, "without area"),
        (None, made.polygon(made.SQUARE), "neither airspace"),
        ({"land": True}, made.polygon(made.SQUARE, made.HOLE), "land with a lake"),
        ({}, {"type": "Point", "coordinates": [1, 2]}, "a point without name"),
    ],
)
def test_what_cannot_be_is_told_and_the_rest_read(
    tmp_path: Path, properties: Any, geometry: Any, reason: str
) -> None:
    data = read(tmp_path, made.collection(made.feature(properties, geometry), made.POINT))
    assert reason in reasons(data)
    assert "line 4" in reasons(data)
    assert len(data.points) == 1


@pytest.mark.parametrize(
    ("content", "found"),
    [
        ("", "no collection of features"),
        ('{"type": "Feature"}', "no collection of features"),
        (made.ALL[:-30], "Expecting|Unterminated|Illegal"),
        ('{"features": [{"a": }]}', "line 1: Expecting value"),
        ('{"features": [' + "[" * 100_000, "nested without end|Expecting"),
        (
            made.collection(made.POINT, crs={"properties": {"name": "EPSG:25832"}}),
            "coordinates in EPSG:25832",
        ),
    ],
)
def test_what_is_no_collection_is_refused(tmp_path: Path, content: str, found: str) -> None:
    with pytest.raises(BadFile, match=found):
        read(tmp_path, content)


def test_a_file_is_never_held_as_a_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(_json, "_BLOCK", 100)
    assert read(tmp_path, made.ALL).account.read["volumes"] == 2
