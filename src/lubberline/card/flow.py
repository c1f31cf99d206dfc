"""The arrival flow: the same steps every time, and where each falls on this flight.

The steps are the pilot's (``flows/arrival.toml`` beside ``pilot.toml``) or, without that file,
ours. No step is due before the one above it, nor before the climb is over.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Annotated, Final, Literal

import numpy as np
from pydantic import Field, ValidationInfo, field_validator

from lubberline.aircraft import Aircraft
from lubberline.card.ahead import Track
from lubberline.card.legs import clock_text
from lubberline.fit import times_utc
from lubberline.flight import FLIGHT_FILE, Plan, folder_of
from lubberline.tomlfile import Schema, read_toml
from lubberline.ways import Call, Way, radio_calls, way_down

Only = Literal["retractable", "controllable propeller", "fixed propeller"]

OURS: Final = Path(__file__).parent / "flows" / "arrival.toml"
_DUE: Final = ("before_down_min", "before_min", "before_nm", "below_agl_ft")
_ASKED: Final[dict[Only, Callable[[Aircraft], bool]]] = {
    "retractable": lambda one: one.retractable,
    "controllable propeller": lambda one: one.controllable_propeller,
    "fixed propeller": lambda one: not one.controllable_propeller,
}
_LEVEL_MIN: Final = 10.0  # own: before the field, where a way has no descent to count from


class StepForm(Schema):
    """One step of a flow and when it is due."""

    say: Annotated[str, Field(min_length=1, max_length=36, examples=["'pump on'"])]
    before_down_min: Annotated[float | None, Field(ge=0, le=240, examples=[5])] = None
    before_min: Annotated[float | None, Field(ge=0, le=240, examples=[15])] = None
    before_nm: Annotated[float | None, Field(ge=0, le=200, examples=[6])] = None
    below_agl_ft: Annotated[float | None, Field(ge=0, le=20_000, examples=[600])] = None
    only: Annotated[Only | None, Field(examples=["'retractable'"])] = None
    after_weather: bool = False
    boxed: bool = False


class FlowForm(Schema):
    """One flow: its steps in order."""

    step: Annotated[tuple[StepForm, ...], Field(min_length=1)]

    @field_validator("step")
    @classmethod
    def _each_is_due(cls, steps: tuple[StepForm, ...], _: ValidationInfo) -> object:
        """Each step has a moment."""
        for number, step in enumerate(steps, 1):
            if all(getattr(step, name) is None for name in _DUE):
                raise ValueError(f"step {number} with {', '.join(_DUE[:-1])} or {_DUE[-1]}")
        return steps


@dataclass(frozen=True, slots=True, kw_only=True)
class FlowRow:
    """A step with its moment and place; what is ``boxed`` stands in a box."""

    say: str
    due: str
    before: str
    point: str
    boxed: bool


def flow_rows(plan: Plan, way: Way, calls: Sequence[Call] | None = None) -> Iterator[FlowRow]:
    """The steps of the pilot's flow, or of ours, where they fall on this way.

    ``calls`` are those of the way, where they are known already.

    Raises
    ------
    BadFile
        If the pilot's file is there but wrong.
    """
    track, takeoff_utc = Track(way), times_utc(plan, way)[0]
    due_min = _climb_end_min(way)
    calls = radio_calls(plan, way) if calls is None else calls
    for step in read_toml(_file(plan), FlowForm).step:
        if step.only is not None and not _ASKED[step.only](plan.aircraft):
            continue
        heard_min = _weather_min(plan, calls) if step.after_weather else 0.0
        due_min = max(due_min, heard_min, min(_moments_min(step, plan, track)))
        before, point = track.next_point(due_min)
        yield FlowRow(
            say=step.say,
            due=clock_text(takeoff_utc + timedelta(minutes=due_min)),
            before=before,
            point=point,
            boxed=step.boxed,
        )


def _file(plan: Plan) -> Path:
    own = folder_of(plan.folder / FLIGHT_FILE) / "flows" / OURS.name
    return own if own.exists() else OURS


def _moments_min(step: StepForm, plan: Plan, track: Track) -> Iterator[float]:
    """Minutes after take-off of every moment that a step names."""
    at_min, end_min = track.way.path[:, 3], float(track.way.path[-1, 3])
    if step.before_down_min is not None:
        down = way_down(track.way, plan.destination)
        yield (down.from_min if down else end_min - _LEVEL_MIN) - step.before_down_min
    if step.before_min is not None:
        yield end_min - step.before_min
    if step.before_nm is not None:
        yield track.before_end_min(step.before_nm)
    if step.below_agl_ft is not None:
        fine_min = np.linspace(float(at_min[0]), end_min, 2_000)
        above_ft = np.interp(fine_min, at_min, track.way.path[:, 2])
        high = np.flatnonzero(above_ft - plan.destination.elev_msl_ft > step.below_agl_ft)
        yield float(fine_min[high[-1]]) if high.size else float(at_min[0])


def _weather_min(plan: Plan, calls: Sequence[Call]) -> float:
    """When the ladder listens to the destination's weather; 0 if it has none to listen to."""
    broadcasts = {one.facility for one in plan.destination.radios if one.use in ("atis", "awos")}
    heard = (one for one in calls if one.moment == "air" and one.facility in broadcasts)
    return next((one.spot.after_min for one in heard), 0.0)


def _climb_end_min(way: Way) -> float:
    """When the first climb is over."""
    at_min = 0.0
    for leg in way.legs:
        if leg.phase != "climb":
            return at_min
        at_min += leg.time_min
    return at_min
