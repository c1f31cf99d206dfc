"""How the pilot is today, answered and dated by the pilot; ``fitness.toml`` beside ``pilot.toml``.

Private to the folder: nothing printed, pledged or reported names an answer.
"""

import os
import tempfile
from dataclasses import dataclass, fields
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Any, Final

from pydantic import AwareDatetime, Field, Strict, ValidationInfo, field_validator

from lubberline.tomlfile import Schema, read_toml

FITNESS_FILE: Final = "fitness.toml"
Moment = Annotated[AwareDatetime, Strict()]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitness:
    """The answers. ``stress`` is from 0 (none) to 4 (it is all I think of).

    ``last_drink_utc`` None is none in the day before the answer. ``medication`` is any that
    may make a pilot slow or sleepy, also without a prescription.
    """

    answered_utc: datetime
    ill: bool
    medication: bool
    stress_index: int
    last_drink_utc: datetime | None
    slept_h: float
    up_since_utc: datetime
    eaten_utc: datetime


class _FitnessFile(Schema):
    """The file format."""

    answered_utc: Annotated[Moment, Field(examples=["2026-11-25T18:30:00Z"])]
    ill: Annotated[bool, Strict(), Field(examples=["false"])]
    medication: Annotated[bool, Strict(), Field(examples=["false"])]
    stress_index: Annotated[int, Field(ge=0, le=4, examples=["1"])]
    last_drink_utc: Annotated[Moment | None, Field(examples=["2026-11-24T20:00:00Z"])] = None
    slept_h: Annotated[float, Field(ge=0, le=24, examples=["7.5"])]
    up_since_utc: Annotated[Moment, Field(examples=["2026-11-25T14:30:00Z"])]
    eaten_utc: Annotated[Moment, Field(examples=["2026-11-25T17:45:00Z"])]

    @field_validator("last_drink_utc", "up_since_utc", "eaten_utc")
    @classmethod
    def _before_the_answer(cls, when: datetime | None, info: ValidationInfo) -> datetime | None:
        """Nobody answers for what is still to come."""
        answered_utc = info.data.get("answered_utc")
        if when is not None and answered_utc is not None and when > answered_utc:
            raise ValueError(f"a time no later than answered_utc, {answered_utc}")
        return when


def read_fitness(folder: Path) -> Fitness | None:
    """The answers beside a ``pilot.toml``; None if none were given.

    Raises
    ------
    BadFile
        If the file is there but wrong.
    """
    path = folder / FITNESS_FILE
    if not path.exists():
        return None
    answers: dict[str, Any] = read_toml(path, _FitnessFile).model_dump()
    return Fitness(**{name: _in_utc(value) for name, value in answers.items()})


def write_fitness(folder: Path, fitness: Fitness) -> Path:
    """Put the answers in place of the last ones, readable by their owner only."""
    rows = [
        f"{field.name} = {_toml(getattr(fitness, field.name))}"
        for field in fields(fitness)
        if getattr(fitness, field.name) is not None
    ]
    text = "\n".join(["# How you are today, by your own word. Private to this folder.", *rows, ""])
    handle, name = tempfile.mkstemp(dir=folder)  # for its owner only
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        file.write(text)
    os.replace(name, folder / FITNESS_FILE)
    return folder / FITNESS_FILE


def _in_utc(value: Any) -> Any:
    return value.astimezone(UTC) if isinstance(value, datetime) else value


def _toml(value: Any) -> str:
    match value:
        case bool():
            return f"{value}".lower()
        case datetime():
            return f"{value.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}"
        case _:
            return f"{value}"
