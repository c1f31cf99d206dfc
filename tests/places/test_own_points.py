"""The pilot's own points: a table or GPX waypoints."""

from pathlib import Path

import pytest

from lubberline.errors import BadFile
from lubberline.places import DataSet
from lubberline.places.published import read_own_points

TABLE = 'name,lat,lon,note\nGasworks,41.0917,-130.5150,"chimney, report here"\n'
GPX = (
    '<?xml version="1.0"?>\n<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1">\n'
    '<wpt lat="41.0917" lon="-130.5150"><ele>12</ele><name>Gasworks</name>'
    "<desc>chimney, report here</desc></wpt>\n</gpx>\n"
)


def read(tmp_path: Path, content: str, name: str = "own.csv") -> DataSet:
    path = tmp_path / name
    path.write_text(content, encoding="utf-8")
    return read_own_points(path)


@pytest.mark.parametrize(
    ("content", "name"),
    [
        (TABLE, "own.csv"),
        (GPX, "own.gpx"),
        ("\ufeffNote,Lon,Lat,Name\r\n,-130.515,41.0917,Gasworks\r\n", "own.csv"),
        ("name,lat,lon\nGasworks,41 05.502N,130 30.9W\n", "own.csv"),
        ("name,lat,lon\nGasworks,N41:05:30.12,W130:30:54\n", "own.csv"),
        ("name,lat,lon\nGasworks,41\u00b005'30.12\"N,130\u00b030'54\"W\n", "own.csv"),
    ],
)
def test_a_point_is_the_same_however_it_is_written(tmp_path: Path, content: str, name: str) -> None:
    data = read(tmp_path, content, name)
    (point,) = data.points
    assert point.name == "Gasworks"
    assert point.lat_deg == pytest.approx(41.0917, abs=1e-6)
    assert point.lon_deg == pytest.approx(-130.515, abs=1e-6)
    assert point.note in ("", "chimney, report here")
    assert data.account.read == {"points": 1}


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        (",41,-131,", "no name"),
        ("Gasworks,41,-131,", "a second 'Gasworks'"),
        ("A,91,-131,", "no place on earth"),
        ("A,41 65N,-131,", "no place on earth"),
        ("A,41,-181,", "no place on earth"),
        ("A,north,-131,", "is no angle"),
        ("A,41E,-131,", "is no angle"),
        ("A,,-131,", "is no angle"),
        ("A,41,-131", "3 values under 4 columns"),
    ],
)
def test_a_bad_row_is_told_and_the_rest_read(tmp_path: Path, row: str, reason: str) -> None:
    data = read(tmp_path, f"{TABLE}{row}\n")
    assert len(data.points) == 1
    assert [(one.line, reason in one.reason) for one in data.account.left_out] == [(3, True)]


def test_a_waypoint_without_name_is_told(tmp_path: Path) -> None:
    data = read(tmp_path, GPX.replace("<name>Gasworks</name>", ""), "own.gpx")
    assert data.points == ()
    assert str(data.account.left_out[0]) == "own.gpx, line 3: points: no name"


@pytest.mark.parametrize(
    ("content", "name", "found"),
    [
        ("a,b\n1,2\n", "own.csv", "without name, lat, lon"),
        ("<gpx><wpt></gpx>", "own.gpx", "mismatched tag"),
        ("<!DOCTYPE gpx><gpx/>", "own.gpx", "a document type"),
    ],
)
def test_what_is_no_file_of_points_is_refused(
    tmp_path: Path, content: str, name: str, found: str
) -> None:
    with pytest.raises(BadFile, match=found):
        read(tmp_path, content, name)
