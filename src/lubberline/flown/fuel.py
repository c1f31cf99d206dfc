"""Fuel used against the pledge, from recorded flow or, without it, from recorded quantity.

Flow is added up from take-off to landing, all engines together. Quantity is what all tanks held
after take-off less what they held before landing, each a median over half a minute. Where neither
was recorded the findings are unknown: time tells nothing of a mixture.
"""

from collections.abc import Callable
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.flight import Pledge
from lubberline.flown.case import NO_PLEDGE, Case
from lubberline.flown.channels import fuel_columns
from lubberline.flown.gauge import Gauge, Reading
from lubberline.flown.timing import NO_LANDING, NO_TAKEOFF, checkpoint_passing
from lubberline.units import S_PER_H

USED: Final = Gauge(
    name="fuel_used", label="fuel used, pledged", unit="gal",
    why="a tenth of what was pledged, at least 1 gal", tolerance="fuel_used_gal",
)  # fmt: skip
CHECKPOINT: Final = Gauge(
    name="fuel_checkpoint", label="fuel to checkpoints, worst", unit="gal",
    why="a tenth of what was pledged to the landing, at least 1 gal", tolerance="fuel_used_gal",
)  # fmt: skip
OVER_FRACTION: Final = 0.1  # own
LEAST_GAL: Final = 1.0
FLOW_FRACTION: Final = 0.02  # own: of a transducer, as a whole
TANK_GAL: Final = 0.5  # own: what one gauge is off by between two readings
LOST_S: Final = 60.0  # own: flow not recorded for longer is not bridged
AROUND_S: Final = 30.0
NO_FUEL: Final = "a recording with fuel flow (fuel_flow_gph) or fuel quantity (fuel_quantity_gal)"

Used = Callable[[float, float], tuple[float, float]]  # between two moments: gallons, and the doubt


def fuel_readings(case: Case) -> list[Reading]:
    """Fuel to the landing, and to the checkpoint where most was missing."""
    missing = NO_PLEDGE if case.pledge is None else ""
    used, method = _used(case)
    missing = missing or ("" if used else NO_FUEL)
    missing = missing or ("" if case.takeoff else NO_TAKEOFF)
    if missing or case.pledge is None or case.takeoff is None or used is None:
        return [Reading(gauge=USED, value=np.nan, sigma=0.0, missing=missing)]
    allowed_gal = max(LEAST_GAL, OVER_FRACTION * _pledged_gal(case.pledge, -1))
    found = [_to_landing(case, case.pledge, used, allowed_gal, method)]
    checkpoint = _to_checkpoint(case, case.pledge, used, allowed_gal, method)
    return found if checkpoint is None else [*found, checkpoint]


def _pledged_gal(pledge: Pledge, number: int) -> float:
    """What was to be used from take-off to a point of the pledge."""
    return pledge.points[0].fuel_left_gal - pledge.points[number].fuel_left_gal


def _to_landing(case: Case, pledge: Pledge, used: Used, allowed_gal: float, method: str) -> Reading:
    gauge = USED.limited(high=allowed_gal)
    if case.takeoff is None or case.landing is None:
        return Reading(gauge=gauge, value=np.nan, sigma=0.0, missing=NO_LANDING)
    used_gal, sigma_gal = used(case.takeoff.time_s, case.landing.time_s)
    pledged_gal = _pledged_gal(pledge, -1)
    return Reading(
        gauge=gauge, value=used_gal - pledged_gal, sigma=sigma_gal,
        note=f"{used_gal:.1f} gal used, {pledged_gal:.1f} pledged; {method}",
        missing="fuel recorded from take-off to landing without a gap of a minute",
    )  # fmt: skip


def _to_checkpoint(
    case: Case, pledge: Pledge, used: Used, allowed_gal: float, method: str
) -> Reading | None:
    """The named point by which most was used beyond the pledge; None where none was passed."""
    worst: tuple[float, float, str] | None = None
    each = []
    for number, point in enumerate(pledge.points[1:-1], 1):
        passed = checkpoint_passing(case, point) if point.name and case.takeoff else None
        if passed is None or case.takeoff is None:
            continue
        used_gal, sigma_gal = used(case.takeoff.time_s, passed.time_s)
        beyond_gal = used_gal - _pledged_gal(pledge, number)
        if np.isfinite(beyond_gal):
            each.append(f"{point.name} {beyond_gal:+.1f}")
            worst = max(worst or (-np.inf, 0.0, ""), (beyond_gal, sigma_gal, point.name))
    if worst is None:
        return None
    return Reading(
        gauge=CHECKPOINT.limited(high=allowed_gal), value=worst[0], sigma=worst[1],
        where=worst[2], note=f"{', '.join(each)}; {method}",
    )  # fmt: skip


def _used(case: Case) -> tuple[Used | None, str]:
    """How fuel used between two moments is found, and in what words; None if not at all."""
    flows = fuel_columns(case.track, "_gph")
    if flows:
        return lambda start_s, end_s: _by_flow(case, flows, start_s, end_s), "by flow"
    tanks = fuel_columns(case.track, "_gal")
    if tanks:
        return lambda start_s, end_s: _by_quantity(case, tanks, start_s, end_s), "by quantity"
    return None, ""


def _by_flow(
    case: Case, channels: list[FloatArray], start_s: float, end_s: float
) -> tuple[float, float]:
    """Flow added up by trapezoids; NaN where it was not recorded for more than a minute."""
    total_gal = 0.0
    for column in channels:
        known = np.isfinite(column)
        time_s, gph = case.track.time_s[known], column[known]
        inside = (time_s > start_s) & (time_s < end_s)
        at_s = np.concatenate([[start_s], time_s[inside], [end_s]])
        if time_s[0] > start_s + LOST_S or time_s[-1] < end_s - LOST_S:
            return np.nan, 0.0
        if np.diff(at_s).max() > LOST_S:
            return np.nan, 0.0
        total_gal += float(np.trapezoid(np.interp(at_s, time_s, gph), at_s)) / S_PER_H
    return total_gal, FLOW_FRACTION * abs(total_gal)


def _by_quantity(
    case: Case, channels: list[FloatArray], start_s: float, end_s: float
) -> tuple[float, float]:
    """What all tanks lost between the medians around two moments; NaN where one is not known."""
    time_s = case.track.time_s
    lost_gal = 0.0
    for column in channels:
        ends_gal = [
            column[(np.abs(time_s - at_s) <= AROUND_S / 2.0) & np.isfinite(column)]
            for at_s in (start_s, end_s)
        ]
        if not (ends_gal[0].size and ends_gal[1].size):
            return np.nan, 0.0
        lost_gal += float(np.median(ends_gal[0]) - np.median(ends_gal[1]))
    return lost_gal, TANK_GAL * float(np.sqrt(2.0 * len(channels)))
