"""The last moment to turn back, or to go elsewhere, with the reserve still aboard at the end.

What would be left at another field if the flight turned to it now is a continuous function of
the moment. It is asked all along the way, and where it first falls short of the reserve the
moment is found by asking again between, ever closer.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.earth import course_and_distance
from lubberline.fit.burn import burn_of
from lubberline.fit.direct import Direct
from lubberline.fit.setting import times_utc
from lubberline.flight import Plan
from lubberline.places import Aerodrome
from lubberline.ways import Way

_GRID_COUNT: Final = 129
_ROUNDS_COUNT: Final = 5  # a grid of 129 five times over: under a millionth of a second


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """The last moment to turn to another field with the reserve still aboard at its end.

    None if it never was possible. ``over_destination_gal`` is what would be left beyond the
    reserve if the way is flown to its end first, negative if it would not do; ``always`` that
    it does. ``along_nm`` is from the departure, ``after_min`` from take-off.
    """

    to_id: str
    turns_back: bool
    after_min: float | None
    at_takeoff_gal: float
    over_destination_gal: float
    at_utc: datetime | None = None
    along_nm: float | None = None
    left_gal: float | None = None

    @property
    def always(self) -> bool:
        """Whether it is possible all along the way."""
        return self.at_takeoff_gal >= 0.0 and self.over_destination_gal >= 0.0


def decisions(plan: Plan, way: Way, direct: Direct, *, reserve_gal: float) -> Iterator[Decision]:
    """For turning back, then for each alternate."""
    for to in (plan.departure, *plan.alternates):
        yield _decision(plan, way, direct, to, reserve_gal)


def last_moment_min(spare_gal: Callable[[FloatArray], FloatArray], end_min: float) -> float | None:
    """When a continuous function first falls below nought, from 0 to an end.

    The end if it never does, None if it is below at once. What goes under and comes back
    within a 128th of the time may be missed.
    """
    low_min, high_min = 0.0, end_min
    for _ in range(_ROUNDS_COUNT):
        at_min = np.linspace(low_min, high_min, _GRID_COUNT)
        below = np.flatnonzero(spare_gal(at_min) < 0.0)
        if not below.size:
            return high_min
        if below[0] == 0:
            return None if low_min == 0.0 else low_min
        low_min, high_min = float(at_min[below[0] - 1]), float(at_min[below[0]])
    return low_min


def _decision(plan: Plan, way: Way, direct: Direct, to: Aerodrome, reserve_gal: float) -> Decision:
    burn, at_min = burn_of(plan, way), way.path[:, 3]
    aboard_gal, end_min = sum(plan.flight.fuel_gal.values()), float(way.path[-1, 3])

    def spare_gal(after_min: FloatArray) -> FloatArray:
        lat_deg, lon_deg = (np.interp(after_min, at_min, way.path[:, n]) for n in (0, 1))
        needs_gal = direct.fuel_gal(lat_deg, lon_deg, to) + reserve_gal
        return np.asarray(aboard_gal - burn.used(after_min) - needs_gal)

    last_min = last_moment_min(spare_gal, end_min)
    at_takeoff_gal, over_destination_gal = (float(one) for one in spare_gal(at_min[[0, -1]]))
    here = dict[str, Any]() if last_min is None else _here(plan, way, last_min)
    return Decision(
        to_id=to.id,
        turns_back=to.id == plan.flight.departure_id,
        after_min=last_min,
        **here,
        at_takeoff_gal=at_takeoff_gal,
        over_destination_gal=over_destination_gal,
    )


def _here(plan: Plan, way: Way, after_min: float) -> dict[str, Any]:
    """Where a flight is at a moment: time, distance along the pieces of the path, fuel left."""
    lat_deg, lon_deg = way.path[:, 0], way.path[:, 1]
    pieces_nm = course_and_distance(lat_deg[:-1], lon_deg[:-1], lat_deg[1:], lon_deg[1:])[1]
    flown_nm = np.concatenate([[0.0], np.cumsum(pieces_nm)])
    aboard_gal = sum(plan.flight.fuel_gal.values())
    return {
        "at_utc": times_utc(plan, way)[0] + timedelta(minutes=after_min),
        "along_nm": float(np.interp(after_min, way.path[:, 3], flown_nm)),
        "left_gal": aboard_gal - float(burn_of(plan, way).used(after_min)),
    }
