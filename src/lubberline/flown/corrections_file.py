"""Reads ``corrections.toml``, which the pilot keeps beside a recording. Times of day are UTC."""

from datetime import time
from pathlib import Path
from typing import Annotated, Final, Self

from pydantic import Field, model_validator

from lubberline.flown.corrections import (
    BoundaryMoved,
    Correction,
    ManeuverNamed,
    PhaseNamed,
)
from lubberline.flown.model import ManeuverName, PhaseName, Side
from lubberline.tomlfile import Schema, read_toml
from lubberline.units import S_PER_H, S_PER_MIN

CORRECTIONS_FILE: Final = "corrections.toml"
_Time = Annotated[time, Field(examples=["17:42:10"])]
_Why = Annotated[str, Field(max_length=200, examples=["'leveled off late for traffic'"])]


class _BoundaryForm(Schema):
    found: _Time
    at: _Time
    why: _Why = ""


class _PhaseForm(Schema):
    at: _Time
    name: Annotated[PhaseName, Field(examples=["'descent'"])]
    side: Annotated[Side, Field(examples=["'left'"])] = ""
    why: _Why = ""


class _ManeuverForm(Schema):
    name: Annotated[ManeuverName, Field(examples=["'steep turn'"])]
    start: _Time
    end: _Time
    target_ias_kt: Annotated[float | None, Field(gt=0, lt=400, examples=[95])] = None
    target_bank_deg: Annotated[float | None, Field(gt=0, lt=80, examples=[45])] = None
    target_msl_ft: Annotated[float | None, Field(gt=-1500, lt=60000, examples=[2500])] = None
    why: _Why = ""

    @model_validator(mode="after")
    def _lasts(self) -> Self:
        if self.start == self.end:
            raise ValueError("an end after its start")
        return self


class _CorrectionsForm(Schema):
    boundary: tuple[_BoundaryForm, ...] = ()
    phase: tuple[_PhaseForm, ...] = ()
    maneuver: tuple[_ManeuverForm, ...] = ()


def read_corrections(folder: Path) -> tuple[Correction, ...]:
    """The corrections in a flight's folder, times as seconds of the day; none without the file.

    Raises
    ------
    BadFile
        If the file does not fit the form.
    """
    path = folder / CORRECTIONS_FILE
    if not path.exists():
        return ()
    form = read_toml(path, _CorrectionsForm)
    return (
        *(
            BoundaryMoved(found_s=_day_s(one.found), at_s=_day_s(one.at), why=one.why)
            for one in form.boundary
        ),
        *(
            PhaseNamed(at_s=_day_s(one.at), name=one.name, why=one.why, side=one.side)
            for one in form.phase
        ),
        *(
            ManeuverNamed(
                name=one.name,
                start_s=_day_s(one.start),
                end_s=_day_s(one.end),
                target_ias_kt=one.target_ias_kt,
                target_bank_deg=one.target_bank_deg,
                target_msl_ft=one.target_msl_ft,
                why=one.why,
            )
            for one in form.maneuver
        ),
    )


def _day_s(at: time) -> float:
    return at.hour * S_PER_H + at.minute * S_PER_MIN + at.second + at.microsecond / 1e6
