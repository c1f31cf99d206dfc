"""Tiles stay on disk until asked; GeoTIFFs agree with their own library; unknown is never zero."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from lubberline.arrays import FloatArray
from lubberline.demo.relief import write_hgt
from lubberline.earth import Terrain, destination_point
from lubberline.errors import BadFile
from lubberline.places import Corridor, highest_ground, read_terrain
from lubberline.units import FT_PER_M

RANDOM = np.random.default_rng(7)
RELIEF_M = RANDOM.integers(-50, 2_500, (120, 120)).astype(np.int16)
VOID_M = -9_999


def write_tif(path: Path, heights: Any, **changed: Any) -> None:
    """Samples 30 arc-seconds apart whose area's north-west corner is 42 N 131 W."""
    import rasterio
    from rasterio.transform import Affine

    tags = changed.pop("tags", {})
    units = changed.pop("units", "")
    heights = np.asarray(heights)
    known = {
        "driver": "GTiff",
        "count": 1,
        "height": heights.shape[-2],
        "width": heights.shape[-1],
        "dtype": heights.dtype,
        "crs": "EPSG:4326",
        "transform": Affine(1 / 120, 0.0, -131.0, 0.0, -1 / 120, 42.0),
        "nodata": VOID_M,
    }
    with rasterio.open(path, "w", **{**known, **changed}) as data:
        data.update_tags(**tags)
        for band in range(data.count):
            data.write(heights, band + 1)
            if units:
                data.set_band_unit(band + 1, units)


def centers_deg(count: int = 120) -> tuple[FloatArray, FloatArray]:
    north_deg = 42.0 - (np.arange(count) + 0.5) / 120
    east_deg = -131.0 + (np.arange(count) + 0.5) / 120
    lat_deg, lon_deg = np.meshgrid(north_deg, east_deg, indexing="ij")
    return lat_deg, lon_deg


def test_samples_of_a_geotiff_are_those_of_its_own_library(tmp_path: Path) -> None:
    import rasterio

    write_tif(tmp_path / "a.tif", RELIEF_M)
    lat_deg, lon_deg = (column.ravel() for column in centers_deg())
    ground_ft = read_terrain(tmp_path).ground_ft(lat_deg, lon_deg)
    with rasterio.open(tmp_path / "a.tif") as data:
        theirs_m = np.array([one[0] for one in data.sample(zip(lon_deg, lat_deg, strict=True))])
    np.testing.assert_allclose(ground_ft, theirs_m * FT_PER_M, rtol=1e-9, atol=1e-6)


def test_between_samples_it_is_bilinear_as_in_its_own_library(tmp_path: Path) -> None:
    """Their warper, asked for a grid four times as fine, away from the outermost samples."""
    import rasterio
    from rasterio.enums import Resampling
    from rasterio.transform import Affine
    from rasterio.vrt import WarpedVRT

    write_tif(tmp_path / "a.tif", RELIEF_M.astype(np.float32))
    fine = {"transform": Affine(1 / 480, 0.0, -131.0, 0.0, -1 / 480, 42.0), "crs": "EPSG:4326"}
    with (
        rasterio.open(tmp_path / "a.tif") as data,
        WarpedVRT(data, resampling=Resampling.bilinear, height=480, width=480, **fine) as warped,
    ):
        theirs_m = warped.read(1)[8:-8, 8:-8]
    side = (np.arange(8, 472) + 0.5) / 480
    ground_ft = read_terrain(tmp_path).ground_ft(42.0 - side[:, None], -131.0 + side)
    np.testing.assert_allclose(ground_ft / FT_PER_M, theirs_m, atol=0.01)  # theirs is 32-bit


@pytest.mark.parametrize("size", [1_201, 3_601])
def test_srtm_tiles_are_read_as_by_another_reader(tmp_path: Path, size: int) -> None:
    import rasterio

    heights_m = RANDOM.integers(-50, 2_500, (size, size)).astype(">i2")
    heights_m[5, 7] = -32_768
    (tmp_path / "N41W131.hgt").write_bytes(heights_m.tobytes())
    with rasterio.open(tmp_path / "N41W131.hgt") as data:
        places = RANDOM.integers(0, size, (500, 2))
        lon_deg, lat_deg = np.array([data.xy(row, column) for row, column in places]).T
        theirs_m = np.array([one[0] for one in data.sample(zip(lon_deg, lat_deg, strict=True))])
    places_deg = np.round(np.array([lat_deg, lon_deg]) * (size - 1)) / (size - 1)
    ground_ft = read_terrain(tmp_path).ground_ft(*places_deg)
    np.testing.assert_allclose(ground_ft / FT_PER_M, theirs_m, atol=1e-3)


def test_tiles_side_by_side_leave_no_gap_and_their_outer_edge_ends(tmp_path: Path) -> None:
    from rasterio.transform import Affine

    write_tif(tmp_path / "west.tif", RELIEF_M)
    beside = Affine(1 / 120, 0.0, -130.0, 0.0, -1 / 120, 42.0)
    write_tif(tmp_path / "east.tiff", RELIEF_M, transform=beside)
    terrain = read_terrain(tmp_path)
    across_deg = np.linspace(-130.01, -129.99, 500)
    assert np.isfinite(terrain.ground_ft(41.3, across_deg)).all()
    edges = terrain.ground_ft([42.0001, 41.9999, 41.0001, 40.9999], -130.5)
    assert np.isfinite(edges).tolist() == [False, True, True, False]


