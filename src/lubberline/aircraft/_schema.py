"""The form of an aircraft file, and what makes each part of it impossible.

Private to the reader in ``file``. A check that looks at several keys hangs on the last of
them, so that its message names a line of the file.
"""

from collections.abc import Sequence
from typing import Annotated, Any, Literal

from pydantic import Field, ValidationInfo, field_validator

from lubberline.aircraft._directive_schema import DirectiveForm, ahead_of_clock
from lubberline.aircraft._equipment_schema import EquipmentForm
from lubberline.aircraft._table_schema import TableForm
from lubberline.aircraft._upkeep_schema import ClocksForm, UpkeepForm, not_ahead
from lubberline.tomlfile import Location, Schema, refusal

Name = Annotated[str, Field(min_length=1, examples=["'front'"])]
SpeedKt = Annotated[float, Field(gt=0, lt=1_000, examples=[88])]
WeightLb = Annotated[float, Field(gt=0, le=20_000, examples=[2_900])]
ArmIn = Annotated[float, Field(ge=-1_000, le=1_000, examples=[103.0])]
Gph = Annotated[float, Field(gt=0, lt=200, examples=[10.2])]


def _each_once(things: Sequence[Any]) -> None:
    names = [one.name for one in things]
    twice = [
        ((index, "name"), name, "a name not used above")
        for index, name in enumerate(names)
        if name in names[:index]
    ]
    if twice:
        raise refusal(twice)


def _at_most(value: float | None, info: ValidationInfo, *others: str) -> None:
    """Refuse a value above that of any earlier key."""
    for other in others:
        bound = info.data.get(other)
        if value is not None and bound is not None and value > bound:
            raise ValueError(f"at most {other}, {bound:g}")


class SpeedsForm(Schema):
    """Indicated speeds; gear speeds only where the gear moves."""

    never_exceed_kt: Annotated[float, Field(gt=0, lt=1_000, examples=[176])]
    normal_operating_kt: Annotated[float, Field(gt=0, lt=1_000, examples=[145])]
    stall_clean_kt: Annotated[float, Field(gt=0, lt=1_000, examples=[60])]
    stall_flaps_down_kt: Annotated[float, Field(gt=0, lt=1_000, examples=[53])]
    rotate_kt: Annotated[float, Field(gt=0, lt=1_000, examples=[63])]
    best_rate_kt: Annotated[float, Field(gt=0, lt=1_000, examples=[88])]
    best_angle_kt: Annotated[float, Field(gt=0, lt=1_000, examples=[72])]
    maneuvering_kt: Annotated[float, Field(gt=0, lt=1_000, examples=[117])]
    flaps_kt: Annotated[float, Field(gt=0, lt=1_000, examples=[105])]
    gear_extended_kt: Annotated[float | None, Field(gt=0, lt=1_000, examples=[130])] = None
    gear_operate_kt: Annotated[float | None, Field(gt=0, lt=1_000, examples=[125])] = None
    best_glide_kt: Annotated[float, Field(gt=0, lt=1_000, examples=[82])]
    final_kt: Annotated[float, Field(gt=0, lt=1_000, examples=[75])]

    @field_validator(
        *("normal_operating_kt", "rotate_kt", "best_rate_kt", "maneuvering_kt", "flaps_kt"),
        *("gear_extended_kt", "best_glide_kt", "final_kt"),
    )
    @classmethod
    def _not_too_fast(cls, speed_kt: float | None, info: ValidationInfo) -> float | None:
        """Nothing is done faster than the speed never to exceed."""
        _at_most(speed_kt, info, "never_exceed_kt")
        return speed_kt

    @field_validator("stall_clean_kt", "stall_flaps_down_kt", "best_angle_kt", "gear_operate_kt")
    @classmethod
    def _below_its_like(cls, speed_kt: float | None, info: ValidationInfo) -> float | None:
        """Flaps lower the stall; the best angle is flown no faster than the best rate."""
        bounds = {
            "stall_clean_kt": ("normal_operating_kt", "never_exceed_kt"),
            "stall_flaps_down_kt": ("stall_clean_kt", "never_exceed_kt"),
            "best_angle_kt": ("best_rate_kt", "never_exceed_kt"),
            "gear_operate_kt": ("gear_extended_kt", "never_exceed_kt"),
        }
        _at_most(speed_kt, info, *bounds[str(info.field_name)])
        return speed_kt

    @field_validator("best_glide_kt", "final_kt")
    @classmethod
    def _above_the_stall(cls, speed_kt: float, info: ValidationInfo) -> float:
        """A glide or a final approach is flown above the stall with flaps down."""
        stall_kt = info.data.get("stall_flaps_down_kt")
        if stall_kt is not None and speed_kt <= stall_kt:
            raise ValueError(f"above stall_flaps_down_kt, {stall_kt:g}")
        return speed_kt


