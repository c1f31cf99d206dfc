"""One airplane as its flight manual and its logbooks describe it.

Values only: speeds, loading, printed performance tables and systems; ``upkeep`` has those of
the logbooks. What they come to on a given day is computed in ``loading``, ``performance``,
``ledger``, ``directives`` and the rules of ``fit``.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from lubberline.aircraft.equipment import Equipment
from lubberline.aircraft.systems import Engine, Flap, Oil, PowerDown, Systems
from lubberline.aircraft.upkeep import Clocks, Directive, Upkeep
from lubberline.arrays import FloatArray
from lubberline.errors import ShapeError


@dataclass(frozen=True, slots=True, kw_only=True)
class Speeds:
    """Indicated speeds of the manual [kt]; None where the airplane has no such speed.

    ``maneuvering_kt`` is that at the greatest weight. ``gear_operate_kt`` is to put the gear down,
    and up too where ``gear_retract_kt`` is None.
    """

    stall_flaps_down_kt: float
    stall_clean_kt: float
    rotate_kt: float
    best_angle_kt: float
    best_rate_kt: float
    maneuvering_kt: float
    flaps_kt: float
    gear_operate_kt: float | None
    gear_extended_kt: float | None
    normal_operating_kt: float
    never_exceed_kt: float
    best_glide_kt: float
    final_kt: float
    gear_retract_kt: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A seat row or baggage space: its arm aft of the datum and what it may carry."""

    name: str
    arm_in: float
    max_lb: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tank:
    """A fuel tank: its arm aft of the datum and the fuel that can be used from it."""

    name: str
    arm_in: float
    usable_gal: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadingLimits:
    """Empty weight, stations, tanks, and the weights and envelope they must keep.

    The envelope is a polygon in arm [in] and weight [lb], corners in order, shape (m,) each;
    its edges belong to the inside. ``imbalance_max_gal`` is how much more one tank may hold than
    another; None where the manual does not say. ``utility_arm_in`` and ``utility_lb`` are the
    smaller polygon of the utility category, empty where there is none. ``burn_order`` is the
    order in which the manual has the tanks emptied, () where it leaves that to the pilot.
    """

    empty_lb: float
    empty_arm_in: float
    stations: tuple[Station, ...]
    tanks: tuple[Tank, ...]
    max_ramp_lb: float
    max_takeoff_lb: float
    max_landing_lb: float
    max_zero_fuel_lb: float | None
    envelope_arm_in: FloatArray
    envelope_lb: FloatArray
    fuel_lb_per_gal: float
    imbalance_max_gal: float | None = None
    utility_arm_in: FloatArray = field(default_factory=lambda: np.array([]))
    utility_lb: FloatArray = field(default_factory=lambda: np.array([]))
    burn_order: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Table:
    """A performance table as printed: values at the crossings of its axes.

    ``axes`` maps an axis name with its unit (``weight_lb``, ``pressure_ft``, ``oat_degc``)
    to its printed points, ascending; ``values`` has one dimension per axis in that order.
    ``name`` carries the unit of the values. Between printed points the table is multilinear;
    beyond them it has no answer. A NaN among the values is a cell that the manual leaves blank.
    ``use_first_below`` names the axes on which the manual allows the first printed figure for
    anything less, ``use_last_above`` those on which it allows the last for anything more; on the
    others there is no answer beyond the ends.

    Corrections are percent of the table figure. A headwind beyond ``headwind_max_kt`` is
    credited no further; a tailwind beyond ``tailwind_max_kt`` has no answer, nor has grass
    where ``grass_percent`` is None. Slope is looked at if either note of it is given; then the
    other side has no answer without its own, nor has a slope beyond ``slope_max_percent``.
    ``above_standard_percent_per_degc`` serves tables printed for standard temperature.
    """

    name: str
    axes: Mapping[str, FloatArray]
    values: FloatArray
    headwind_percent_per_kt: float = 0.0
    headwind_max_kt: float = 30.0
    tailwind_percent_per_kt: float = 0.0
    tailwind_max_kt: float = 0.0
    grass_percent: float | None = None
    above_standard_percent_per_degc: float = 0.0
    uphill_percent_per_percent: float | None = None
    downhill_percent_per_percent: float | None = None
    slope_max_percent: float = 0.0
    use_first_below: tuple[str, ...] = ()
    use_last_above: tuple[str, ...] = ()
    source: str = ""

    def __post_init__(self) -> None:
        """Axes ascend, and the values have one figure for each crossing of them."""
        for name, points in self.axes.items():
            if points.ndim != 1 or points.size < 2 or not (np.diff(points) > 0.0).all():
                raise ShapeError(f"{self.name}: {name} must be 2 or more ascending points")
        shape = tuple(points.size for points in self.axes.values())
        if self.values.shape != shape:
            raise ShapeError(
                f"{self.name}: values have shape {self.values.shape}, the axes ask for {shape}"
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Aircraft:
    """One airplane. ``tables`` is keyed by table name, and surface where it is not paved.

    Table names the program knows: those of ``docs/science/aircraft.md``. ``cruise`` is the power
    usually set, by axis name. ``flaps`` are the settings from up to full.
    ``serials`` are by part ("airframe", "engine"); ``configuration`` names what tells it from
    others of its type, None where that was not written down. So are ``category_class``, in the
    words of a pilot's rating, ``tailwheel`` and ``occupants_max_count``, those it is
    authorized to carry with the crew; ``horsepower_hp`` is that of one engine. ``colors`` are
    those that searchers look for. ``type_rating`` is the one it asks for, "" if none.
    """

    name: str
    call_sign: str
    type_name: str
    manual: str
    horsepower_hp: float
    retractable: bool
    controllable_propeller: bool
    speeds: Speeds
    loading: LoadingLimits
    tables: Mapping[str, Table]
    taxi_gal: float
    climb_ias_kt: float
    climb_gph: float
    descent_fpm: float
    descent_ias_kt: float
    descent_gph: float
    ceiling_ft: float
    glide_ratio: float
    crosswind_shown_kt: float | None
    tailwind_max_kt: float | None
    upkeep: Upkeep
    clocks: Clocks = field(default_factory=Clocks)
    directives: tuple[Directive, ...] = ()
    serials: Mapping[str, str] = field(default_factory=dict)
    configuration: tuple[str, ...] | None = None
    equipment: Equipment = field(default_factory=Equipment)
    category_class: str | None = None
    tailwheel: bool | None = None
    occupants_max_count: int | None = None
    colors: str = ""
    type_rating: str = ""
    power_down: PowerDown | None = None
    cruise: Mapping[str, float] = field(default_factory=dict)
    flaps: tuple[Flap, ...] = ()
    systems: Systems = field(default_factory=Systems)
    oil: Oil = field(default_factory=Oil)
    engine: Engine = field(default_factory=Engine)
    learned: Mapping[str, float] = field(default_factory=dict)
