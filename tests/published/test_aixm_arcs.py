"""Arcs of AIXM against published documents and the geodesics of GeographicLib."""

import io
from itertools import pairwise
from pathlib import Path

import aixm_made as made
import pytest
from geographiclib.geodesic import Geodesic

from lubberline.places import Polygon
from lubberline.places.published import read_aixm
from lubberline.places.published._arcs import Turn
from lubberline.places.published._gml import Axes, Curves
from lubberline.places.published._xml import features

M_PER_NM = 1852.0


def outline(tmp_path: Path, *segments: str, srs: str = made.EPSG) -> Polygon:
    path = tmp_path / "x.xml"
    part = made.component(made.limits() + made.surface(made.ring(*segments), srs=srs))
    path.write_text(made.document(made.airspace("a", part)), encoding="utf-8")
    (volume,) = read_aixm(path).volumes
    assert isinstance(volume.footprint, Polygon)
    return volume.footprint


def test_an_arc_begins_where_the_published_line_before_it_ends(tmp_path: Path) -> None:
    # A prohibited area of the fictitious AIXM data set "Donlon", as printed in a public
    # specification: a line to 55.23116373 -36.89437338, then the arc from 270 to 497 degrees,
    # 25.0 NM round 55.23333333 -36.16666667. Printed to 1e-8 degrees.
    polygon = outline(
        tmp_path,
        made.line("55.23333333 -36.16666667", "55.23116373 -36.89437338"),
        made.arc("55.23333333 -36.16666667", "25.0", 270.0, 497.0),
    )
    (arc,) = polygon.arcs
    assert arc.clockwise
    assert arc.radius_nm == 25.0
    assert polygon.error_m <= 5.0
    end = Geodesic.WGS84.Direct(55.23333333, -36.16666667, 497.0 - 360.0, 25.0 * M_PER_NM)
    assert polygon.corners_deg[-1] == pytest.approx([end["lat2"], end["lon2"]], abs=1e-9)


def test_with_the_longitude_first_angles_turn_from_east_to_north() -> None:
    # The public test suite of the GDAL library, compound curve "as found in some AIXM files":
    # lines to -80.27 33.63 and from -80.63 33.62, and between them an arc from 295 to 249
    # degrees, 23 NM round -80.47 33.98, whose ends nearly match.
    ring = made.ring(made.arc("-80.47 33.98", "23", 295, 249))
    document = made.HEAD + ring + made.TAIL
    (node,) = features(io.BytesIO(document.encode()), ["Ring"])
    (turn,) = Curves(lambda _: None).ring(node, Axes(latitude_first=False))
    assert isinstance(turn, Turn)
    assert turn.turn_deg == pytest.approx(295 - 249)
    corners_deg, _ = turn.corners_deg()
    assert Geodesic.WGS84.Inverse(*corners_deg[0], 33.63, -80.27)["s12"] < 0.5 * M_PER_NM
    assert Geodesic.WGS84.Inverse(*corners_deg[-1], 33.62, -80.63)["s12"] < 0.5 * M_PER_NM


@pytest.mark.parametrize(("start", "end"), [(0, 90), (90, 0), (270, 497), (350, 10), (10, 350)])
@pytest.mark.parametrize(("radius", "unit"), [("10", "NM"), ("18.52", "KM"), ("18520", "M")])
def test_corners_of_an_arc_lie_on_the_geodesic_circle(
    tmp_path: Path, start: float, end: float, radius: str, unit: str
) -> None:
    polygon = outline(tmp_path, made.arc("41 -131", radius, start, end, unit), made.line("41 -131"))
    (arc,) = polygon.arcs
    assert arc.clockwise == (end > start)
    for bearing, corner in ((start, arc.first), (end, arc.last)):
        place = Geodesic.WGS84.Direct(41.0, -131.0, bearing % 360.0, 10.0 * M_PER_NM)
        expected = [place["lat2"], place["lon2"]]
        assert polygon.corners_deg[corner] == pytest.approx(expected, abs=1e-9)
    for corner in polygon.corners_deg[arc.first : arc.last + 1]:
        away_m = Geodesic.WGS84.Inverse(41.0, -131.0, *corner)["s12"]
        assert away_m == pytest.approx(10.0 * M_PER_NM, abs=0.001)


def test_a_parallel_is_followed_and_a_geodesic_left_alone(tmp_path: Path) -> None:
    corners = ("41 -134", "41 -130", "42 -132")
    straight = "".join(f"<gml:pos>{one}</gml:pos>" for one in corners)
    along = outline(tmp_path, f"<gml:LineStringSegment>{straight}</gml:LineStringSegment>")
    on_parallel = [corner for corner in along.corners_deg if corner[0] == 41.0]
    assert len(on_parallel) > 5
    for one, other in pairwise(on_parallel):
        line = Geodesic.WGS84.InverseLine(*one, *other)
        middle = line.Position(line.s13 / 2.0)
        assert (middle["lat2"] - 41.0) * 111_000.0 <= 10.0
    assert len(outline(tmp_path, made.line(*corners)).corners_deg) == 3