class StationForm(Schema):
    """A seat row or baggage space."""

    name: Name
    arm_in: ArmIn
    max_lb: Annotated[float | None, Field(gt=0, le=20_000, examples=[120])] = None


class TankForm(Schema):
    """A fuel tank."""

    name: Annotated[str, Field(min_length=1, examples=["'left'"])]
    arm_in: ArmIn
    usable_gal: Annotated[float, Field(gt=0, lt=1_000, examples=[30])]


class CornerForm(Schema):
    """One corner of the envelope."""

    arm_in: ArmIn
    weight_lb: WeightLb


class LoadingForm(Schema):
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
    station: Annotated[tuple[StationForm, ...], Field(min_length=1)]
    tank: Annotated[tuple[TankForm, ...], Field(min_length=1)]

    @field_validator("max_takeoff_lb", "max_landing_lb", "max_zero_fuel_lb", "empty_lb")
    @classmethod
    def _not_above(cls, weight_lb: float | None, info: ValidationInfo) -> float | None:
        """No weight above the ramp weight; empty, not above any limit."""
        others = ["max_ramp_lb"]
        if info.field_name == "max_zero_fuel_lb":
            others += ["max_takeoff_lb"]
        if info.field_name == "empty_lb":
            others += ["max_takeoff_lb", "max_landing_lb", "max_zero_fuel_lb"]
        _at_most(weight_lb, info, *others)
        return weight_lb

    @field_validator("envelope")
    @classmethod
    def _one_area(cls, corners: tuple[CornerForm, ...]) -> tuple[CornerForm, ...]:
        """Corners in order around one area; a repeated closing corner is dropped."""
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

    @field_validator("station", "tank")
    @classmethod
    def _named_once(cls, things: tuple[Any, ...]) -> tuple[Any, ...]:
        """No two stations, no two tanks of one name."""
        _each_once(things)
        return things


