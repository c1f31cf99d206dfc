"""Reads ``pilot.toml``: certificates, dates and own minimums of one pilot."""

from datetime import date
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, ValidationInfo, field_validator

from lubberline.measured import Measured
from lubberline.pilot._logbook_schema import Day, LandingForm, LessonForm, Rating
from lubberline.pilot.fitness import read_fitness
from lubberline.pilot.logbook import FlownAs
from lubberline.pilot.minimums import LESS_IS_TIGHTER, AfterPause, OwnMinimums
from lubberline.pilot.model import BasicMed, Pilot
from lubberline.tomlfile import Schema, read_toml, refusal

_Knots = Annotated[float | None, Field(ge=0, le=60, examples=[12])]
_CeilingFt = Annotated[float | None, Field(ge=0, le=20_000, examples=[2_000])]
_VisibilitySm = Annotated[float | None, Field(ge=0, le=50, examples=[5])]


class _Own(Measured):
    """The pilot's own minimums; what is left out is not set."""

    crosswind_kt: _Knots = None
    tailwind_kt: _Knots = None
    ceiling_agl_ft: _CeilingFt = None
    visibility_sm: _VisibilitySm = None
    night_ceiling_agl_ft: _CeilingFt = None
    night_visibility_sm: _VisibilitySm = None
    fuel_reserve_min: Annotated[float | None, Field(ge=0, le=600, examples=[60])] = None
    density_altitude_ft: Annotated[float | None, Field(ge=-5_000, le=30_000, examples=[5_000])] = (
        None
    )
    terrain_clearance_ft: Annotated[float | None, Field(ge=0, le=10_000, examples=[1_000])] = None
    airspace_lateral_nm: Annotated[float, Field(ge=0, le=20, examples=[1.0])] = 0.0
    airspace_vertical_ft: Annotated[float, Field(ge=0, le=5_000, examples=[500])] = 0.0
    descent_fpm: Annotated[float | None, Field(ge=100, le=3_000, examples=[500])] = None
    beyond_land_min: Annotated[float | None, Field(ge=0, le=600, examples=[5])] = None
    runway_factor: Annotated[float, Field(ge=1, le=5, examples=[1.5])] = 1.0
    due_buffer_days: Annotated[int, Field(ge=0, le=365, examples=[30])] = 0
    due_buffer_h: Annotated[float, Field(ge=0, le=100, examples=[5])] = 0.0
    sleep_h: Annotated[float | None, Field(ge=0, le=24, examples=[6])] = None
    awake_h: Annotated[float | None, Field(ge=0, le=48, examples=[14])] = None
    eaten_h: Annotated[float | None, Field(ge=0, le=24, examples=[6])] = None
    stress_index: Annotated[int | None, Field(ge=0, le=4, examples=[2])] = None


class _AfterPause(_Own):
    """Lines that hold after a pause in place of those of ``own``, and how long a pause that is."""

    days: Annotated[int, Field(ge=1, le=3_660, examples=[30])]
    full_days: Annotated[int | None, Field(ge=2, le=3_660, examples=[60])] = None

    @field_validator("full_days")
    @classmethod
    def _after_it_begins(cls, full_days: int | None, info: ValidationInfo) -> int | None:
        days = info.data.get("days")
        if full_days is not None and days is not None and full_days <= days:
            raise ValueError(f"more than days, {days}")
        return full_days

    def to_model(self) -> AfterPause:
        """The lines that the file has, which have a value."""
        lines = self.model_dump(exclude={"days", "full_days"}, exclude_unset=True)
        return AfterPause(days=self.days, full_days=self.full_days, lines=lines)


class _BasicMed(Schema):
    """Both dates, or no such table."""

    exam_on: Annotated[Day, Field(examples=["2025-04-18"])]
    course_on: Annotated[Day, Field(examples=["2025-04-22"])]


