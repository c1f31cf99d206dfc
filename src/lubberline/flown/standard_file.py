"""Reads a standard of flying from the TOML file in which the pilot keeps it.

One ``[[tolerance]]`` per measure. The name of a measure ends in its unit, and the unit is
written out beside it; the two have to agree, because a tolerance in the wrong unit would judge
every flight wrongly and never be noticed.
"""

from datetime import date
from pathlib import Path
from typing import Annotated, Final, Literal, Self

from pydantic import Field, model_validator

from lubberline.errors import BadFile, Problem
from lubberline.flown.model import PhaseName
from lubberline.flown.standard import Standard, Tolerance
from lubberline.tomlfile import Schema, read_toml

UNIT_BY_ENDING: Final = {"ft": "ft", "deg": "deg", "nm": "NM", "min": "min", "kt": "kt"}

_Text = Annotated[str, Field(min_length=1)]


class _ToleranceForm(Schema):
    measure: Annotated[
        str, Field(pattern=r"^[a-z0-9_]+_(ft|deg|nm|min|kt)$", examples=["'cruise_height_ft'"])
    ]
    label: Annotated[_Text, Field(examples=["'height held in cruise'"])]
    unit: Annotated[Literal["ft", "deg", "NM", "min", "kt"], Field(examples=["'ft'"])]
    low: Annotated[float | None, Field(le=0, examples=[-200])] = None
    high: Annotated[float | None, Field(ge=0, examples=[200])] = None
    code: Annotated[_Text, Field(examples=["'PA.VI.A.S7'"])]
    target: Annotated[float | None, Field(ge=0, examples=[45])] = None
    phases: Annotated[tuple[PhaseName, ...], Field(examples=[["cruise"]])] = ()
    settle_s: Annotated[float | None, Field(ge=0, le=600, examples=[60])] = None
    from_memory: bool = False

    @model_validator(mode="after")
    def _holds_together(self) -> Self:
        ending = self.measure.rsplit("_", 1)[-1]
        if UNIT_BY_ENDING[ending] != self.unit:
            raise ValueError(f"unit = '{UNIT_BY_ENDING[ending]}', as {self.measure} says")
        if self.low is None and self.high is None:
            raise ValueError(f"low, high or both for {self.measure}")
        return self


class _StandardForm(Schema):
    name: Annotated[_Text, Field(examples=["'private'"])]
    document: Annotated[_Text, Field(examples=["'FAA-S-ACS-6C'"])]
    read_on: Annotated[date, Field(examples=["2026-11-25"])]
    basis: Annotated[Literal["standard", "own"], Field(examples=["'own'"])] = "standard"
    tolerance: Annotated[tuple[_ToleranceForm, ...], Field(min_length=1)]


def read_standard(path: Path) -> Standard:
    """The standard in a TOML file.

    Raises
    ------
    BadFile
        If the file does not fit the form, or gives a measure twice.
    """
    form = read_toml(path, _StandardForm)
    measures = [one.measure for one in form.tolerance]
    twice = sorted({measure for measure in measures if measures.count(measure) > 1})
    if twice:
        raise BadFile(path, [_given_twice(measure) for measure in twice])
    return Standard(
        name=form.name,
        document=form.document,
        read_on=form.read_on.isoformat(),
        basis=form.basis,
        tolerances={one.measure: Tolerance(**one.model_dump()) for one in form.tolerance},
    )


def _given_twice(measure: str) -> Problem:
    return Problem(key="tolerance", found=f"{measure} more than once", expected="each measure once")
