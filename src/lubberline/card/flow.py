"""The arrival flow: the same steps every time, and where each falls on this flight.

The steps are the pilot's (``flows/arrival.toml`` beside ``pilot.toml``) or, without that file,
ours. A step that would fall before the cruise is due as soon as the climb is over.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Annotated, Final, Literal

import numpy as np
from pydantic import Field, ValidationInfo, field_validator

from lubberline.card.ahead import Track
from lubberline.card.legs import clock_text
from lubberline.fit import times_utc
from lubberline.flight import FLIGHT_FILE, Plan, folder_of
from lubberline.tomlfile import Schema, read_toml
from lubberline.ways import Way

OURS: Final = Path(__file__).parent / "flows" / "arrival.toml"
_DUE: Final = ("before_min", "before_nm", "below_agl_ft")


class StepForm(Schema):
    """One step of a flow and when it is due."""

    say: Annotated[str, Field(min_length=1, max_length=36, examples=["'pump on'"])]
    before_min: Annotated[float | None, Field(ge=0, le=240, examples=[15])] = None
    before_nm: Annotated[float | None, Field(ge=0, le=200, examples=[6])] = None
    below_agl_ft: Annotated[float | None, Field(ge=0, le=20_000, examples=[600])] = None
    only: Annotated[Literal["retractable"] | None, Field(examples=["'retractable'"])] = None
    boxed: bool = False


class FlowForm(Schema):
    """One flow: its steps in order."""

    step: Annotated[tuple[StepForm, ...], Field(min_length=1)]

    @field_validator("step")
    @classmethod
    def _each_due_once(cls, steps: tuple[StepForm, ...], _: ValidationInfo) -> object:
        """Each step has one moment."""
        for number, step in enumerate(steps, 1):
            given = [name for name in _DUE if getattr(step, name) is not None]
            if len(given) != 1:
                found = " and ".join(given) or "none"
                raise ValueError(f"step {number} with one of {', '.join(_DUE)}, not {found}")
        return steps


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowRow:
    """A step with its moment and place; ``boxed`` asks for a box to tick."""

    say: str
    due: str
    before: str
    point: str
    boxed: bool


def flow_rows(plan: Plan, way: Way) -> Iterator[FlowRow]:
    """The steps of the pilot's flow, or of ours, where they fall on this way.

    Raises
    ------
    BadFile
        If the pilot's file is there but wrong.
    """
    track, takeoff_utc = Track(way), times_utc(plan, way)[0]
    least_min = _climb_end_min(way)
    for step in read_toml(_file(plan), FlowForm).step:
        if step.only == "retractable" and not plan.aircraft.retractable:
            continue
        at_min = max(_due_min(step, plan, way, track), least_min)
        before, point = track.next_point(at_min)
        yield FlowRow(
            say=step.say,
            due=clock_text(takeoff_utc + timedelta(minutes=at_min)),
            before=before,
            point=point,
            boxed=step.boxed,
        )


def _file(plan: Plan) -> Path:
    own = folder_of(plan.folder / FLIGHT_FILE) / "flows" / OURS.name
    return own if own.exists() else OURS


def _due_min(step: StepForm, plan: Plan, way: Way, track: Track) -> float:
    """Minutes after take-off at which a step is due."""
    at_min, msl_ft = way.path[:, 3], way.path[:, 2]
    if step.before_min is not None:
        return float(at_min[-1]) - step.before_min
    if step.before_nm is not None:
        along_nm = track.along_nm
        return float(np.interp(along_nm[-1] - step.before_nm, along_nm, at_min))
    fine_min = np.linspace(float(at_min[0]), float(at_min[-1]), 2_000)
    above_ft = np.interp(fine_min, at_min, msl_ft) - plan.destination.elev_msl_ft
    high = np.flatnonzero(above_ft > (step.below_agl_ft or 0.0))
    return float(fine_min[high[-1]]) if high.size else float(at_min[0])


def _climb_end_min(way: Way) -> float:
    """When the first climb is over."""
    at_min = 0.0
    for leg in way.legs:
        if leg.phase != "climb":
            return at_min
        at_min += leg.time_min
    return at_min
