"""Aerodromes, airspace, visual points and land."""

from lubberline.places.dataset import Account, DataSet, LeftOut, Obstacles, Source
from lubberline.places.file import read_places
from lubberline.places.footprint import distance_nm, outline_deg
from lubberline.places.model import (
    Aerodrome,
    Arc,
    Circle,
    Footprint,
    Height,
    HeightReference,
    Places,
    Polygon,
    Radio,
    Runway,
    RunwayEnd,
    Schedule,
    VisualPoint,
    Volume,
    Waypoint,
    WeeklySpan,
)
from lubberline.places.surface import surface_class
from lubberline.places.terrain_file import read_terrain

__all__ = [
    "Account",
    "Aerodrome",
    "Arc",
    "Circle",
    "DataSet",
    "Footprint",
    "Height",
    "HeightReference",
    "LeftOut",
    "Obstacles",
    "Places",
    "Polygon",
    "Radio",
    "Runway",
    "RunwayEnd",
    "Schedule",
    "Source",
    "VisualPoint",
    "Volume",
    "Waypoint",
    "WeeklySpan",
    "distance_nm",
    "outline_deg",
    "read_places",
    "read_terrain",
    "surface_class",
]
