"""Aerodromes, airspace, visual points and land."""

from lubberline.places.file import read_places
from lubberline.places.model import (
    Aerodrome,
    Circle,
    Footprint,
    Height,
    Places,
    Polygon,
    Radio,
    Runway,
    RunwayEnd,
    VisualPoint,
    Volume,
)

__all__ = [
    "Aerodrome",
    "Circle",
    "Footprint",
    "Height",
    "Places",
    "Polygon",
    "Radio",
    "Runway",
    "RunwayEnd",
    "VisualPoint",
    "Volume",
    "read_places",
]