class AircraftForm(Schema):
    """The whole file. Keys, units and bounds here are the owner's contract."""

    name: Annotated[str, Field(min_length=1, examples=["'Heron'"])]
    call_sign: Annotated[str, Field(min_length=1, examples=["'Q-HRN'"])]
    type_name: Annotated[str, Field(min_length=1, examples=["'Heron 200'"])]
    manual: Annotated[str, Field(min_length=1, examples=["'flight manual, revision 3'"])]
    colors: Annotated[str, Field(max_length=80, examples=["'white, blue stripe'"])] = ""
    horsepower_hp: Annotated[float, Field(gt=0, le=5_000, examples=[200])]
    retractable: Annotated[bool, Field(examples=["true"])]
    controllable_propeller: Annotated[bool, Field(examples=["true"])]
    category_class: Annotated[
        Literal[
            "airplane single-engine land",
            "airplane single-engine sea",
            "airplane multiengine land",
            "airplane multiengine sea",
        ]
        | None,
        Field(examples=["'airplane single-engine land'"]),
    ] = None
    tailwheel: Annotated[bool | None, Field(examples=["false"])] = None
    occupants_max_count: Annotated[int | None, Field(ge=1, le=1_000, examples=[4])] = None
    ceiling_ft: Annotated[float, Field(gt=0, le=60_000, examples=[16_000])]
    glide_ratio: Annotated[float, Field(gt=1, le=70, examples=[9.5])]
    crosswind_shown_kt: Annotated[float | None, Field(gt=0, le=60, examples=[17])] = None
    tailwind_max_kt: Annotated[float | None, Field(gt=0, le=30, examples=[10])] = None
    taxi_gal: Annotated[float, Field(ge=0, lt=100, examples=[1.5])]
    climb_ias_kt: SpeedKt
    climb_gph: Gph
    descent_fpm: Annotated[float, Field(gt=0, le=5_000, examples=[500])]
    descent_ias_kt: Annotated[float, Field(gt=0, lt=1_000, examples=[140])]
    descent_gph: Gph
    speeds: SpeedsForm
    loading: LoadingForm
    table: tuple[TableForm, ...] = ()
    configuration: Annotated[
        tuple[Name, ...] | None, Field(examples=["['three-blade propeller']"])
    ] = None
    serials: Annotated[
        dict[Name, Name], Field(default_factory=dict, examples=["{ airframe = 'HR-0118' }"])
    ]
    clocks: ClocksForm = ClocksForm()
    upkeep: UpkeepForm = UpkeepForm()
    directive: tuple[DirectiveForm, ...] = ()
    equipment: EquipmentForm = EquipmentForm()

    @field_validator("speeds")
    @classmethod
    def _speeds_fit(cls, speeds: SpeedsForm, info: ValidationInfo) -> SpeedsForm:
        """Gear speeds for a gear that moves; climb and descent not too fast."""
        problems: list[tuple[Location, object, str]] = []
        moves = info.data.get("retractable")
        for key in ("gear_extended_kt", "gear_operate_kt"):
            speed_kt = getattr(speeds, key)
            if moves is not None and moves is (speed_kt is None):
                wanted = "a value, because retractable is true"
                unwanted = "no such key, because retractable is false"
                problems.append(((key,), speed_kt, wanted if moves else unwanted))
        flown_kt = {key: info.data.get(key, 0.0) for key in ("climb_ias_kt", "descent_ias_kt")}
        fastest = max(flown_kt, key=lambda key: flown_kt[key])
        if flown_kt[fastest] > speeds.never_exceed_kt:
            expected = f"at least {fastest}, {flown_kt[fastest]:g}"
            problems.append((("never_exceed_kt",), speeds.never_exceed_kt, expected))
        if problems:
            raise refusal(problems)
        return speeds

    @field_validator("table")
    @classmethod
    def _tables_named_once(cls, tables: tuple[TableForm, ...]) -> tuple[TableForm, ...]:
        """No two tables of one name."""
        _each_once(tables)
        return tables

    @field_validator("upkeep")
    @classmethod
    def _items_behind_the_clock(cls, upkeep: UpkeepForm, info: ValidationInfo) -> UpkeepForm:
        """Nothing was done at a reading that its clock has not reached."""
        problems = not_ahead(upkeep, info.data.get("clocks"))
        if problems:
            raise refusal(problems)
        return upkeep

    @field_validator("directive")
    @classmethod
    def _directives_fit(
        cls, directives: tuple[DirectiveForm, ...], info: ValidationInfo
    ) -> tuple[DirectiveForm, ...]:
        """One number once; nothing was complied with at a reading not reached yet."""
        numbers = [one.number for one in directives]
        problems: list[tuple[Location, object, str]] = [
            ((index, "number"), number, "a number not used above")
            for index, number in enumerate(numbers)
            if number in numbers[:index]
        ]
        problems += ahead_of_clock(directives, info.data.get("clocks"))
        if problems:
            raise refusal(problems)
        return directives
