"""The form of one performance table in an aircraft file, and what makes it impossible."""

from itertools import pairwise
from typing import Annotated, Any, Final, Literal, get_args

import numpy as np
from pydantic import Field, TypeAdapter, ValidationInfo, field_validator

from lubberline.measured import Measured
from lubberline.tomlfile import refusal
from lubberline.units import units_for

Distance = Literal[
    "takeoff_roll_ft",
    "takeoff_over_50_ft",
    "accelerate_stop_ft",
    "landing_roll_ft",
    "landing_over_50_ft",
]
Climb = Literal["climb_fpm", "climb_min", "climb_gal", "climb_nm"]
Cruise = Literal[
    "cruise_tas_kt", "cruise_gph", "cruise_power_percent", "cruise_rpm", "cruise_mp_inhg"
]
Down = Literal["descent_min", "descent_gal", "descent_nm", "glide_nm"]
Speed = Literal["maneuvering_kt", "best_glide_kt", "best_rate_kt", "best_angle_kt"]
TableName = Literal[Distance, Climb, Cruise, Down, Speed]
AxisName = Literal[
    "weight_lb",
    "pressure_ft",
    "oat_degc",
    "above_standard_degc",
    "headwind_kt",
    "slope_percent",
    "power_percent",
    "rpm",
    "mp_inhg",
    "agl_ft",
]
AXES: Final[tuple[AxisName, ...]] = get_args(AxisName)
DISTANCES: Final = get_args(Distance)
SPEEDS: Final = get_args(Speed)
Surface = Literal["paved", "grass", "gravel", "dirt", "snow", "water"]

# Own: no table prints less; a rate of climb may be printed negative beyond the ceiling.
LOWEST: Final = {"climb_fpm": -5_000.0}

# The axes that say the same as a correction.
AXES_OF_NOTE: Final = {
    "headwind": {"headwind_kt"},
    "tailwind": {"headwind_kt"},
    "uphill": {"slope_percent"},
    "downhill": {"slope_percent"},
    "above_standard": {"oat_degc", "above_standard_degc"},
}

PercentPerKt = Annotated[float, Field(ge=0, le=20, examples=[1.0])]
PercentPerSlope = Annotated[float | None, Field(ge=-50, le=50, examples=[7])]
Points = Annotated[tuple[float, ...], Field(min_length=2)]