class _PilotFile(Measured):
    """The file format. Keys, units and bounds here are the pilot's contract."""

    name: Annotated[str, Field(min_length=1, examples=["'R. Fenwick'"])]
    born_on: Annotated[Day, Field(examples=["1984-05-17"])]
    certificate: Annotated[
        Literal["student", "sport", "recreational", "private", "commercial", "airline transport"],
        Field(examples=["'commercial'"]),
    ]
    ratings: Annotated[
        tuple[Rating, ...] | None,
        Field(examples=["['airplane single-engine land']"]),
    ] = None
    endorsements: Annotated[
        tuple[Literal["complex", "high performance", "tailwheel"], ...] | None,
        Field(examples=["['complex']"]),
    ] = None
    type_ratings: Annotated[tuple[str, ...] | None, Field(examples=["['HERON 900']"])] = None
    instructor: Annotated[bool, Field(examples=["true"])] = False
    instructor_recent_on: Annotated[Day | None, Field(examples=["2025-08-20"])] = None
    instructor_recent_before_on: Annotated[Day | None, Field(examples=["2023-10-02"])] = None
    medical_on: Annotated[Day | None, Field(examples=["2026-02-12"])] = None
    medical_class: Annotated[
        Literal[1, 2, 3] | None, Field(examples=["2"], validate_default=True)
    ] = None
    flight_review_on: Annotated[Day | None, Field(examples=["2025-12-06"])] = None
    weight_lb: Annotated[float, Field(gt=0, le=1_000, examples=[172])]
    height_keeping_ft: Annotated[float | None, Field(gt=0, le=1_000, examples=[60])] = None
    usual_role: Annotated[FlownAs | None, Field(examples=["'command'"])] = None
    basicmed: _BasicMed | None = None
    landing: tuple[LandingForm, ...] | None = None
    lesson: tuple[LessonForm, ...] | None = None
    own: _Own = _Own()
    own_after_pause: _AfterPause | None = None

    @field_validator("own_after_pause")
    @classmethod
    def _asks_for_more(cls, paused: _AfterPause | None, info: ValidationInfo) -> _AfterPause | None:
        """After a pause nothing gets easier."""
        own = info.data.get("own")
        if paused is None or own is None:
            return paused
        wrong = []
        for name, tight in paused.to_model().lines.items():
            usual = getattr(own, name)
            if usual is None:
                continue
            if tight > usual if name in LESS_IS_TIGHTER else tight < usual:
                wrong.append(((name,), tight, f"no easier than {usual:g} of [own]"))
        if wrong:
            raise refusal(wrong)
        return paused

    @field_validator(
        *("instructor_recent_on", "instructor_recent_before_on"),
        *("medical_on", "flight_review_on"),
    )
    @classmethod
    def _after_birth(cls, day: date | None, info: ValidationInfo) -> date | None:
        """Nobody is examined before being born."""
        born_on = info.data.get("born_on")
        if day is not None and born_on is not None and day <= born_on:
            raise ValueError(f"a day after born_on, {born_on}")
        return day

    @field_validator("medical_class")
    @classmethod
    def _class_with_its_day(cls, medical_class: int | None, info: ValidationInfo) -> int | None:
        """A medical certificate has a class and a day, or neither is on file."""
        if "medical_on" in info.data and (medical_class is None) != (
            info.data["medical_on"] is None
        ):
            raise ValueError("medical_class and medical_on together, or neither")
        return medical_class


def read_pilot(path: Path) -> Pilot:
    """The pilot that a TOML file describes, with the fitness check beside it.

    Raises
    ------
    BadFile
        If the file is missing, not TOML, or impossible: all its problems together.
    """
    form = read_toml(path, _PilotFile)
    landings, lessons, paused = form.landing, form.lesson, form.own_after_pause
    return Pilot(
        **form.model_dump(exclude={"own", "own_after_pause", "landing", "lesson", "basicmed"}),
        basicmed=None if form.basicmed is None else BasicMed(**form.basicmed.model_dump()),
        landings=None if landings is None else tuple(one.to_model() for one in landings),
        lessons=None if lessons is None else tuple(one.to_model() for one in lessons),
        own=OwnMinimums(**form.own.model_dump()),
        after_pause=None if paused is None else paused.to_model(),
        fitness=read_fitness(path.parent),
    )
