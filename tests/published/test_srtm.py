"""Tiles as the SRTM documentation describes them.

Sources: "SRTM Quickstart" (version 2.1: sizes, names, byte order, voids, shared edges) and
"SRTM_Topo" (2003, section 3.1: row order), read in copies; the worked position of a sample is from
the NASADEM notes on the same layout (tile N38W105, sample 2,707,976, 3,772 m).
"""

from pathlib import Path

import numpy as np
import pytest

from lubberline.places import read_terrain
from lubberline.units import FT_PER_M


def tile(path: Path, name: str, size: int, marks: dict[int, bytes]) -> Path:
    """A file of zeros with two bytes set at the given samples."""
    content = bytearray(2 * size * size)
    for sample, pair in marks.items():
        content[2 * sample : 2 * sample + 2] = pair
    (path / name).write_bytes(content)
    return path / name


# File sizes as printed: "2,884,802 bytes ( = 1201 x 1201 x 2)", "25,934,402 bytes (= 3601 x ...".
@pytest.mark.parametrize(("length", "size"), [(2_884_802, 1_201), (25_934_402, 3_601)])
def test_both_printed_lengths_are_read(tmp_path: Path, length: int, size: int) -> None:
    (tmp_path / "N34W119.hgt").write_bytes(bytes(length))
    assert read_terrain(tmp_path).tiles[0].ground_ft.shape == (size, size)


# "the N34W119.hgt file covers latitudes 34 to 35 North and longitudes 118-119 West"; names refer
# to the center of the lower left sample: N37W105 is 37 north 105 west, N40W118 40 north 118 west.
@pytest.mark.parametrize(
    ("name", "south_deg", "west_deg"),
    [("N34W119", 34, -119), ("N37W105", 37, -105), ("N40W118", 40, -118)],
)
def test_the_name_is_the_lower_left_sample(
    tmp_path: Path, name: str, south_deg: float, west_deg: float
) -> None:
    last_row = 1_200 * 1_201
    tile(tmp_path, f"{name}.hgt", 1_201, {last_row: b"\x00\x64"})
    terrain = read_terrain(tmp_path)
    assert float(terrain.ground_ft(south_deg, west_deg)) == pytest.approx(100 * FT_PER_M)
    corners = terrain.ground_ft([south_deg + 1, south_deg + 1], [west_deg, west_deg + 1])
    np.testing.assert_array_equal(corners, [0.0, 0.0])


def test_rows_run_south_from_the_north_edge_with_the_high_byte_first(tmp_path: Path) -> None:
    sample, row, column = 2_707_976, 752, 24
    tile(tmp_path, "N38W105.hgt", 3_601, {sample: b"\x0e\xbc"})  # 0x0EBC = 3772
    terrain = read_terrain(tmp_path)
    lat_deg, lon_deg = 39.0 - row / 3_600.0, -105.0 + column / 3_600.0
    assert float(terrain.ground_ft(lat_deg, lon_deg)) == pytest.approx(3_772 * FT_PER_M)
    # The printed position of that sample, which is rounded to half a sample.
    assert lat_deg == pytest.approx(38.790_972_222, abs=0.51 / 3_600)
    assert lon_deg == pytest.approx(-104.993_472_222, abs=0.51 / 3_600)


def test_the_printed_void_is_not_known(tmp_path: Path) -> None:
    tile(tmp_path, "N34W119.hgt", 1_201, {0: (-32_768).to_bytes(2, "big", signed=True)})
    terrain = read_terrain(tmp_path)
    assert np.isnan(terrain.ground_ft(35.0, -119.0))
    assert np.isnan(terrain.ground_ft(35.0 - 0.5 / 1_200, -119.0))
    assert float(terrain.ground_ft(35.0 - 1.5 / 1_200, -119.0)) == 0.0


def test_shared_edges_leave_no_seam(tmp_path: Path) -> None:
    """The north row of one tile is the south row of the next: "overlap and are identical"."""
    tile(tmp_path, "N34W119.hgt", 1_201, {600: b"\x00\x0a"})
    tile(tmp_path, "N35W119.hgt", 1_201, {1_200 * 1_201 + 600: b"\x00\x0a"})
    beside_deg = np.array([-1e-9, 0.0, 1e-9])
    ground_ft = read_terrain(tmp_path).ground_ft(35.0 + beside_deg, -118.5)
    np.testing.assert_allclose(ground_ft, 10 * FT_PER_M, rtol=1e-5)
