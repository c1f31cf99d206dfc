"""Times against the pledge: take-off, arrival, time en route, block time, time over checkpoints.

All are minutes late (early is negative). Checkpoints are timed from the actual take-off, as the
standards allow an estimate to be revised once under way; a checkpoint is passed where the track
comes nearest to it.
"""

from itertools import takewhile
from typing import Final

import numpy as np

from lubberline.earth import LocalPlane
from lubberline.flight import Pledge, PledgedPoint
from lubberline.flown.case import (
    NO_PLEDGE,
    NOT_PLACED,
    Case,
    Measure,
    clock,
    measured,
    not_known,
    place,
)
from lubberline.flown.liftoff import Moment
from lubberline.flown.model import ON_GROUND, Movement, Phase
from lubberline.line import Finding
from lubberline.units import S_PER_H, S_PER_MIN

BORROWED: Final = "its tolerance for a checkpoint, borrowed"
TAKEOFF: Final = Measure(
    name="takeoff_time",
    label="take-off time, pledged",
    unit="min",
    tolerances=("takeoff_time_min", "checkpoint_time_min"),
    remark=BORROWED,
)
ARRIVAL: Final = Measure(
    name="arrival_time",
    label="landing time, pledged",
    unit="min",
    tolerances=("arrival_time_min", "checkpoint_time_min"),
    remark=BORROWED,
)
ENROUTE: Final = Measure(
    name="enroute_time",
    label="time in the air, pledged",
    unit="min",
    tolerances=("enroute_time_min", "checkpoint_time_min"),
    remark=BORROWED,
)
BLOCK: Final = Measure(
    name="block_time",
    label="block time, pledged",
    unit="min",
    tolerances=("block_time_min", "checkpoint_time_min"),
    remark=BORROWED,
)
CHECKPOINT: Final = Measure(
    name="checkpoint_time",
    label="checkpoint times, worst",
    unit="min",
    tolerances=("checkpoint_time_min",),
)
PASSED_NM: Final = 3.0  # own: farther away a checkpoint was not passed
STANDING_S: Final = 5.0  # own: how well the moment is seen at which a taxi begins or ends
NO_TAKEOFF: Final = "a recording that holds the take-off at the pledged departure"
NO_LANDING: Final = "a recording that holds the landing at the pledged destination"


def timing(case: Case) -> list[Finding]:
    """All findings on time."""
    if case.pledge is None:
        everything = (TAKEOFF, ARRIVAL, ENROUTE, BLOCK, CHECKPOINT)
        return [not_known(measure, case.standard, NO_PLEDGE) for measure in everything]
    return [
        _moment(case, TAKEOFF, case.takeoff, case.pledge.takeoff_utc.timestamp(), NO_TAKEOFF),
        _moment(case, ARRIVAL, case.landing, case.pledge.landing_utc.timestamp(), NO_LANDING),
        _enroute(case, case.pledge),
        _block(case, case.pledge),
        _checkpoint(case, case.pledge),
    ]


def _moment(
    case: Case, measure: Measure, movement: Movement | None, pledged_s: float, missing: str
) -> Finding:
    if movement is None:
        return not_known(measure, case.standard, missing)
    at = movement.aerodrome_id
    if at is None and np.isfinite(movement.lat_deg):
        at = place(movement.lat_deg, movement.lon_deg)
    runway = f" runway {movement.runway}" if movement.runway else ""
    return measured(
        measure,
        case.standard,
        (movement.time_s - pledged_s) / S_PER_MIN,
        sigma=movement.sigma_s / S_PER_MIN,
        where=clock(movement.time_s) + (f" at {at}{runway}" if at else ""),
        note=f"pledged {clock(pledged_s)}",
    )


def _enroute(case: Case, pledge: Pledge) -> Finding:
    if case.takeoff is None:
        return not_known(ENROUTE, case.standard, NO_TAKEOFF)
    if case.landing is None:
        return not_known(ENROUTE, case.standard, NO_LANDING)
    pledged_s = (pledge.landing_utc - pledge.takeoff_utc).total_seconds()
    flown_s = case.landing.time_s - case.takeoff.time_s
    return measured(
        ENROUTE,
        case.standard,
        (flown_s - pledged_s) / S_PER_MIN,
        sigma=float(np.hypot(case.takeoff.sigma_s, case.landing.sigma_s)) / S_PER_MIN,
        note=f"{flown_s / S_PER_MIN:.1f} min flown, {pledged_s / S_PER_MIN:.1f} min pledged",
    )


