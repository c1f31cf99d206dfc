"""Each published form is known by its content, whatever the file is called."""

from collections.abc import Callable
from pathlib import Path

import airspace_made
import aixm_made
import geojson_made
import nasr_made
import openair_made
import ourairports_made
import pytest
import shapely
from airspace_made import CLASSES, SPECIAL, disk, write_parts, write_shapefile, write_zip
from obstacles_made import HEAD, Made

from lubberline.errors import BadFile
from lubberline.places import read_published

Write = Callable[[Path], Path]

AREA = geojson_made.feature(geojson_made.MARL, geojson_made.polygon(geojson_made.SQUARE))
POINT = geojson_made.feature({"name": "Pier"}, {"type": "Point", "coordinates": [-130.5, 41.1]})


def written(text: str) -> Write:
    """Writes a text and gives back where."""

    def write(path: Path) -> Path:
        path.write_text(text, encoding="utf-8")
        return path

    return write


def write_land(path: Path) -> Path:
    text = shapely.to_geojson(disk(41.0, -131.0, 0.3))
    path.write_text(f'{{"type": "FeatureCollection", "features": [{{"geometry": {text}}}]}}')
    return path


def write_obstacles(path: Path) -> Path:
    path.write_text("\n".join([*HEAD, Made().line(), ""]))
    return path


def write_world(path: Path) -> Path:
    path.mkdir()
    return ourairports_made.write_folder(path)


def write_coast(path: Path) -> Path:
    for ending, content in write_parts([({"NAME": "X"}, disk(0.0, 0.0, 1.0))], ["NAME"]).items():
        path.with_suffix(f".{ending}").write_bytes(content)
    return path


@pytest.mark.parametrize(
    ("write", "name", "form"),
    [
        (nasr_made.write_folder, "tables", "NASR CSV"),
        (nasr_made.write_subscription, "any.zip", "NASR CSV"),
        (lambda path: write_zip(path, CLASSES), "any.zip", "class-airspace shapefile"),
        (lambda path: write_shapefile(path, CLASSES), "a.shp", "class-airspace shapefile"),
        (lambda path: write_shapefile(path, SPECIAL), "a.shp", "special-use-airspace shapefile"),
        (write_obstacles, "any.dat", "Digital Obstacle File"),
        (write_land, "any.json", "land polygons"),
        (write_coast, "a.shp", "land polygons"),
        (write_world, "tables", "OurAirports CSV"),
        (written(openair_made.HEAD + openair_made.OLD), "any.txt", "OpenAir"),
        (written(openair_made.ALL), "any.oa", "OpenAir"),
        (written(aixm_made.ALL), "any.xml", "AIXM 5.1"),
        (written(geojson_made.collection(AREA)), "any.json", "GeoJSON"),
        (written(geojson_made.collection(POINT)), "any.geojson", "GeoJSON"),
        (written(airspace_made.geojson(CLASSES)), "any.json", "GeoJSON"),
        (written("\ufeffName,Lat,Lon\nPier,41.1,-130.5\n"), "any.csv", "own points"),
        (
            written('<?xml version="1.0"?>\n<gpx><wpt lat="1" lon="2"><name>P</name></wpt></gpx>'),
            "any.gpx",
            "own points",
        ),
    ],
)
def test_a_form_is_known_by_its_content(tmp_path: Path, write: Write, name: str, form: str) -> None:
    data = read_published(write(tmp_path / name))
    assert data.source.form.startswith(form)
    assert sum(data.account.read.values()) > 0


@pytest.mark.parametrize("content", [b"", b"words", b"\x00" * 100, b"<html>", b'{"a": 1}'])
def test_what_is_no_form_is_refused_with_those_that_are(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "any.txt").write_bytes(content)
    with pytest.raises(BadFile, match="found none that is known, expected the 28-day"):
        read_published(tmp_path / "any.txt")
