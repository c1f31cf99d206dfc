"""One airplane: description, loading, performance tables, upkeep."""

from lubberline.aircraft.file import read_aircraft
from lubberline.aircraft.model import Aircraft, LoadingLimits, Speeds, Station, Table, Tank, Upkeep

__all__ = [
    "Aircraft",
    "LoadingLimits",
    "Speeds",
    "Station",
    "Table",
    "Tank",
    "Upkeep",
    "read_aircraft",
]
