"""Ground heights from a GeoTIFF: one band of meters or feet on a grid of latitude and longitude.

What stands for an area holds half a sample beyond its middle, so that tiles side by side leave
no gap. Grids in a projection are refused: drawn anew on latitude and longitude they serve.
"""

import warnings
from pathlib import Path
from typing import Any, Final

import numpy as np

from lubberline.earth import Tile
from lubberline.errors import BadFile, Problem
from lubberline.places.heights import Stored
from lubberline.units import FT_PER_M

FT_PER_UNIT: Final = {
    **dict.fromkeys(["", "m", "metre", "meter", "metres", "meters"], FT_PER_M),
    **dict.fromkeys(["ft", "foot", "feet"], 1.0),
}


def read_geotiff(path: Path) -> Tile:
    """One tile, in feet, south row first; NaN where the file says that it has nothing.

    The heights are above what the file's makers say, mostly the EGM96 or EGM2008 geoid.

    Raises
    ------
    BadFile
        If it is no GeoTIFF, or not one band of heights on latitude and longitude.
    """
    with _opened(path) as data:
        wrong = _wrong(data)
        if wrong:
            raise BadFile(path, [Problem(key=path.name, found=wrong[0], expected=wrong[1])])
        grid, shape = data.transform, data.shape
        feet_factor = FT_PER_UNIT[str(data.units[0] or "").lower()]
        area = data.tags().get("AREA_OR_POINT") != "Point"
    return Tile(
        south_deg=grid.f + grid.e * (shape[0] - 0.5),
        west_deg=grid.c + grid.a * 0.5,
        step_lat_deg=-grid.e,
        step_lon_deg=grid.a,
        ground_ft=Stored(shape, lambda: _heights(path), feet_factor, void=None),
        edge_fraction=0.5 if area else 0.0,
    )


def _heights(path: Path) -> Any:
    """The band from south to north, NaN where the file masks it."""
    with _opened(path) as data:
        held = data.read(1, masked=True)[::-1]
        return held.astype(np.float32 if held.dtype.itemsize < 4 else np.float64).filled(np.nan)


def _opened(path: Path) -> Any:
    import rasterio
    from rasterio.errors import RasterioError

    try:
        with warnings.catch_warnings(action="ignore"):  # what is missing is told by ``_wrong``
            return rasterio.open(path, driver="GTiff")
    except RasterioError as exc:
        problem = Problem(key=path.name, found=f"{exc}", expected="a GeoTIFF")
        raise BadFile(path, [problem]) from exc


def _wrong(data: Any) -> tuple[str, str] | None:
    """What was found and what is expected, where the file does not serve."""
    grid = data.transform
    if data.count != 1:
        return f"{data.count} bands", "one band of heights"
    if data.crs is None or not data.crs.is_geographic:
        return f"the grid {data.crs}", "latitude and longitude (EPSG:4326)"
    if grid.b or grid.d or grid.a <= 0.0 or grid.e >= 0.0:
        return "a turned grid", "north up"
    if min(data.shape) < 2:
        return f"{data.shape[0]} x {data.shape[1]} samples", "at least 2 x 2"
    if str(data.units[0] or "").lower() not in FT_PER_UNIT:
        return f"heights in {data.units[0]!r}", "meters or feet"
    return None
