"""The examples of the OpenAir specification, and every shape through a second reader.

Extended OpenAir file format specification, version 2.1.1 (25 November 2025): examples of the
commands named in the rows. The second reader is that of the aerofiles library, its shapes drawn
here with the geodesics of GeographicLib.
"""

import io
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import openair_made
import pytest
from aerofiles.openair import Reader
from geographiclib.geodesic import Geodesic

from lubberline.places import Arc, Circle, Polygon, Volume
from lubberline.places.published import read_openair

M_PER_NM = 1852.0
HEAD = "AC {}\nAY {}\nAN X\nAH {}\nAL {}\n"
SQUARE = "DP 41:00:00N 131:00:00W\nDP 41:10:00N 131:00:00W\nDP 41:10:00N 130:50:00W\n"
SQUARE_M = "DP 41:00.000N 131:00.000W\nDP 41:10.000N 131:00.000W\nDP 41:10.000N 130:50.000W\n"


def read(tmp_path: Path, text: str) -> tuple[Volume, ...]:
    path = tmp_path / "x.txt"
    path.write_text(text, encoding="utf-8")
    return read_openair(path).volumes


def test_positions_of_the_specification(tmp_path: Path) -> None:
    # "DP: Polygon point", the example in minutes and seconds and that in decimal minutes.
    dms = (
        "DP 53:47:06N 008:21:41E\nDP 53:50:58N 008:55:25E\nDP 53:45:08N 008:57:21E\n"
        "DP 53:41:10N 008:23:38E\nDP 53:47:06N 008:21:41E\n"
    )
    (volume,) = read(tmp_path, HEAD.format("D", "CTR", "FL145", "1000ft AMSL") + dms)
    assert isinstance(volume.footprint, Polygon)
    expected = [
        (53 + 47 / 60 + 6 / 3600, 8 + 21 / 60 + 41 / 3600),
        (53 + 50 / 60 + 58 / 3600, 8 + 55 / 60 + 25 / 3600),
        (53 + 45 / 60 + 8 / 3600, 8 + 57 / 60 + 21 / 3600),
        (53 + 41 / 60 + 10 / 3600, 8 + 23 / 60 + 38 / 3600),
    ]
    assert volume.footprint.corners_deg == pytest.approx(np.array(expected), abs=1e-12)


def test_the_fixture_of_a_public_parser(tmp_path: Path) -> None:
    # Public parser's fixture: first corner and heights as its own output gives them.
    text = (
        "AC R\nAN ED-R10B Todendorf-Putlos MON-SAT+\nAH 40000ft AMSL\nAL GND\n"
        "DP 54:25:00 N 010:40:00 E\nDP 54:25:00 N 010:50:00 E\nDP 54:26:00 N 010:53:00 E\n"
        "DP 54:19:30 N 010:53:00 E\nDP 54:15:00 N 010:41:00 E\nDP 54:15:19 N 010:40:00 E\n"
        "DP 54:20:00 N 010:40:00 E\nDP 54:25:00 N 010:40:00 E\n"
    )
    (volume,) = read(tmp_path, text)
    assert isinstance(volume.footprint, Polygon)
    printed = [
        (54.416666666666664, 10.666666666666666),
        (54.416666666666664, 10.833333333333334),
        (54.43333333333333, 10.883333333333333),
        (54.325, 10.883333333333333),
        (54.25, 10.683333333333334),
        (54.25527777777778, 10.666666666666666),
        (54.333333333333336, 10.666666666666666),
    ]
    assert volume.footprint.corners_deg == pytest.approx(np.array(printed), abs=1e-14)
    assert (volume.airspace_class, volume.ceiling.ft, volume.floor.reference) == ("R", 4e4, "SFC")


@pytest.mark.parametrize(
    ("ceiling", "floor", "ceiling_ft", "floor_is"),
    [
        ("FL145", "1000ft AMSL", 14_500.0, ("MSL", 1_000.0)),  # AH: Upper altitude limit
        ("FL145", "1000ft AGL", 14_500.0, ("AGL", 1_000.0)),  # AL: Lower altitude limit
        ("FL100", "GND", 10_000.0, ("SFC", 0.0)),  # DC: Circular area
        ("1500m AMSL", "300ft AMSL", 1_500.0 / 0.3048, ("MSL", 300.0)),  # Altitude
    ],
)
def test_altitudes_of_the_specification(
    tmp_path: Path, ceiling: str, floor: str, ceiling_ft: float, floor_is: tuple[str, float]
) -> None:
    (volume,) = read(tmp_path, HEAD.format("D", "CTR", ceiling, floor) + SQUARE)
    assert volume.ceiling.ft == pytest.approx(ceiling_ft, abs=1e-9)
    assert (volume.floor.reference, volume.floor.ft) == floor_is


def test_the_circle_of_the_specification(tmp_path: Path) -> None:
    text = "AC Q\nAN PARA\nAH FL100\nAL GND\nV X=50:35:36N 007:56:42E\nDC 2.00\n"
    (volume,) = read(tmp_path, text)
    circle = volume.footprint
    assert isinstance(circle, Circle)
    assert circle.lat_deg == pytest.approx(50 + 35 / 60 + 36 / 3600, abs=1e-12)
    assert circle.lon_deg == pytest.approx(7 + 56 / 60 + 42 / 3600, abs=1e-12)
    assert circle.radius_nm == 2.0


