"""One airplane: description, loading, performance tables, upkeep."""

from lubberline.aircraft.envelope import arm_limits_in, arm_margin_in
from lubberline.aircraft.file import read_aircraft
from lubberline.aircraft.loading import Loaded, States, burned, loaded, states
from lubberline.aircraft.model import Aircraft, LoadingLimits, Speeds, Station, Table, Tank, Upkeep
from lubberline.aircraft.performance import (
    Performance,
    Step,
    climb_rate,
    cruise_flow,
    cruise_tas,
    landing_distance,
    landing_roll,
    takeoff_distance,
    takeoff_roll,
)
from lubberline.aircraft.tables import beyond, look_up

__all__ = [
    "Aircraft",
    "Loaded",
    "LoadingLimits",
    "Performance",
    "Speeds",
    "States",
    "Station",
    "Step",
    "Table",
    "Tank",
    "Upkeep",
    "arm_limits_in",
    "arm_margin_in",
    "beyond",
    "burned",
    "climb_rate",
    "cruise_flow",
    "cruise_tas",
    "landing_distance",
    "landing_roll",
    "loaded",
    "look_up",
    "read_aircraft",
    "states",
    "takeoff_distance",
    "takeoff_roll",
]
