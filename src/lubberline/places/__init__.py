"""Aerodromes, airspace, visual points and land."""

from lubberline.places.active import in_force
from lubberline.places.asked import Asked, asked, ranked
from lubberline.places.corridor import Corridor
from lubberline.places.dataset import Account, DataSet, LeftOut
from lubberline.places.file import read_places
from lubberline.places.footprint import all_rings_nm, distance_nm, outline_deg, rings_nm
from lubberline.places.forms import read_published
from lubberline.places.heights import HighestGround, highest_ground
from lubberline.places.kept import Kept, KeptData, data_folder
from lubberline.places.merge import merged
from lubberline.places.model import (
    Aerodrome,
    Arc,
    Circle,
    Conflict,
    Footprint,
    Height,
    HeightReference,
    Obstacles,
    Places,
    Polygon,
    Radio,
    Runway,
    RunwayEnd,
    Schedule,
    Source,
    VisualPoint,
    Volume,
    Waypoint,
    WeeklySpan,
    identifiers,
)
from lubberline.places.near import Around, Nearby, Obstacle, nearby
from lubberline.places.oddities import Oddity, oddities
from lubberline.places.surface import surface_class
from lubberline.places.terrain_file import read_terrain, read_tiles

__all__ = [
    "Account",
    "Aerodrome",
    "Arc",
    "Around",
    "Asked",
    "Circle",
    "Conflict",
    "Corridor",
    "DataSet",
    "Footprint",
    "Height",
    "HeightReference",
    "HighestGround",
    "Kept",
    "KeptData",
    "LeftOut",
    "Nearby",
    "Obstacle",
    "Obstacles",
    "Oddity",
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
    "all_rings_nm",
    "asked",
    "data_folder",
    "distance_nm",
    "highest_ground",
    "identifiers",
    "in_force",
    "merged",
    "nearby",
    "oddities",
    "outline_deg",
    "ranked",
    "read_places",
    "read_published",
    "read_terrain",
    "read_tiles",
    "rings_nm",
    "surface_class",
]