class TableForm(Measured):
    """A performance table: axes by name, their printed points, and nested values.

    ``values`` has one level of brackets per axis, in the order of ``axes``; ``nan`` is a cell
    that the manual leaves blank. ``use_first_below`` names the axes on which the manual allows
    the first printed figure for anything less, ``use_last_above`` those on which it allows the
    last for anything more. ``printed_as`` is another unit that the figures are printed in.
    """

    name: Annotated[TableName, Field(examples=["'takeoff_roll_ft'"])]
    axes: Annotated[
        tuple[AxisName, ...],
        Field(min_length=1, examples=["['weight_lb', 'pressure_ft', 'oat_degc']"]),
    ]
    weight_lb: Annotated[
        Points | None, Field(examples=["[2300, 2600, 2900]"], validate_default=True)
    ] = None
    pressure_ft: Annotated[
        Points | None, Field(examples=["[0, 2000, 4000]"], validate_default=True)
    ] = None
    oat_degc: Annotated[Points | None, Field(examples=["[0, 20, 40]"], validate_default=True)] = (
        None
    )
    above_standard_degc: Annotated[
        Points | None, Field(examples=["[-20, 0, 20]"], validate_default=True)
    ] = None
    headwind_kt: Annotated[
        Points | None, Field(examples=["[-10, 0, 20]"], validate_default=True)
    ] = None
    slope_percent: Annotated[
        Points | None, Field(examples=["[-2, 0, 2]"], validate_default=True)
    ] = None
    power_percent: Annotated[
        Points | None, Field(examples=["[55, 65, 75]"], validate_default=True)
    ] = None
    rpm: Annotated[Points | None, Field(examples=["[2300, 2400]"], validate_default=True)] = None
    mp_inhg: Annotated[Points | None, Field(examples=["[21, 23]"], validate_default=True)] = None
    agl_ft: Annotated[Points | None, Field(examples=["[1000, 2000]"], validate_default=True)] = None
    surface: Annotated[Surface, Field(examples=["'grass'"])] = "paved"
    printed_as: Annotated[str, Field(examples=["'m'"], validate_default=True)] = ""
    values: Annotated[Any, Field(examples=["[[1005, 1120], [1150, 1290]]"])]
    use_first_below: Annotated[
        tuple[AxisName, ...], Field(examples=["['weight_lb', 'pressure_ft']"])
    ] = ()
    use_last_above: Annotated[tuple[AxisName, ...], Field(examples=["['headwind_kt']"])] = ()
    headwind_percent_per_kt: PercentPerKt = 0.0
    headwind_max_kt: Annotated[float, Field(ge=0, le=60, examples=[20], validate_default=True)] = (
        30.0
    )
    tailwind_percent_per_kt: PercentPerKt = 0.0
    tailwind_max_kt: Annotated[float, Field(ge=0, le=30, examples=[10])] = 0.0
    uphill_percent_per_percent: PercentPerSlope = None
    downhill_percent_per_percent: PercentPerSlope = None
    slope_max_percent: Annotated[float, Field(ge=0, le=20, examples=[2])] = 0.0
    grass_percent: Annotated[float | None, Field(ge=0, le=200, examples=[15])] = None
    above_standard_percent_per_degc: Annotated[float, Field(ge=0, le=10, examples=[0.3])] = 0.0
    source: Annotated[str, Field(min_length=1, examples=["'section 5, figure 5-4'"])]

    @field_validator("axes")
    @classmethod
    def _axes_differ(cls, axes: tuple[AxisName, ...]) -> tuple[AxisName, ...]:
        """No axis twice."""
        if len(set(axes)) < len(axes):
            raise ValueError("each axis once")
        return axes

    @field_validator("surface")
    @classmethod
    def _surface_of_a_runway(cls, surface: Surface, info: ValidationInfo) -> Surface:
        """Only distances depend on what the runway is made of."""
        if surface != "paved" and info.data.get("name", DISTANCES[0]) not in DISTANCES:
            raise ValueError("no such key, because this table is of no distance on a runway")
        return surface

    @field_validator("printed_as")
    @classmethod
    def _unit_of_the_figures(cls, written: str, info: ValidationInfo) -> str:
        """A unit of the kind that the table's name ends in."""
        known = units_for(str(info.data.get("name", "")).rpartition("_")[2])
        if written and "name" in info.data and written.lower() not in known:
            raise ValueError(f"one of {', '.join(known)}" if known else "no such key here")
        return written.lower()

    @field_validator(*AXES)
    @classmethod
    def _axis_is_printed(cls, points: Points | None, info: ValidationInfo) -> Points | None:
        """Ascending points for each axis named, and none for the others."""
        named = info.field_name in info.data.get("axes", ())
        if named and points is None:
            raise ValueError(f"its printed points, because axes names {info.field_name}")
        if points is not None and "axes" in info.data and not named:
            raise ValueError(f"{info.field_name} among axes, or no such key")
        _ascending(points or ())
        return points

    @field_validator("values")
    @classmethod
    def _values_fit(cls, values: Any, info: ValidationInfo) -> Any:
        """One figure per crossing of the axes; the message names the row that is wrong."""
        if not {"axes", *AXES} <= set(info.data):
            return values  # the axes are refused already
        axes = info.data["axes"]
        low = LOWEST.get(info.data.get("name", ""), 0.0)
        form: Any = Annotated[float, Field(allow_inf_nan=True)]
        for axis in reversed(axes):
            count = len(info.data[axis])
            form = Annotated[tuple[form, ...], Field(min_length=count, max_length=count)]
        figures = TypeAdapter(form).validate_python(values)
        _refuse_impossible(figures, low)
        return figures

    @field_validator("use_first_below", "use_last_above")
    @classmethod
    def _allowed_of_an_axis(cls, ends: tuple[AxisName, ...], info: ValidationInfo) -> object:
        """Axes of this table; only where the figure at the end can be the worse one."""
        axes = info.data.get("axes", ends)
        refused_already = set(AXES) - set(info.data)
        strange = [axis for axis in ends if axis not in {*axes, *refused_already}]
        if strange:
            raise ValueError(f"names from axes; {strange[0]} is none of them")
        kind = str(info.data.get("name", DISTANCES[0]))
        if ends and kind not in {*DISTANCES, "climb_fpm"}:
            what = kind.partition("_")[0]
            raise ValueError(f"no such key for {what}, where the end figure is not the worse one")
        return ends

    @field_validator("headwind_max_kt")
    @classmethod
    def _something_remains(cls, most_kt: float, info: ValidationInfo) -> float:
        """A headwind never takes the whole distance away."""
        percent = info.data.get("headwind_percent_per_kt", 0.0)
        if percent * most_kt >= 100.0:
            raise ValueError(f"less than {100.0 / percent:g}, where nothing would be left")
        return most_kt

    @field_validator(
        "headwind_percent_per_kt",
        "tailwind_percent_per_kt",
        "uphill_percent_per_percent",
        "downhill_percent_per_percent",
        "above_standard_percent_per_degc",
    )
    @classmethod
    def _once(cls, percent: float | None, info: ValidationInfo) -> float | None:
        """What the table depends on is an axis or a correction, not both."""
        twice = AXES_OF_NOTE[str(info.field_name).partition("_percent")[0]] & {
            *info.data.get("axes", ())
        }
        if percent and twice:
            raise ValueError(f"0, because axes names {min(twice)} already")
        return percent

    @property
    def key(self) -> str:
        """What the table is found by: its name, with the surface if it is not paved."""
        return self.name if self.surface == "paved" else f"{self.name} {self.surface}"

    @property
    def largest(self) -> float:
        """The largest figure, as printed; infinitely little if all are blank."""
        figures = np.asarray(self.values, dtype=float)
        return float(np.max(figures, initial=-np.inf, where=~np.isnan(figures)))


def _refuse_impossible(figures: Any, low: float) -> None:
    """Raise for every infinite figure and every one below ``low``."""
    array = np.asarray(figures)
    bad = [
        (
            tuple(int(index) for index in place),
            float(array[tuple(place)]),
            f"a figure of at least {low:g}, or nan for a blank",
        )
        for place in np.argwhere((array < low) | np.isinf(array))
    ]
    if bad:
        raise refusal(bad)


def _ascending(points: Points) -> None:
    for first, second in pairwise(points):
        if second <= first:
            raise ValueError(f"points that ascend: {second:g} comes after {first:g}")
