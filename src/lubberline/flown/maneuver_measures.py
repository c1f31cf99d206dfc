"""Maneuvers held to the tolerances of their task, as far as the chosen standard gives them.

Height, airspeed and heading are compared with those at the entry, which is what the published
tasks ask; a bank that the task names is judged as it is. Where the standard has no tolerance for
a maneuver nothing is said about it; where the recording does not show what it asks for, the
finding is unknown.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, wrap_180_deg
from lubberline.flown.airwork import Airwork, off_course_deg, turned_deg
from lubberline.flown.case import Measure, clock, limit_for
from lubberline.flown.maneuvers import turn_runs
from lubberline.flown.model import Maneuver
from lubberline.flown.pylons import pivotal_off_ft
from lubberline.flown.standard import Standard, Tolerance
from lubberline.line import Finding, Limit, unknown

IAS_SIGMA_KT: Final = 2.0  # own: instrument and position error
ENTRY_S: Final = 3.0  # the entry is the mean of this much before
SETTLED_FRACTION: Final = 0.85  # of the steady bank: rolling in and out is not judged
FLOOR_STEP_FT: Final = 500.0  # own: a comfortable margin over the lowest height allowed
BANK_STEP_DEG: Final = 10.0
TURNING_BANK_DEG: Final = 10.0  # own: a stall entered with less was meant to be straight
LEVELED_S: Final = 15.0  # own: the height after an emergency descent
ESTABLISHED_KT: Final = 5.0  # own: as near to its speed the descent is established
STRAIGHT_DEG: Final = 45.0  # own: slow flight that turned by more meant to turn
TASKS: Final = {
    "steep turn": "steep_turn",
    "steep spiral": "steep_spiral",
    "chandelle": "chandelle",
    "lazy eight": "lazy_eight",
    "ground reference": "ground_reference",
    "slow flight": "slow_flight",
    "power-off stall": "power_off_stall",
    "power-on stall": "power_on_stall",
    "accelerated stall": "accelerated_stall",
    "level turn": "level_turn",
    "eights on pylons": "eights_on_pylons",
    "emergency descent": "emergency_descent",
}
AIM_IAS: Final = "the airspeed aimed at: name the maneuver in corrections.toml"
PLAIN_MISSING: Final = {
    "height": "heights over the whole maneuver",
    "airspeed": "a recording with indicated airspeed (ias_kt)",
    "bank": "attitude, or positions over the whole maneuver",
    "heading": "headings, or positions over the whole maneuver",
    "rollout": "headings, or positions over the whole maneuver",
    "floor": "terrain, or an aerodrome within 10 NM, and a height that is known",
    "ceiling": "terrain, or an aerodrome within 10 NM, and a height that is known",
}


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Flown:
    """One maneuver as steps of the airwork."""

    work: Airwork
    what: Maneuver
    start: int
    stop: int

    @property
    def entry(self) -> slice:
        """The steps just before, or the first ones if nothing is before."""
        return slice(max(0, self.start - self.work.steps(ENTRY_S)), self.start + 1)

    @property
    def part(self) -> slice:
        """The steps of the maneuver."""
        return slice(self.start, self.stop)


def maneuver_findings(
    work: Airwork, found: tuple[Maneuver, ...], standard: Standard
) -> list[Finding]:
    """The findings on all maneuvers; the second of a kind has a key that ends in 2, and so on."""
    findings: list[Finding] = []
    count: dict[str, int] = {}
    for what in found:
        task = TASKS.get(what.name)
        if task is None:
            continue
        count[task] = count.get(task, 0) + 1
        number = count[task]
        findings += [_numbered(one, number) for one in _of(work, what, task, standard)]
    return findings


def _numbered(finding: Finding, number: int) -> Finding:
    if number == 1:
        return finding
    limit = finding.limit
    key, label = f"{limit.key}.{number}", f"{limit.label} ({number})"
    return replace(finding, limit=replace(limit, key=key, label=label))


def _of(work: Airwork, what: Maneuver, task: str, standard: Standard) -> Iterator[Finding]:
    start = int(np.searchsorted(work.time_s, what.start_s - 1e-6))
    stop = int(np.searchsorted(work.time_s, what.end_s + 1e-6))
    if stop - start < 2:
        return
    flown = _Flown(work=work, what=what, start=start, stop=stop)
    prefix = f"{task}_"
    for name, tolerance in standard.tolerances.items():
        if name.startswith(prefix):
            kind = name.removeprefix(prefix).rsplit("_", 1)[0]
            if kind in PLAIN_MISSING and _is_asked(flown, kind):
                yield _judged(flown, tolerance, kind, standard)


def _is_asked(flown: _Flown, kind: str) -> bool:
    """A stall is held to its heading in straight flight, to its bank in a turn."""
    if not flown.what.name.endswith("stall") or kind not in ("heading", "bank"):
        return True
    bank_deg = np.abs(flown.work.bank_deg[flown.entry])
    if not np.isfinite(bank_deg).any():
        return True
    return (kind == "bank") == bool(np.nanmedian(bank_deg) >= TURNING_BANK_DEG)


def _aim_missing(flown: _Flown, kind: str) -> str:
    """What was aimed at and no recording tells; "" where the entry tells it."""
    what = flown.what
    if what.name == "emergency descent":
        if kind == "airspeed" and what.target_ias_kt is None:
            return AIM_IAS
        if kind == "height" and what.target_msl_ft is None:
            return "the height to level off at: name the maneuver in corrections.toml"
    if what.name != "slow flight":
        return ""
    if kind == "airspeed" and what.target_ias_kt is None:
        return AIM_IAS
    turns = abs(turned_deg(flown.work, flown.start, flown.stop)) > STRAIGHT_DEG
    if kind in ("heading", "bank") and turns:
        return f"the {kind} aimed at, for it turned: name its straight part in corrections.toml"
    return ""


def _judged(flown: _Flown, tolerance: Tolerance, kind: str, standard: Standard) -> Finding:
    limit = _limit(flown, tolerance, standard)
    where = f"{clock(flown.what.start_s)} to {clock(flown.what.end_s)}"
    deviations, at = _deviations(flown, kind)
    known = np.isfinite(deviations)
    if missing := _aim_missing(flown, kind):
        return unknown(limit, missing, where=where)
    if not known.any():
        return unknown(limit, PLAIN_MISSING[kind], where=where)
    values = deviations[known]
    worst = min(range(values.size), key=lambda k: (limit.margin(float(values[k])), -abs(values[k])))
    inside = np.mean([limit.margin(float(one)) >= 0.0 for one in values])
    share = f"; inside for {np.floor(100.0 * inside):g} % of it" if values.size > 2 else ""
    by = "named by the pilot" if flown.what.by_pilot else "recognized"
    return Finding(
        limit=limit,
        value=float(values[worst]),
        sigma=_sigma(flown.work, kind),
        where=f"{clock(float(flown.work.time_s[at[known][worst]]))}, {flown.what.name} {where}",
        note=f"{by}{share}{_beside(flown)}",
    )


def _beside(flown: _Flown) -> str:
    """What no tolerance judges but a pilot wants to see."""
    if flown.what.name != "eights on pylons":
        return ""
    off_ft = pivotal_off_ft(flown.work, flown.start, flown.stop)
    if not np.isfinite(off_ft).any():
        return ""
    return f"; {np.nanmin(off_ft):+.0f} to {np.nanmax(off_ft):+.0f} ft off the pivotal altitude"


def _limit(flown: _Flown, tolerance: Tolerance, standard: Standard) -> Limit:
    """The limit of a task: on the value itself where the task names a number, else on deviation."""
    name = tolerance.measure.rsplit("_", 1)[0]
    measure = Measure(
        name=name, label=tolerance.label, unit=tolerance.unit, tolerances=(tolerance.measure,)
    )
    limit = limit_for(measure, standard)
    target = tolerance.target
    if name.endswith("steep_turn_bank") and flown.what.target_bank_deg is not None:
        target = flown.what.target_bank_deg
    if target is None:
        return limit
    low = None if tolerance.low is None else target + tolerance.low
    high = None if tolerance.high is None else target + tolerance.high
    one_sided = low is None or high is None
    step = BANK_STEP_DEG if tolerance.unit == "deg" else FLOOR_STEP_FT
    return replace(
        limit,
        low=low,
        high=high,
        target=None if one_sided else target,
        tolerance=step if one_sided else None,
    )


def _sigma(work: Airwork, kind: str) -> float:
    if kind == "height":
        return work.height_sigma_ft
    if kind == "airspeed":
        return IAS_SIGMA_KT
    if kind in ("floor", "ceiling"):
        return work.ground_sigma_ft
    return work.bank_sigma_deg if kind == "bank" else work.heading_sigma_deg


def _deviations(flown: _Flown, kind: str) -> tuple[FloatArray, np.ndarray]:
    """What the task compares, and the steps at which: all of them, or its points only."""
    work, what = flown.work, flown.what
    steps = np.arange(flown.start, flown.stop)
    if kind == "rollout":
        off_deg = off_course_deg(work, flown.start, flown.stop)
        if what.name == "chandelle":
            off_deg = abs(turned_deg(work, flown.start, flown.stop)) - 180.0
        return np.array([off_deg]), steps[-1:]
    if kind in ("floor", "ceiling"):
        column = work.agl_ft[flown.part]
        if what.name == "ground reference":
            return column[:1], steps[:1]
        if not np.isfinite(column).any():
            return column, steps
        lowest = int(np.nanargmin(column))
        return column[lowest : lowest + 1], steps[lowest : lowest + 1]
    if kind == "bank":
        return _bank(flown, steps)
    points = _half_points(flown) if what.name == "lazy eight" else steps
    if kind == "heading":
        return _off_heading(flown, points), points
    if what.name == "emergency descent":
        return _descended(flown, kind)
    column = work.height_ft if kind == "height" else work.ias_kt
    at_entry = float(np.mean(column[flown.entry]))
    if kind == "airspeed" and what.target_ias_kt is not None:
        at_entry = what.target_ias_kt
    return column[points] - at_entry, points


def _descended(flown: _Flown, kind: str) -> tuple[FloatArray, np.ndarray]:
    """Airspeed off the target once it was reached; the height that was leveled off at."""
    work, what = flown.work, flown.what
    if kind == "height":
        after = np.arange(flown.stop, min(flown.stop + work.steps(LEVELED_S), len(work)))
        height_ft = work.height_ft[after] if work.is_indicated else np.full(after.size, np.nan)
        return height_ft - (what.target_msl_ft or 0.0), after
    steps = np.arange(flown.start, flown.stop)
    off_kt = work.ias_kt[steps] - (what.target_ias_kt or 0.0)
    down = np.flatnonzero(work.climb_fpm[steps] <= 0.7 * np.nanmin(work.climb_fpm[steps]))
    fast = np.flatnonzero(off_kt >= -ESTABLISHED_KT)
    first = max(int(fast[0]) if fast.size else 0, int(down[0]) if down.size else 0)
    last = max(int(down[-1]) + 1 if down.size else steps.size, first + 1)
    return off_kt[first:last], steps[first:last]


def _bank(flown: _Flown, steps: np.ndarray) -> tuple[FloatArray, np.ndarray]:
    """Bank as the task speaks of it; in a turn without rolling in and out."""
    bank_deg = np.abs(flown.work.bank_deg[flown.part])
    if (
        flown.what.name not in ("steep turn", "emergency descent")
        or not np.isfinite(bank_deg).any()
    ):
        return bank_deg, steps
    held = 60.0 if flown.what.name == "steep turn" else 90.0  # a descent is banked in part of it
    steep_deg = SETTLED_FRACTION * float(np.nanpercentile(bank_deg, held))
    settled = np.flatnonzero(bank_deg >= steep_deg)
    part = slice(int(settled[0]) + 2, max(int(settled[-1]) - 1, int(settled[0]) + 3))
    return bank_deg[part], steps[part]


def _half_points(flown: _Flown) -> np.ndarray:
    """The ends of the two halves of a lazy eight: where each turn ends."""
    inside = [
        stop - 1
        for start, stop in turn_runs(flown.work)
        if flown.start <= start and stop <= flown.stop
    ]
    return np.array(inside or [flown.stop - 1])


def _off_heading(flown: _Flown, points: np.ndarray) -> FloatArray:
    """Off the heading at entry; at the points of a lazy eight off half a circle or a whole one."""
    heading_deg = flown.work.heading_deg
    off_deg = heading_deg[points] - float(np.mean(heading_deg[flown.entry]))
    return np.asarray(
        wrap_180_deg(2.0 * off_deg) / 2.0
        if flown.what.name == "lazy eight"
        else wrap_180_deg(off_deg)
    )
