"""The form of an aircraft file's loading: weights, arms, envelopes, stations and tanks."""

from collections.abc import Sequence
from typing import Annotated, Any

from pydantic import Field, ValidationInfo, field_validator

from lubberline.measured import Measured
from lubberline.tomlfile import refusal

Name = Annotated[str, Field(min_length=1, examples=["'front'"])]
WeightLb = Annotated[float, Field(gt=0, le=20_000, examples=[2_900])]
ArmIn = Annotated[float, Field(ge=-1_000, le=1_000, examples=[103.0])]
MoreLb = Annotated[float, Field(gt=0, le=20_000)]


def each_once(things: Sequence[Any]) -> None:
    names = [one.name for one in things]
    twice = [
        ((index, "name"), name, "a name not used above")
        for index, name in enumerate(names)
        if name in names[:index]
    ]
    if twice:
        raise refusal(twice)


def at_most(value: float | None, info: ValidationInfo, *others: str) -> None:
    """Refuse a value above that of any earlier key."""
    for other in others:
        bound = info.data.get(other)
        if value is not None and bound is not None and value > bound:
            raise ValueError(f"at most {other}, {bound:g}")


_NOISE_IN = 1e-6  # slanted edges in common differ by the noise of their corners


class StationForm(Measured):
    """A seat row or baggage space."""

    name: Name
    arm_in: ArmIn
    max_lb: Annotated[float | None, Field(gt=0, le=20_000, examples=[120])] = None


class TankForm(Measured):
    """A fuel tank."""

    name: Annotated[str, Field(min_length=1, examples=["'left'"])]
    arm_in: ArmIn
    usable_gal: Annotated[float, Field(gt=0, lt=1_000, examples=[30])]


class CornerForm(Measured):
    """One corner of the envelope."""

    arm_in: ArmIn
    weight_lb: WeightLb


class LoadingForm(Measured):
    """Weights, arms and the envelope."""

    max_ramp_lb: Annotated[float, Field(gt=0, le=20_000, examples=[2_912])]
    max_takeoff_lb: Annotated[float, Field(gt=0, le=20_000, examples=[2_900])]
    max_landing_lb: Annotated[float, Field(gt=0, le=20_000, examples=[2_900])]
    max_zero_fuel_lb: Annotated[float | None, Field(gt=0, le=20_000, examples=[2_700])] = None
    empty_lb: Annotated[float, Field(gt=0, le=20_000, examples=[1_795])]
    empty_arm_in: ArmIn
    fuel_lb_per_gal: Annotated[float, Field(ge=5, le=8, examples=[6.0])]
    imbalance_max_gal: Annotated[float | None, Field(gt=0, lt=1_000, examples=[10])] = None
    envelope: Annotated[
        tuple[CornerForm, ...],
        Field(min_length=3, examples=["[{ arm_in = 96.0, weight_lb = 1700 }, ...]"]),
    ]
    utility_envelope: Annotated[
        tuple[CornerForm, ...],
        Field(examples=["[{ arm_in = 96.0, weight_lb = 1700 }, ...]"]),
    ] = ()
    station: Annotated[tuple[StationForm, ...], Field(min_length=1)]
    tank: Annotated[tuple[TankForm, ...], Field(min_length=1)]
    burn_order: Annotated[
        tuple[Name, ...], Field(examples=["['tips', 'mains']"], validate_default=True)
    ] = ()

    @field_validator("max_takeoff_lb", "max_landing_lb", "max_zero_fuel_lb", "empty_lb")
    @classmethod
    def _not_above(cls, weight_lb: float | None, info: ValidationInfo) -> float | None:
        """No weight above the ramp weight; empty, not above any limit."""
        others = ["max_ramp_lb"]
        if info.field_name == "max_zero_fuel_lb":
            others += ["max_takeoff_lb"]
        if info.field_name == "empty_lb":
            others += ["max_takeoff_lb", "max_landing_lb", "max_zero_fuel_lb"]
        at_most(weight_lb, info, *others)
        return weight_lb

    @field_validator("envelope", "utility_envelope")
    @classmethod
    def _one_area(cls, corners: tuple[CornerForm, ...]) -> tuple[CornerForm, ...]:
        """Corners in order around one area; a repeated closing corner is dropped."""
        return _ring(corners) if corners else corners

    @field_validator("utility_envelope")
    @classmethod
    def _within_the_other(
        cls, corners: tuple[CornerForm, ...], info: ValidationInfo
    ) -> tuple[CornerForm, ...]:
        """What is allowed in the utility category is allowed anyway."""
        import shapely

        whole = info.data.get("envelope")
        if corners and whole is not None:
            area = shapely.Polygon([(one.arm_in, one.weight_lb) for one in whole]).buffer(_NOISE_IN)
            ring = [(one.arm_in, one.weight_lb) for one in corners]
            if not area.covers(shapely.Polygon(ring)):
                raise ValueError("corners of an area inside envelope")
        return corners

    @field_validator("station", "tank")
    @classmethod
    def _named_once(cls, things: tuple[Any, ...]) -> tuple[Any, ...]:
        """No two stations, no two tanks of one name."""
        each_once(things)
        return things

    @field_validator("burn_order")
    @classmethod
    def _every_tank(cls, order: tuple[str, ...], info: ValidationInfo) -> tuple[str, ...]:
        """Each tank once, or no order."""
        tanks = sorted(tank.name for tank in info.data.get("tank", ()))
        if order and tanks and sorted(order) != tanks:
            raise ValueError(f"each tank once: {', '.join(tanks)}")
        return order


def _ring(corners: tuple[CornerForm, ...]) -> tuple[CornerForm, ...]:
    """Corners that bound one area, without the closing one."""
    import shapely

    ring = corners[:-1] if corners[0] == corners[-1] else corners
    if len(ring) < 3:
        raise ValueError("at least 3 different corners")
    outline = [(corner.arm_in, corner.weight_lb) for corner in ring]
    reason = shapely.is_valid_reason(shapely.Polygon(outline))
    if reason != "Valid Geometry":
        kind, _, place = reason.rstrip("]").partition("[")
        numbers = [f"{float(number):.1f}" for number in place.split()]
        at = f" at {numbers[0]} in, {numbers[1]} lb" if numbers else ""
        raise ValueError(f"corners in order around one area: {kind.lower()}{at}")
    return ring
