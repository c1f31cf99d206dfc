"""Ground heights from SRTM tiles: one file per degree square, named after its south-west corner.

A tile is headerless big-endian 16-bit meters above the EGM96 geoid, rows from north to south,
its edge rows and columns on the whole degrees and shared with the tiles beside it [SRTM]_. A
void stays unknown. What the folder does not cover is unknown too: no tile is no error.
"""

import re
from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.earth import Terrain, Tile
from lubberline.errors import BadFile, Problem
from lubberline.units import FT_PER_M

VOID_M: Final = -32_768  # SRTM Quickstart
SIZES: Final = (1_201, 3_601)  # rows and columns of SRTM3 and SRTM1: SRTM Quickstart
LOWEST_M, HIGHEST_M = -500, 9_000  # own: no ground lies outside; bytes in the wrong order do

_NAME: Final = re.compile(r"([NS])(\d{2})([EW])(\d{3})", re.IGNORECASE)


def read_terrain(folder: Path) -> Terrain:
    """Every ``.hgt`` tile of a folder.

    Heights are held as float64, 12 MB for a 3-arc-second tile and 104 MB for a 1-arc-second one.

    Raises
    ------
    BadFile
        If a tile's name, size or heights are not those of an SRTM tile: all tiles together.

    References
    ----------
    [SRTM]_, Quickstart (names, sizes, byte order, voids) and SRTM_Topo 3.1 (row order).
    """
    tiles: list[Tile] = []
    problems: list[Problem] = []
    for path in _tile_paths(folder):
        try:
            tiles.append(read_hgt(path))
        except BadFile as exc:
            problems += exc.problems
    if problems:
        raise BadFile(folder, problems)
    return Terrain(tiles=tuple(tiles))


def read_hgt(path: Path) -> Tile:
    """One tile, in feet, south row first; NaN where it is void [SRTM]_."""
    south_deg, west_deg = _corner_deg(path)
    size = _size(path)
    height_m = np.fromfile(path, dtype=">i2").reshape(size, size)[::-1]
    _refuse_impossible(path, height_m)
    ground_ft: FloatArray = height_m * FT_PER_M
    ground_ft[height_m == VOID_M] = np.nan
    step_deg = 1.0 / (size - 1)
    return Tile(
        south_deg=south_deg,
        west_deg=west_deg,
        step_lat_deg=step_deg,
        step_lon_deg=step_deg,
        ground_ft=ground_ft,
    )


def _tile_paths(folder: Path) -> Sequence[Path]:
    if not folder.is_dir():
        problem = Problem(key="*.hgt", found="no such folder", expected="a folder of tiles")
        raise BadFile(folder, [problem])
    return sorted(path for path in folder.iterdir() if path.suffix.lower() == ".hgt")


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
