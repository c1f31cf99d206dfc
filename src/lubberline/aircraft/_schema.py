"""The form of an aircraft file, and what makes each part of it impossible.

Private to the reader in ``file``. A check that looks at several keys hangs on the last of
them, so that its message names a line of the file.
"""

from typing import Annotated, Literal

from pydantic import Field, ValidationInfo, field_validator

from lubberline.aircraft._directive_schema import DirectiveForm, ahead_of_clock
from lubberline.aircraft._equipment_schema import EquipmentForm
from lubberline.aircraft._learned_schema import LearnedForm
from lubberline.aircraft._loading_schema import LoadingForm, Name, at_most
from lubberline.aircraft._power_schema import EngineForm, PowerDownForm
from lubberline.aircraft._systems_schema import (
    FlapForm,
    OilForm,
    SystemsForm,
    check_flaps,
)
from lubberline.aircraft._table_schema import SPEEDS, TableForm
from lubberline.aircraft._upkeep_schema import ClocksForm, UpkeepForm, not_ahead
from lubberline.measured import Measured
from lubberline.tomlfile import Location, refusal

SpeedKt = Annotated[float, Field(gt=0, lt=1_000, examples=[88])]
Gph = Annotated[float, Field(gt=0, lt=200, examples=[10.2])]


class SpeedsForm(Measured):
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
    gear_retract_kt: Annotated[float | None, Field(gt=0, lt=1_000, examples=[107])] = None
    best_glide_kt: Annotated[float, Field(gt=0, lt=1_000, examples=[82])]
    final_kt: Annotated[float, Field(gt=0, lt=1_000, examples=[75])]

    @field_validator(
        *("normal_operating_kt", "rotate_kt", "best_rate_kt", "maneuvering_kt", "flaps_kt"),
        *("gear_extended_kt", "gear_retract_kt", "best_glide_kt", "final_kt"),
    )
    @classmethod
    def _not_too_fast(cls, speed_kt: float | None, info: ValidationInfo) -> float | None:
        """Nothing is done faster than the speed never to exceed."""
        at_most(speed_kt, info, "never_exceed_kt")
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
        at_most(speed_kt, info, *bounds[str(info.field_name)])
        return speed_kt

    @field_validator("best_glide_kt", "final_kt")
    @classmethod
    def _above_the_stall(cls, speed_kt: float, info: ValidationInfo) -> float:
        """A glide or a final approach is flown above the stall with flaps down."""
        stall_kt = info.data.get("stall_flaps_down_kt")
        if stall_kt is not None and speed_kt <= stall_kt:
            raise ValueError(f"above stall_flaps_down_kt, {stall_kt:g}")
        return speed_kt


class CruiseForm(Measured):
    """The power usually set in cruise, for tables that print several."""

    power_percent: Annotated[float | None, Field(gt=0, le=100, examples=[65])] = None
    rpm: Annotated[float | None, Field(gt=0, le=10_000, examples=[2_300])] = None
    mp_inhg: Annotated[float | None, Field(gt=0, le=80, examples=[23])] = None


class AircraftForm(Measured):
    """The whole file. Keys, units and bounds here are the owner's contract."""

    name: Annotated[str, Field(min_length=1, examples=["'Heron'"])]
    call_sign: Annotated[str, Field(min_length=1, examples=["'Q-HRN'"])]
    type_name: Annotated[str, Field(min_length=1, examples=["'Heron 200'"])]
    manual: Annotated[str, Field(min_length=1, examples=["'flight manual, revision 3'"])]
    colors: Annotated[str, Field(max_length=80, examples=["'white, blue stripe'"])] = ""
    horsepower_hp: Annotated[float, Field(gt=0, le=5_000, examples=[200])]
    retractable: Annotated[bool, Field(examples=["true"])]
    controllable_propeller: Annotated[bool, Field(examples=["true"])]
    type_rating: Annotated[str, Field(max_length=20, examples=["'HERON 900'"])] = ""
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
    cruise: CruiseForm = CruiseForm()
    flap: tuple[FlapForm, ...] = ()
    systems: SystemsForm = SystemsForm()
    oil: OilForm = OilForm()
    engine: EngineForm = EngineForm()
    power_down: PowerDownForm | None = None
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
    learned: LearnedForm = LearnedForm()

    @field_validator("speeds")
    @classmethod
    def _speeds_fit(cls, speeds: SpeedsForm, info: ValidationInfo) -> SpeedsForm:
        """Gear speeds for a gear that moves; climb and descent not too fast."""
        problems: list[tuple[Location, object, str]] = []
        moves = info.data.get("retractable")
        if moves is False and speeds.gear_retract_kt is not None:
            unwanted = "no such key, because retractable is false"
            problems.append((("gear_retract_kt",), speeds.gear_retract_kt, unwanted))
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

    @field_validator("flap")
    @classmethod
    def _flaps_fit(cls, flaps: tuple[FlapForm, ...], info: ValidationInfo) -> tuple[FlapForm, ...]:
        """Each setting once, further out no faster."""
        speeds = info.data.get("speeds")
        check_flaps(flaps, speeds.flaps_kt if speeds else None)
        return flaps

    @field_validator("table")
    @classmethod
    def _tables_fit(
        cls, tables: tuple[TableForm, ...], info: ValidationInfo
    ) -> tuple[TableForm, ...]:
        """No table twice for one surface; no speed beyond the one never to exceed."""
        problems: list[tuple[Location, object, str]] = []
        speeds = info.data.get("speeds")
        most_kt = speeds.never_exceed_kt if speeds else float("inf")
        keys = [table.key for table in tables]
        for index, table in enumerate(tables):
            if table.key in keys[:index]:
                problems.append(((index, "name"), table.name, "a name not used above"))
            if table.name in SPEEDS and table.largest > most_kt:
                expected = f"at most never_exceed_kt, {most_kt:g}"
                problems.append(((index, "values"), table.largest, expected))
        if problems:
            raise refusal(problems)
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
