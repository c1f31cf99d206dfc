"""Aerodromes, airspace, visual points and land."""

from lubberline.places.file import read_places
from lubberline.places.footprint import distance_nm, outline_deg
from lubberline.places.model import (
    Aerodrome,
    Circle,
    Footprint,
    Height,
    HeightReference,
    Places,
    Polygon,
    Radio,
    Runway,
    RunwayEnd,
    VisualPoint,
    Volume,
)
from lubberline.places.surface import surface_class
from lubberline.places.terrain_file import read_terrain

__all__ = [
    "Aerodrome",
    "Circle",
    "Footprint",
    "Height",
    "HeightReference",
    "Places",
    "Polygon",
    "Radio",
    "Runway",
    "RunwayEnd",
    "VisualPoint",
    "Volume",
    "distance_nm",
    "outline_deg",
    "read_places",
    "read_terrain",
    "surface_class",
]
