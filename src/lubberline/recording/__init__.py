"""Recorded flights: open track formats, cleaning, derived motion."""

from lubberline.recording.align import Lag, find_lag, joined
from lubberline.recording.column_map import (
    ColumnMap,
    column_map_toml,
    read_column_map,
)
from lubberline.recording.guess import Guess
from lubberline.recording.kept_maps import FOLDER as MAPS_FOLDER
from lubberline.recording.kept_maps import fitting_map, keep_map, proposed_columns
from lubberline.recording.measures import MEASURES, converted, unit_of_name
from lubberline.recording.model import Clock, Gap, Recording, Track
from lubberline.recording.motion import Motion, motion
from lubberline.recording.read import read_recording

__all__ = [
    "MAPS_FOLDER",
    "MEASURES",
    "Clock",
    "ColumnMap",
    "Gap",
    "Guess",
    "Lag",
    "Motion",
    "Recording",
    "Track",
    "column_map_toml",
    "converted",
    "find_lag",
    "fitting_map",
    "joined",
    "keep_map",
    "motion",
    "proposed_columns",
    "read_column_map",
    "read_recording",
    "unit_of_name",
]
