"""Recorded flights: open track formats, cleaning, derived motion."""

from lubberline.recording.align import Lag, find_lag, joined
from lubberline.recording.column_map import (
    ColumnMap,
    column_map_toml,
    read_column_map,
)
from lubberline.recording.csv import guessed_column_map
from lubberline.recording.measures import MEASURES, converted, unit_of_name
from lubberline.recording.model import Gap, Recording, Track
from lubberline.recording.motion import Motion, motion
from lubberline.recording.read import read_recording

__all__ = [
    "MEASURES",
    "ColumnMap",
    "Gap",
    "Lag",
    "Motion",
    "Recording",
    "Track",
    "column_map_toml",
    "converted",
    "find_lag",
    "guessed_column_map",
    "joined",
    "motion",
    "read_column_map",
    "read_recording",
    "unit_of_name",
]
