"""The parts of ``pilot.toml`` that come from a logbook: landings and lessons."""

from datetime import UTC, date
from typing import Annotated, Literal

from pydantic import AwareDatetime, Field, ValidationInfo, field_validator

from lubberline.pilot.logbook import Landings, Lesson
from lubberline.tomlfile import Schema

Day = Annotated[date, Field(ge=date(1900, 1, 1), le=date(2200, 1, 1))]  # own
CategoryClass = Literal[
    "airplane single-engine land",
    "airplane single-engine sea",
    "airplane multiengine land",
    "airplane multiengine sea",
]
Rating = Literal[
    "airplane single-engine land",
    "airplane single-engine sea",
    "airplane multiengine land",
    "airplane multiengine sea",
    "instrument airplane",
]
_Count = Annotated[int, Field(ge=0, le=200, examples=[3])]  # own: more is no day's flying


class LandingForm(Schema):
    """One day's take-offs and landings in one category and class."""

    on: Annotated[Day, Field(examples=["2026-11-14"])]
    category_class: Annotated[CategoryClass, Field(examples=["'airplane single-engine land'"])]
    tailwheel: Annotated[bool, Field(examples=["false"])]
    takeoff_count: _Count
    landing_count: _Count
    full_stop_count: _Count = 0
    night_takeoff_count: _Count = 0
    night_full_stop_count: _Count = 0
    type_name: Annotated[str | None, Field(min_length=1, examples=["'Heron 200'"])] = None
    crosswind_kt: Annotated[float | None, Field(ge=0, le=60, examples=[8])] = None

    @field_validator("full_stop_count", "night_takeoff_count", "night_full_stop_count")
    @classmethod
    def _among_the_rest(cls, count: int, info: ValidationInfo) -> int:
        """Those to a full stop, and those of the night, are among all of the day."""
        of = {
            "full_stop_count": "landing_count",
            "night_takeoff_count": "takeoff_count",
            "night_full_stop_count": "full_stop_count",
        }[str(info.field_name)]
        most = info.data.get(of)
        if most is not None and count > most:
            raise ValueError(f"at most {of}, {most}")
        return count

    def to_model(self) -> Landings:
        """The day as a value."""
        return Landings(**self.model_dump())


class LessonForm(Schema):
    """Flight training given, or planned around the flight."""

    from_utc: Annotated[AwareDatetime, Field(examples=["2026-11-25T16:00:00Z"])]
    flight_h: Annotated[float, Field(gt=0, le=24, examples=[1.5])]

    def to_model(self) -> Lesson:
        """The lesson as a value, in UTC."""
        return Lesson(from_utc=self.from_utc.astimezone(UTC), flight_h=self.flight_h)
