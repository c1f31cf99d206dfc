"""The level rule: cruising heights by magnetic course, and no way round it by sawing.

It holds in level flight more than so far above the ground. A climb or descent slower than a
given rate is level flight, and a descent that is turned into a climb needs half a minute of
level flight between. Courses are those of straight runs, at their middle.
"""

from collections.abc import Iterator
from math import inf
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, wrap_360_deg
from lubberline.earth import middle_course_deg
from lubberline.line import Finding, Limit, unknown
from lubberline.ways.courses import straight_runs
from lubberline.ways.heights import TERRAIN_DATA
from lubberline.ways.model import Violation
from lubberline.ways.problem import WaysProblem
from lubberline.ways.samples import Samples
from lubberline.ways.tolerance import VERTICAL_TOLERANCE_FT, Kept, stretches

LEVEL_BETWEEN_MIN: Final = 0.5  # the problem's definition: level time between down and up
# Own: rounded coordinates turn a course by less than this; due south is 180, not 179.999...
_COURSE_ROUNDING_DEG: Final = 0.01
_TIME_ROUNDING_MIN: Final = 1e-6


def check_levels(problem: WaysProblem, rows: Samples, sampled: Samples) -> Kept:
    """Level flight at the height for its magnetic course; nothing where the rule is not asked."""
    if not problem.rules.hemispheric:
        return Kept()
    above_ft = problem.rules.hemispheric_above_agl_ft + VERTICAL_TOLERANCE_FT
    off_ft, agl_ft = _off_level_ft(problem, rows, sampled), sampled.agl_ft
    asked_ft = np.where((agl_ft > above_ft) & np.isfinite(off_ft), off_ft, -inf)
    violations = tuple(
        Violation(
            rule="hemispheric",
            what="level at a height for another course",
            spot=sampled.spot(wrong.start),
            short_ft=float(np.max(asked_ft[wrong])),
        )
        for wrong in stretches(asked_ft > VERTICAL_TOLERANCE_FT)
    )
    open_question = (off_ft > VERTICAL_TOLERANCE_FT) & np.isnan(agl_ft)
    finding = _level_finding(problem, sampled, asked_ft, open_question)
    return Kept(violations=violations, findings=(finding,))


def check_turns(problem: WaysProblem, rows: Samples) -> Kept:
    """Level flight between a descent and the climb after it, where levels are asked for."""
    if not problem.rules.hemispheric:
        return Kept()
    above_ft = problem.rules.hemispheric_above_agl_ft + VERTICAL_TOLERANCE_FT
    violations: list[Violation] = []
    findings: list[Finding] = []
    limit = _turn_limit()
    for row, level_min in _turns_up(problem, rows):
        spot, agl_ft = rows.spot(row), rows.agl_ft[row]
        if np.isnan(agl_ft):
            findings.append(unknown(limit, TERRAIN_DATA, where=spot.words))
        elif agl_ft > above_ft:
            what = "a descent turned into a climb without level flight between"
            short_min = LEVEL_BETWEEN_MIN - level_min
            violations.append(
                Violation(rule="hemispheric", what=what, spot=spot, short_min=short_min)
            )
            findings.append(Finding(limit=limit, value=level_min, where=spot.words))
    return Kept(violations=tuple(violations), findings=tuple(findings))


def _level_finding(
    problem: WaysProblem, sampled: Samples, asked_ft: FloatArray, open_question: BoolArray
) -> Finding:
    """The greatest distance from the right level; unknown where the ground would decide it."""
    limit, worst = _level_limit(), int(np.argmax(asked_ft))
    if asked_ft[worst] <= VERTICAL_TOLERANCE_FT and open_question.any():
        where = sampled.spot(int(np.argmax(open_question))).words
        return unknown(limit, TERRAIN_DATA, where=where)
    if asked_ft[worst] == -inf:
        note = f"never level above {problem.rules.hemispheric_above_agl_ft:,.0f} ft AGL"
        return Finding(limit=limit, value=0.0, note=note)
    return Finding(limit=limit, value=float(asked_ft[worst]), where=sampled.spot(worst).words)


def _turns_up(problem: WaysProblem, rows: Samples) -> Iterator[tuple[int, float]]:
    """Rows at which a descent ends that becomes a climb too soon, with the level time between."""
    slope = np.sign(np.diff(rows.msl_ft)) * ~_is_level(problem, rows)
    lowest, level_min = None, 0.0
    for leg, (way_up, flown_min) in enumerate(zip(slope, np.diff(rows.after_min), strict=True)):
        if way_up < 0.0:
            lowest, level_min = leg + 1, 0.0
        elif way_up == 0.0:
            level_min += float(flown_min)
        else:
            if lowest is not None and level_min < LEVEL_BETWEEN_MIN - _TIME_ROUNDING_MIN:
                yield lowest, level_min
            lowest = None


def _is_level(problem: WaysProblem, rows: Samples) -> BoolArray:
    """Whether each leg climbs or descends slower than the rate that counts as level; (n - 1,)."""
    slow_ft = problem.rules.level_fpm * np.diff(rows.after_min)
    change_ft = np.abs(np.diff(rows.msl_ft))
    return np.asarray((change_ft < slow_ft) | (change_ft == 0.0))


def _off_level_ft(problem: WaysProblem, rows: Samples, sampled: Samples) -> FloatArray:
    """Distance from the right level at each sample in level flight, else NaN.

    A sample between two legs counts with the worse of them.
    """
    ends = straight_runs(rows.east_nm, rows.north_nm)
    lat_deg, lon_deg = rows.plane.to_degrees(rows.east_nm[ends], rows.north_nm[ends])
    true_deg = middle_course_deg(lat_deg[:-1], lon_deg[:-1], lat_deg[1:], lon_deg[1:])
    mag_deg = wrap_360_deg(true_deg - problem.rules.variation_deg + _COURSE_ROUNDING_DEG)
    leg = ((sampled.row_index[:-1] + sampled.row_index[1:]) / 2.0).astype(np.int64)
    course_deg = mag_deg[np.searchsorted(ends[1:], leg, side="right")]
    level = _is_level(problem, rows)[leg] & np.isfinite(course_deg)
    off_ft = [
        np.where(level, _from_level_ft(column, course_deg), np.nan)
        for column in (sampled.msl_ft[:-1], sampled.msl_ft[1:])
    ]
    return np.asarray(np.fmax(np.append(off_ft[0], np.nan), np.insert(off_ft[1], 0, np.nan)))


def _from_level_ft(msl_ft: FloatArray, mag_deg: FloatArray) -> FloatArray:
    """Distance to the nearest odd (0 to 179) or even (180 to 359) thousand plus 500 feet."""
    lowest_ft = np.where(mag_deg < 180.0, 1_500.0, 500.0)
    above_ft = np.mod(msl_ft - lowest_ft, 2_000.0)
    return np.minimum(above_ft, 2_000.0 - above_ft)


def _level_limit() -> Limit:
    return Limit(
        key="ways.hemispheric",
        label="off the level for the course",
        unit="ft",
        high=VERTICAL_TOLERANCE_FT,
        basis="law",
        source="14 CFR 91.159(a), read 2026-11-25",
    )


def _turn_limit() -> Limit:
    return Limit(
        key="ways.turn",
        label="level flight between descent and climb",
        unit="min",
        low=LEVEL_BETWEEN_MIN,
        basis="own",
        source="own: so that 14 CFR 91.159(a) is not got round by sawing",
    )