def test_samples_that_stand_for_points_hold_no_farther(tmp_path: Path) -> None:
    write_tif(tmp_path / "a.tif", RELIEF_M, tags={"AREA_OR_POINT": "Point"})
    ground_ft = read_terrain(tmp_path).ground_ft([42.0 - 0.4 / 120, 42.0 - 0.6 / 120], -130.5)
    assert np.isfinite(ground_ft).tolist() == [False, True]


def test_voids_stay_unknown_and_feet_stay_feet(tmp_path: Path) -> None:
    heights = RELIEF_M.copy()
    heights[10, 20] = VOID_M
    write_tif(tmp_path / "a.tif", heights, units="ft")
    lat_deg, lon_deg = centers_deg()
    ground_ft = read_terrain(tmp_path).ground_ft(lat_deg, lon_deg)
    assert np.isnan(ground_ft[10, 20])
    assert ground_ft[50, 60] == pytest.approx(float(heights[50, 60]), abs=1e-3)


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"crs": "EPSG:32609"}, "found the grid EPSG:32609, expected latitude and longitude"),
        ({"crs": None}, "found the grid None"),
        ({"count": 2}, "found 2 bands"),
        ({"units": "fathom"}, "heights in 'fathom'"),
    ],
)
def test_other_rasters_are_refused(tmp_path: Path, changed: dict[str, Any], message: str) -> None:
    write_tif(tmp_path / "a.tif", RELIEF_M, **changed)
    with pytest.raises(BadFile, match=message):
        read_terrain(tmp_path)


def test_what_is_no_raster_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.tif").write_bytes(b"no raster at all")
    with pytest.raises(BadFile, match="expected a GeoTIFF"):
        read_terrain(tmp_path)


def flat_tile(folder: Path, name: str, **peaks_m: float) -> None:
    """A tile of 10 m with other heights at ``rROWcCOLUMN``, from the south."""
    ground_m = np.full((1_201, 1_201), 10.0)
    for place, height_m in peaks_m.items():
        row, column = map(int, place[1:].split("c"))
        ground_m[row, column] = height_m
    write_hgt(folder / name, ground_m)


ROUTE = Corridor(
    lat_deg=np.array([41.2, 41.8]), lon_deg=np.array([-130.8, -130.2]), half_width_nm=5.0
)


def test_the_highest_ground_is_that_in_the_corridor(tmp_path: Path) -> None:
    flat_tile(tmp_path, "N41W131.hgt", r600c600=900.0, r100c100=2_000.0)
    found = highest_ground(read_terrain(tmp_path), ROUTE)
    assert found.msl_ft == pytest.approx(900.0 * FT_PER_M)
    assert found.unknown_fraction == 0.0


@pytest.mark.parametrize(("away_nm", "counts"), [(0.0, True), (4.9, True), (5.7, False)])
def test_a_peak_counts_to_the_half_width(tmp_path: Path, away_nm: float, counts: bool) -> None:
    lat_deg, lon_deg = destination_point(41.5018, -130.5, 90.0 + 36.6, away_nm)
    row, column = round((float(lat_deg) - 41.0) * 1_200), round((float(lon_deg) + 131.0) * 1_200)
    flat_tile(tmp_path, "N41W131.hgt", **{f"r{row}c{column}": 900.0})
    found = highest_ground(read_terrain(tmp_path), ROUTE)
    assert (found.msl_ft > 100.0) == counts


def test_a_void_or_a_missing_tile_makes_it_uncertain(tmp_path: Path) -> None:
    flat_tile(tmp_path, "N41W131.hgt", r600c600=np.nan)
    holed = highest_ground(read_terrain(tmp_path), ROUTE)
    assert holed.msl_ft == pytest.approx(10.0 * FT_PER_M)
    assert 0.0 < holed.unknown_fraction < 0.01
    longer = Corridor(
        lat_deg=np.array([41.5, 41.5]), lon_deg=np.array([-131.5, -130.5]), half_width_nm=5.0
    )
    assert highest_ground(read_terrain(tmp_path), longer).unknown_fraction == pytest.approx(
        0.5, abs=0.05
    )


def test_without_tiles_no_ground_is_known() -> None:
    found = highest_ground(Terrain(), ROUTE)
    assert np.isnan(found.msl_ft)
    assert found.unknown_fraction == 1.0


def test_tiles_that_are_not_near_are_neither_read_nor_checked(tmp_path: Path) -> None:
    flat_tile(tmp_path, "N41W131.hgt")
    bad = b"\x64\x00" * 1_201 * 1_201
    (tmp_path / "N10E010.hgt").write_bytes(bad)
    assert len(read_terrain(tmp_path, ROUTE).tiles) == 1
    with pytest.raises(BadFile, match="heights such as"):
        read_terrain(tmp_path)