def _block(case: Case, pledge: Pledge) -> Finding:
    if case.takeoff is None or case.landing is None:
        missing = NO_TAKEOFF if case.takeoff is None else NO_LANDING
        return not_known(BLOCK, case.standard, missing)
    if np.isnan(case.takeoff.lat_deg) and "ground_kt" not in case.track.channels:
        return not_known(BLOCK, case.standard, f"{NOT_PLACED}: airspeed shows no taxi")
    off_s = _off_block_s(case.phases, case.takeoff)
    on_s = _on_block_s(case.phases, case.landing)
    if off_s is None or on_s is None:
        end = "begins before the airplane moves" if off_s is None else "ends after it stands"
        return not_known(BLOCK, case.standard, f"a recording that {end}, without a gap")
    pledged_s = (pledge.on_block_utc - pledge.off_block_utc).total_seconds()
    return measured(
        BLOCK,
        case.standard,
        (on_s - off_s - pledged_s) / S_PER_MIN,
        sigma=STANDING_S * float(np.sqrt(2.0)) / S_PER_MIN,
        note=f"off block {clock(off_s)}, on block {clock(on_s)}",
    )


def _off_block_s(phases: tuple[Phase, ...], takeoff: Movement) -> float | None:
    """When the airplane left its stand: the end of ``_stay`` before the take-off."""
    before = [one for one in phases if one.end_s <= takeoff.time_s and one.name != "take-off"]
    stay = _stay(before[::-1])
    return None if stay is None else stay.end_s


def _on_block_s(phases: tuple[Phase, ...], landing: Movement) -> float | None:
    """When the airplane came to its stand: the start of ``_stay`` after the landing."""
    after = [one for one in phases if one.start_s >= landing.time_s and one.name != "landing"]
    stay = _stay(after)
    return None if stay is None else stay.start_s


def _stay(outward: list[Phase]) -> Phase | None:
    """The stay at the stand, from phases counted away from the flight.

    If the recording begins or ends with it, the last one; between two flights, the longest;
    with a gap before it, none.
    """
    ground = list(takewhile(lambda one: one.name in ON_GROUND, outward))
    if not ground:
        return None
    if len(ground) == len(outward):
        return ground[-1] if ground[-1].name == "parked" else None
    if outward[len(ground)].name == "gap":
        return None
    stays = [one for one in ground if one.name == "parked"]
    return max(stays, key=lambda one: one.end_s - one.start_s, default=None)


def _checkpoint(case: Case, pledge: Pledge) -> Finding:
    points = [point for point in pledge.points[1:-1] if point.name]
    if not points:
        missing = "a pledge with named points between take-off and landing"
        return not_known(CHECKPOINT, case.standard, missing)
    if case.takeoff is None:
        return not_known(CHECKPOINT, case.standard, NO_TAKEOFF)
    passings = [checkpoint_passing(case, point) for point in points]
    lost = [point.name for point, one in zip(points, passings, strict=True) if one is None]
    if lost:
        missing = f"a track that passes {', '.join(lost)} within {PASSED_NM:g} NM"
        return not_known(CHECKPOINT, case.standard, missing)
    late_s = case.takeoff.time_s - pledge.takeoff_utc.timestamp()
    passed = [one for one in passings if one is not None]
    off_s = [
        one.time_s - late_s - point.over_utc.timestamp()
        for point, one in zip(points, passed, strict=True)
    ]
    worst = int(np.argmax(np.abs(off_s)))
    each = [f"{p.name} {s / S_PER_MIN:+.1f}" for p, s in zip(points, off_s, strict=True)]
    return measured(
        CHECKPOINT,
        case.standard,
        off_s[worst] / S_PER_MIN,
        sigma=float(np.hypot(passed[worst].sigma_s, case.takeoff.sigma_s)) / S_PER_MIN,
        where=f"{points[worst].name}, {clock(passed[worst].time_s)}",
        note="timed from the actual take-off: " + ", ".join(each),
    )


def checkpoint_passing(case: Case, point: PledgedPoint) -> Moment | None:
    """When the track came nearest to a point, and the doubt; None if it stayed away."""
    steps = case.aloft_index
    if steps.size == 0:
        return None
    plane = LocalPlane(lat_deg=point.lat_deg, lon_deg=point.lon_deg)
    away_nm = np.hypot(*plane.to_plane_nm(case.even.lat_deg[steps], case.even.lon_deg[steps]))
    nearest = int(np.argmin(np.where(np.isfinite(away_nm), away_nm, np.inf)))
    if not away_nm[nearest] <= PASSED_NM:
        return None
    step = int(steps[nearest])
    ground_kt = max(float(case.even.ground_kt[step]), 1.0)
    # Abeam is seen as well as the way is straight there: a tenth of the distance to the side.
    sigma_s = float(np.hypot(0.1 * away_nm[nearest] / ground_kt * S_PER_H, case.even.step_s))
    return Moment(time_s=float(case.even.time_s[step]), sigma_s=sigma_s)
