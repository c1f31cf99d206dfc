"""One airplane: description, loading, performance tables, upkeep."""

from lubberline.aircraft.burning import Tightest, burn_paths, tightest
from lubberline.aircraft.climb import Stretch, climb, descent, glide
from lubberline.aircraft.difference import Difference
from lubberline.aircraft.differences import differences
from lubberline.aircraft.directives import Standing, applicability, standing
from lubberline.aircraft.envelope import arm_limits_in, arm_margin_in, utility_of
from lubberline.aircraft.equipment import Equipment, Inoperative
from lubberline.aircraft.figures import Performance, Step
from lubberline.aircraft.file import read_aircraft
from lubberline.aircraft.learned import LEARNED_TABLES, relearned
from lubberline.aircraft.ledger import (
    CLOCK_WORDS,
    Bound,
    CycleBound,
    DayBound,
    Due,
    HourBound,
    Use,
    item_due,
)
from lubberline.aircraft.loading import Loaded, States, burned, loaded, states
from lubberline.aircraft.model import Aircraft, LoadingLimits, Speeds, Station, Table, Tank
from lubberline.aircraft.performance import (
    accelerate_stop,
    climb_rate,
    cruise_figures,
    cruise_flow,
    cruise_tas,
    landing_distance,
    landing_roll,
    takeoff_distance,
    takeoff_roll,
)
from lubberline.aircraft.reload import Burn, Change, Reload, fewest_changes
from lubberline.aircraft.speeds import (
    best_angle_speed,
    best_glide_speed,
    best_rate_speed,
    maneuvering_speed,
)
from lubberline.aircraft.systems import NONE, Engine, Flap, Oil, PowerDown, Systems
from lubberline.aircraft.tables import beyond, look_up
from lubberline.aircraft.upkeep import (
    Alternative,
    Applies,
    Clock,
    Clocks,
    Directive,
    Done,
    End,
    First,
    Interval,
    Item,
    ItemBasis,
    Kind,
    Upkeep,
)

__all__ = [
    "CLOCK_WORDS",
    "LEARNED_TABLES",
    "NONE",
    "Aircraft",
    "Alternative",
    "Applies",
    "Bound",
    "Burn",
    "Change",
    "Clock",
    "Clocks",
    "CycleBound",
    "DayBound",
    "Difference",
    "Directive",
    "Done",
    "Due",
    "End",
    "Engine",
    "Equipment",
    "First",
    "Flap",
    "HourBound",
    "Inoperative",
    "Interval",
    "Item",
    "ItemBasis",
    "Kind",
    "Loaded",
    "LoadingLimits",
    "Oil",
    "Performance",
    "PowerDown",
    "Reload",
    "Speeds",
    "Standing",
    "States",
    "Station",
    "Step",
    "Stretch",
    "Systems",
    "Table",
    "Tank",
    "Tightest",
    "Upkeep",
    "Use",
    "accelerate_stop",
    "applicability",
    "arm_limits_in",
    "arm_margin_in",
    "best_angle_speed",
    "best_glide_speed",
    "best_rate_speed",
    "beyond",
    "burn_paths",
    "burned",
    "climb",
    "climb_rate",
    "cruise_figures",
    "cruise_flow",
    "cruise_tas",
    "descent",
    "differences",
    "fewest_changes",
    "glide",
    "item_due",
    "landing_distance",
    "landing_roll",
    "loaded",
    "look_up",
    "maneuvering_speed",
    "read_aircraft",
    "relearned",
    "standing",
    "states",
    "takeoff_distance",
    "takeoff_roll",
    "tightest",
    "utility_of",
]