TYPES = {  # "AY: Airspace Type", those that forbid, warn or stand for control, without a class
    "ALERT": "L",
    "P": "P",
    "Q": "Q",
    "R": "R",
    "TFR": "R",
    "TRA": "R",
    "TSA": "R",
    "WARNING": "W",
    "CTR": "C",
    "TMA": "C",
    "CTA": "C",
    "TMZ": "V",
    "RMZ": "U",
    "FIR": "U",
}


@pytest.mark.parametrize(("kind", "letter"), TYPES.items())
def test_types_of_the_specification(tmp_path: Path, kind: str, letter: str) -> None:
    (volume,) = read(tmp_path, HEAD.format("UNC", kind, "FL100", "GND") + SQUARE)
    assert (volume.airspace_class, volume.kind) == (letter, kind)


@pytest.mark.parametrize(
    ("said", "text"),
    [  # "AA: Airspace Activation Times"
        ("2023-12-16T12:00Z/2023-12-16T13:00Z", "2023-12-16T12:00Z to 2023-12-16T13:00Z"),
        ("2024-12-17T00:00Z/NONE", "2024-12-17T00:00Z to NONE"),
        ("NONE", "by notice"),
    ],
)
def test_single_dates_are_kept_as_text_and_count_as_active(
    tmp_path: Path, said: str, text: str
) -> None:
    head = HEAD.format("E", "RMZ", "FL100", "GND")
    (volume,) = read(tmp_path, f"{head}AA {said}\n{SQUARE}")
    assert volume.schedule is not None
    assert (volume.schedule.text, volume.schedule.spans) == (text, None)


def second_reading(text: str) -> list[dict[str, Any]]:
    """The same text by another reader, which knows no transponder codes."""
    known = (line for line in text.splitlines(keepends=True) if not line.startswith("AX"))
    found = list(Reader(io.StringIO("".join(known))))
    assert not [error for _, error in found if error]
    return [record for record, _ in found if record]


def ends_of(element: dict[str, Any]) -> list[tuple[float, float]]:
    """First and last place of an element, along the geodesic."""
    if element["type"] == "point":
        return [element["location"]]
    if isinstance(element["start"], list):
        return [element["start"], element["end"]]
    places = [
        Geodesic.WGS84.Direct(*element["center"], bearing, element["radius"] * M_PER_NM)
        for bearing in (element["start"], element["end"])
    ]
    return [(place["lat2"], place["lon2"]) for place in places]


@pytest.mark.parametrize("name", ["OLD", "EXTENDED", "SECTOR"])
def test_a_second_reader_draws_the_same_outline(tmp_path: Path, name: str) -> None:
    text = getattr(openair_made, name)
    (volume,) = read(tmp_path, text)
    (record,) = second_reading(text)
    assert volume.name == record["name"]
    assert isinstance(volume.footprint, Polygon)
    skip = name == "SECTOR"  # an arc from a place to itself among others is none
    elements = [one for n, one in enumerate(record["elements"]) if not (skip and n == 1)]
    for place in (place for element in elements for place in ends_of(element)):
        away_m = [
            Geodesic.WGS84.Inverse(*place, *corner)["s12"]
            for corner in volume.footprint.corners_deg
        ]
        assert min(away_m) < 0.01


@pytest.mark.parametrize("name", ["EXTENDED", "SECTOR"])
def test_a_second_reader_knows_the_same_arcs(tmp_path: Path, name: str) -> None:
    text = getattr(openair_made, name)
    (volume,) = read(tmp_path, text)
    (record,) = second_reading(text)
    assert isinstance(volume.footprint, Polygon)
    arcs = [one for one in record["elements"] if one["type"] == "arc"]
    known = [one for one in arcs if one["start"] != one["end"]]
    assert len(volume.footprint.arcs) == len(known)
    for arc, other in zip(volume.footprint.arcs, known, strict=True):
        assert (arc.lat_deg, arc.lon_deg) == pytest.approx(other["center"], abs=1e-12)
        assert arc.clockwise == other["clockwise"]
        check_on_arc(volume.footprint, arc)


def check_on_arc(polygon: Polygon, arc: Arc) -> None:
    """Every corner of an arc lies on it, every middle between two at most 10 m inside."""
    corners = polygon.corners_deg[arc.first : arc.last + 1]
    for one, other in pairwise(corners):
        line = Geodesic.WGS84.InverseLine(*one, *other)
        middle = line.Position(line.s13 / 2.0)
        for place, least in (((one[0], one[1]), 1.0), ((middle["lat2"], middle["lon2"]), 10.0)):
            away_m = Geodesic.WGS84.Inverse(arc.lat_deg, arc.lon_deg, *place)["s12"]
            assert abs(away_m - arc.radius_nm * M_PER_NM) <= least
            assert least < 10.0 or polygon.error_m <= 10.0
