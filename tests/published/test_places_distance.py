"""Distances to airspace against geodesics of the reference library (GeographicLib, Karney).

The plane is allowed 0.015 % of a length within 100 NM of its center, and a straight edge 0.02 NM
from the geodesic between its ends (the two figures the search is built on).
"""

from collections.abc import Sequence

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from lubberline.earth import LocalPlane
from lubberline.places import Circle, Polygon, distance_nm, outline_deg
from lubberline.units import M_PER_NM, NM_PER_M

PLANE = LocalPlane(41.0, -131.0)
SCALE_FRACTION = 0.00015
EDGE_NM = 0.02
PLACES_DEG = [
    (41.0, -131.0),
    (41.3, -130.6),
    (40.2, -132.1),
    (41.9, -129.8),
    (40.0, -130.0),
    (41.05, -130.95),
]
TRIANGLE_DEG = [(40.6, -131.6), (41.4, -131.1), (40.9, -130.2)]


def geodesic_nm(start_deg: Sequence[float], end_deg: Sequence[float]) -> float:
    return float(Geodesic.WGS84.Inverse(*start_deg, *end_deg)["s12"]) * NM_PER_M


def along_deg(start_deg: Sequence[float], end_deg: Sequence[float]) -> list[tuple[float, float]]:
    """Places every 0.05 NM along the geodesic."""
    line = Geodesic.WGS84.InverseLine(*start_deg, *end_deg)
    steps_m = np.arange(0.0, line.s13, 0.05 * M_PER_NM)
    positions = [line.Position(step_m) for step_m in steps_m]
    return [(position["lat2"], position["lon2"]) for position in positions]


@pytest.mark.parametrize("center_deg", [(41.0, -131.0), (41.29, -130.41), (40.3, -131.9)])
@pytest.mark.parametrize("place_deg", PLACES_DEG)
def test_a_circle_is_its_radius_away_from_its_center(
    center_deg: tuple[float, float], place_deg: tuple[float, float]
) -> None:
    circle = Circle(lat_deg=center_deg[0], lon_deg=center_deg[1], radius_nm=10.0)
    from_center_nm = geodesic_nm(center_deg, place_deg)
    found_nm = float(distance_nm(circle, PLANE, *PLANE.to_plane_nm(*place_deg)))
    assert found_nm == pytest.approx(from_center_nm - 10.0, abs=SCALE_FRACTION * from_center_nm)


@pytest.fixture(scope="module")
def edge_deg() -> list[tuple[float, float]]:
    pairs = zip(TRIANGLE_DEG, TRIANGLE_DEG[1:] + TRIANGLE_DEG[:1], strict=True)
    return [place for start, end in pairs for place in along_deg(start, end)]


@pytest.mark.parametrize(("place_deg", "inside"), list(zip(PLACES_DEG, "100001", strict=True)))
def test_a_polygon_is_as_far_as_its_nearest_geodesic_edge(
    place_deg: tuple[float, float], inside: str, edge_deg: list[tuple[float, float]]
) -> None:
    polygon = Polygon(corners_deg=np.array(TRIANGLE_DEG))
    found_nm = float(distance_nm(polygon, PLANE, *PLANE.to_plane_nm(*place_deg)))
    expected_nm = min(geodesic_nm(place_deg, edge) for edge in edge_deg)
    sign = -1.0 if inside == "1" else 1.0
    assert found_nm == pytest.approx(sign * expected_nm, abs=EDGE_NM + SCALE_FRACTION * expected_nm)


@pytest.mark.parametrize("radius_nm", [1.0, 4.2, 20.0])
def test_an_outline_lies_at_the_radius(radius_nm: float) -> None:
    circle = Circle(lat_deg=41.29, lon_deg=-130.41, radius_nm=radius_nm)
    (ring_deg,) = outline_deg(circle, 12)
    away_nm = [geodesic_nm((41.29, -130.41), corner) for corner in ring_deg]
    np.testing.assert_allclose(away_nm, radius_nm, rtol=1e-9)
