"""The form of one performance table in an aircraft file, and what makes it impossible."""

from itertools import pairwise
from typing import Annotated, Any, Final, Literal, get_args

import numpy as np
from pydantic import Field, TypeAdapter, ValidationInfo, field_validator

from lubberline.tomlfile import Schema, refusal

TableName = Literal[
    "takeoff_roll_ft",
    "takeoff_over_50_ft",
    "landing_roll_ft",
    "landing_over_50_ft",
    "climb_fpm",
    "cruise_tas_kt",
    "cruise_gph",
]
AxisName = Literal["weight_lb", "pressure_ft", "oat_degc"]

# Own: no table prints less; a rate of climb may be printed negative beyond the ceiling.
LOWEST: Final = {"climb_fpm": -5_000.0}

PercentPerKt = Annotated[float, Field(ge=0, le=20, examples=[1.0])]
Points = Annotated[tuple[float, ...], Field(min_length=2)]


class TableForm(Schema):
    """A performance table: axes by name, their printed points, and nested values.

    ``values`` has one level of brackets per axis, in the order of ``axes``; ``nan`` is a cell
    that the manual leaves blank. ``use_first_below`` names the axes on which the manual allows
    the first printed figure for anything less.
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
    values: Annotated[Any, Field(examples=["[[1005, 1120], [1150, 1290]]"])]
    use_first_below: Annotated[
        tuple[AxisName, ...], Field(examples=["['weight_lb', 'pressure_ft']"])
    ] = ()
    headwind_percent_per_kt: PercentPerKt = 0.0
    headwind_max_kt: Annotated[float, Field(ge=0, le=60, examples=[20], validate_default=True)] = (
        30.0
    )
    tailwind_percent_per_kt: PercentPerKt = 0.0
    tailwind_max_kt: Annotated[float, Field(ge=0, le=30, examples=[10])] = 0.0
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

    @field_validator("weight_lb", "pressure_ft", "oat_degc")
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
        if not {"axes", *get_args(AxisName)} <= set(info.data):
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

    @field_validator("use_first_below")
    @classmethod
    def _allowed_of_an_axis(cls, below: tuple[AxisName, ...], info: ValidationInfo) -> object:
        """Axes of this table; none in cruise, where the first figure is not the worse one."""
        axes = info.data.get("axes", below)
        refused_already = set(get_args(AxisName)) - set(info.data)
        strange = [axis for axis in below if axis not in {*axes, *refused_already}]
        if strange:
            raise ValueError(f"names from axes; {strange[0]} is none of them")
        if below and str(info.data.get("name")).startswith("cruise_"):
            raise ValueError("no such key for cruise, where the first figure is not the worse one")
        return below

    @field_validator("headwind_max_kt")
    @classmethod
    def _something_remains(cls, most_kt: float, info: ValidationInfo) -> float:
        """A headwind never takes the whole distance away."""
        percent = info.data.get("headwind_percent_per_kt", 0.0)
        if percent * most_kt >= 100.0:
            raise ValueError(f"less than {100.0 / percent:g}, where nothing would be left")
        return most_kt

    @field_validator("above_standard_percent_per_degc")
    @classmethod
    def _temperature_once(cls, percent: float, info: ValidationInfo) -> float:
        """Temperature is an axis or a correction, not both."""
        if percent and "oat_degc" in info.data.get("axes", ()):
            raise ValueError("0, because axes names oat_degc already")
        return percent


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
