"""Where things are: geodesics, magnetic variation, the sun, terrain."""

from lubberline.earth.terrain import Terrain, Tile, flat_terrain

__all__ = [
    "Terrain",
    "Tile",
    "flat_terrain",
]
