"""How much better time and fuel would have been predicted, on flights that were held back.

For each flight in turn the numbers are learned from all the others, its way is planned anew with
them, and the prediction is held against what was flown. The flight itself teaches nothing here, so
the improvement is the one that the next flight may hope for.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np

from lubberline.aircraft import Aircraft, relearned
from lubberline.errors import LubberlineError
from lubberline.flight import SHORT_DIGITS, Plan, Pledge, read_plan, read_pledge
from lubberline.loop.course import store_path
from lubberline.loop.learned import Learned, Shown, learn
from lubberline.store import Observed, find_flight, open_store
from lubberline.ways import Way, evaluate_plan

MOST_COUNT: Final = 12  # own: planning twelve flights anew takes a few seconds
FEWEST_COUNT: Final = 3  # own: of fewer, one flight decides it all
_PLAN_NUMBERS: Final = ("cruise_tas", "fuel_flow", "climb", "descent")
_TAXI_NUMBERS: Final = ("taxi_out", "taxi_in")


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldBack:
    """Root mean square errors of a prediction over held-back flights: before and after learning.

    ``better_count`` is on how many of them the learned numbers came nearer.
    """

    label: str
    unit: str
    values: tuple[float, float]
    better_count: int
    flight_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Missed:
    """By how much one flight's times and fuel were missed, as planned and with the learned."""

    time_min: tuple[float, float]
    block_min: tuple[float, float] | None
    fuel_gal: tuple[float, float] | None


def held_back(home: Path, shown: Shown) -> tuple[HeldBack, ...]:
    """Errors in time en route, from stand to stand, and in fuel, of the latest flights.

    Flights whose folder, pledge or way is no longer there are left out; empty if too few are left.
    """
    latest = list(shown)[-MOST_COUNT:]
    missed = [one for flight_id in latest if (one := _missed(home, shown, flight_id)) is not None]
    times = [one.time_min for one in missed]
    blocks = [one.block_min for one in missed if one.block_min is not None]
    fuels = [one.fuel_gal for one in missed if one.fuel_gal is not None]
    found = (
        _errors("time en route", "min", times),
        _errors("time from stand to stand", "min", blocks),
        _errors("fuel used", "gal", fuels),
    )
    return tuple(one for one in found if one is not None)


def taught(aircraft: Aircraft, learned: tuple[Learned, ...]) -> Aircraft:
    """The airplane with every number in place that the flights speak for, taken or not."""
    values = {one.number.name: one for one in learned if one.number.name in _PLAN_NUMBERS}
    factors = {
        one.number.key: one.value
        for one in values.values()
        if one.number.as_factor and one.differs_from(1.0)
    }
    changed = relearned(aircraft, factors)
    descent = values.get("descent")
    if descent is None or not descent.differs_from(aircraft.descent_fpm):
        return changed
    return replace(changed, descent_fpm=descent.value)


def _missed(home: Path, shown: Shown, flight_id: int) -> _Missed | None:
    numbers = shown[flight_id]
    late = numbers.get("eta_error_min")
    pledge_plan = _pledged(home, flight_id)
    if late is None or pledge_plan is None:
        return None
    pledge, plan = pledge_plan
    others = learn(one for other, one in shown.items() if other != flight_id)
    bare = _way(replace(plan, aircraft=relearned(plan.aircraft, {})), pledge)
    with_it = _way(replace(plan, aircraft=taught(plan.aircraft, others)), pledge)
    asked = _way(plan, pledge)
    if bare is None or with_it is None or asked is None:
        return None
    fuel = numbers.get("fuel_used_gal")
    used_more_gal = None if fuel is None or fuel.target is None else fuel.value - fuel.target
    ways = (bare, with_it)
    time_min = _shifted(late.value, asked.time_min, (way.time_min for way in ways))
    return _Missed(
        time_min=time_min,
        block_min=_with_taxi(time_min, numbers, others),
        fuel_gal=None
        if used_more_gal is None
        else _shifted(used_more_gal, asked.fuel_gal, (way.fuel_gal for way in ways)),
    )


def _with_taxi(
    time_min: tuple[float, float], numbers: Mapping[str, Observed], others: tuple[Learned, ...]
) -> tuple[float, float] | None:
    """What the whole time was missed by; None where the recording begins or ends on the way.

    Taxi times are those of the flight's file, or learned ones where the flights speak for them.
    """
    bare, with_it = time_min
    learned = {one.number.name: one for one in others}
    for name in _TAXI_NUMBERS:
        shown = numbers.get(f"{name}_min")
        if shown is None or shown.target is None:
            return None
        one = learned.get(name)
        taken = one is not None and one.differs_from(shown.target)
        bare += shown.value - shown.target
        with_it += shown.value - (one.value if one is not None and taken else shown.target)
    return bare, with_it


def _shifted(value: float, target: float, values: Iterable[float]) -> tuple[float, float]:
    """What the pledge was missed by, were it for other values in place of the target."""
    bare, with_it = (value + target - other for other in values)
    return bare, with_it


def _pledged(home: Path, flight_id: int) -> tuple[Pledge, Plan] | None:
    """The pledge of a flight and its plan as its folder has it today; None if they are gone."""
    with open_store(store_path(home)) as store, store.reading() as session:
        sha256 = find_flight(session, flight_id).pledge_sha256
    if sha256 is None:
        return None
    path = next(home.glob(f"flights/*/pledge-{sha256[:SHORT_DIGITS]}.json"), None)
    if path is None:
        return None
    try:
        return read_pledge(path), read_plan(path.parent)
    except LubberlineError:
        return None


def _way(plan: Plan, pledge: Pledge) -> Way | None:
    """The pledged way, planned with the plan's airplane."""
    try:
        ways = evaluate_plan(plan)
    except LubberlineError:
        return None
    return next((way for way in ways if way.name == pledge.way_name), None)


def _errors(label: str, unit: str, missed: list[tuple[float, float]]) -> HeldBack | None:
    if len(missed) < FEWEST_COUNT:
        return None
    column = np.abs(missed)
    before, after = (float(one) for one in np.sqrt((column**2).mean(axis=0)))
    return HeldBack(
        label=label,
        unit=unit,
        values=(before, after),
        better_count=int((column[:, 1] < column[:, 0]).sum()),
        flight_count=len(missed),
    )
