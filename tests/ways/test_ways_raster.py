"""Degrees of a raster against the projection itself (pyproj, azimuthal equidistant)."""

import numpy as np
import pytest

from lubberline.earth import LocalPlane
from lubberline.ways.search.raster import raster_degrees


@pytest.mark.parametrize("half_nm", [20.0, 150.0, 400.0])
@pytest.mark.parametrize(
    ("lat_deg", "lon_deg"),
    [(41.0, -131.0), (0.0, 179.9), (-50.0, -179.5), (75.0, 10.0), (85.0, 0.0), (89.5, 40.0)],
)
def test_a_raster_lies_where_the_projection_puts_it(
    lat_deg: float, lon_deg: float, half_nm: float
) -> None:
    plane = LocalPlane(lat_deg, lon_deg)
    east_nm, north_nm = np.linspace(-half_nm, half_nm, 61), np.linspace(-half_nm, half_nm / 3, 47)
    made_lat_deg, made_lon_deg = raster_degrees(plane, east_nm, north_nm)
    sure_lat_deg, sure_lon_deg = plane.to_degrees(*np.meshgrid(east_nm, north_nm))
    assert made_lat_deg == pytest.approx(sure_lat_deg, abs=1e-5)
    turn_deg = np.mod(made_lon_deg - sure_lon_deg + 180.0, 360.0) - 180.0
    assert np.abs(turn_deg * np.cos(np.radians(sure_lat_deg))).max() < 1e-5
