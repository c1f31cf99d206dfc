"""Ground heights from tiles in a folder: SRTM and GeoTIFF.

An SRTM tile covers one degree and is named after its south-west corner: headerless big-endian
16-bit meters above the EGM96 geoid, rows from north to south, its edge rows and columns on the
whole degrees and shared with the tiles beside it [SRTM]_. A void stays unknown. What the
folder does not cover is unknown too: no tile is no error.
"""

import re
from pathlib import Path
from typing import Final

import numpy as np

from lubberline.earth import Terrain, Tile
from lubberline.errors import BadFile, Problem
from lubberline.places.corridor import Corridor
from lubberline.places.heights import Stored, is_near
from lubberline.units import FT_PER_M

VOID_M: Final = -32_768  # SRTM Quickstart
SIZES: Final = (1_201, 3_601)  # rows and columns of SRTM3 and SRTM1: SRTM Quickstart
LOWEST_M, HIGHEST_M = -500, 9_000  # own: no ground lies outside; bytes in the wrong order do

_NAME: Final = re.compile(r"([NS])(\d{2})([EW])(\d{3})", re.IGNORECASE)


def read_terrain(folder: Path, near: Corridor | None = None) -> Terrain:
    """The tiles of a folder: all, or those that a corridor touches.

    Heights stay on disk until a place in their tile is asked for.

    Raises
    ------
    BadFile
        If a tile's name, size or heights are not those of a tile: all tiles together.

    References
    ----------
    [SRTM]_, Quickstart (names, sizes, byte order, voids) and SRTM_Topo 3.1 (row order).
    """
    return Terrain(tiles=tuple(read_tiles(folder, near).values()))


def read_tiles(folder: Path, near: Corridor | None = None) -> dict[Path, Tile]:
    """As ``read_terrain``, each tile with its file."""
    if not folder.is_dir():
        problem = Problem(key="*.hgt", found="no such folder", expected="a folder of tiles")
        raise BadFile(folder, [problem])
    tiles: dict[Path, Tile] = {}
    problems: list[Problem] = []
    for path in sorted(folder.iterdir()):
        read = {".hgt": _read_hgt, ".tif": _read_tif, ".tiff": _read_tif}.get(path.suffix.lower())
        try:
            tile = read(path, near) if read else None
        except BadFile as exc:
            problems += exc.problems
        else:
            tiles |= {path: tile} if tile else {}
    if problems:
        raise BadFile(folder, problems)
    return tiles


def _read_hgt(path: Path, near: Corridor | None = None) -> Tile | None:
    """One tile, in feet, south row first; NaN where it is void [SRTM]_. None if it is not near."""
    south_deg, west_deg = _corner_deg(path)
    size = _size(path)
    stored_m = np.memmap(path, dtype=">i2", mode="r", shape=(size, size))[::-1]
    step_deg = 1.0 / (size - 1)
    tile = Tile(
        south_deg=south_deg,
        west_deg=west_deg,
        step_lat_deg=step_deg,
        step_lon_deg=step_deg,
        ground_ft=Stored((size, size), lambda: stored_m, FT_PER_M, void=VOID_M),
    )
    if near is not None and not is_near(tile, near):
        return None
    _refuse_impossible(path, stored_m)
    return tile


def _read_tif(path: Path, near: Corridor | None) -> Tile | None:
    from lubberline.places.geotiff import read_geotiff

    tile = read_geotiff(path)
    return tile if near is None or is_near(tile, near) else None


def _corner_deg(path: Path) -> tuple[float, float]:
    """South and west edge that the name says."""
    match = _NAME.fullmatch(path.stem)
    south_deg = float(match[2]) * (1 if match[1] in "Nn" else -1) if match else np.inf
    west_deg = float(match[4]) * (1 if match[3] in "Ee" else -1) if match else np.inf
    if not (-90 <= south_deg < 90 and -180 <= west_deg < 180):
        raise _refusal(path, f"the name {path.name!r}", "the south-west corner", "N41W131.hgt")
    return south_deg, west_deg


def _size(path: Path) -> int:
    """Rows, and columns, that the length of the file comes to."""
    length = path.stat().st_size
    for size in SIZES:
        if length == 2 * size * size:
            return size
    lengths = " or ".join(f"{2 * size * size:,} bytes ({size} x {size})" for size in SIZES)
    raise _refusal(path, f"{length:,} bytes", lengths)


def _refuse_impossible(path: Path, height_m: np.ndarray) -> None:
    bad = ((height_m < LOWEST_M) & (height_m != VOID_M)) | (height_m > HIGHEST_M)
    if bad.any():
        found = f"{bad.sum():,} heights such as {height_m[bad][0]} m"
        raise _refusal(path, found, f"{LOWEST_M} to {HIGHEST_M} m, most significant byte first")


def _refusal(path: Path, found: str, expected: str, example: str = "") -> BadFile:
    problem = Problem(key=path.name, found=found, expected=expected, example=example)
    return BadFile(path, [problem])
