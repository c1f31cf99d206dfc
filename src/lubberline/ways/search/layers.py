"""The heights a search flies level at: those that anything in the problem makes worth flying.

Both fields, just under floors and over ceilings with the margin, legal cruising heights, the
rows of the wind, the least heights; steps between where they lie far apart. At most 60, so that
a set of layers is one machine word.
"""

from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.ways.motion import slope_rate_fpm
from lubberline.ways.problem import WaysProblem

MOST: Final = 60
GAP_FT: Final = 500.0  # own: the widest gap between layers
_SAME_FT: Final = 1.0


def choose_layers(
    problem: WaysProblem, *, length_nm: float, ground_ft: FloatArray, bounds_ft: FloatArray
) -> FloatArray:
    """Heights above mean sea level, ascending.

    Parameters
    ----------
    problem : WaysProblem
    length_nm : float
        Distance between the fields.
    ground_ft : ndarray, shape (2,)
        Least and greatest ground of the region.
    bounds_ft : ndarray, shape (n,)
        Heights at which volumes are passed: floors less and ceilings plus the margin.
    """
    rules, ends = problem.rules, (problem.departure, problem.destination)
    fields_ft = np.array([end.elev_msl_ft for end in ends])
    top_ft = _top_ft(problem, length_nm, float(ground_ft[1]), bounds_ft)
    low_ft = min(float(fields_ft.min()), float(ground_ft[0]) + rules.min_agl_ft)
    wanted = [fields_ft, ground_ft + rules.min_agl_ft, fields_ft + rules.min_agl_ft]
    wanted += [bounds_ft, problem.wind.msl_ft, np.array([top_ft])]
    if rules.hemispheric:
        wanted += [ground_ft + rules.hemispheric_above_agl_ft, np.arange(500.0, top_ft, 1_000.0)]
    flat = ground_ft[0] == ground_ft[1]
    heights_ft = np.concatenate([np.asarray(part, dtype=np.float64) for part in wanted])
    heights_ft = heights_ft[(heights_ft >= low_ft) & (heights_ft <= top_ft)]
    heights_ft = np.union1d(heights_ft, fields_ft)
    gap_ft = GAP_FT if flat else GAP_FT / 2.0
    while True:
        kept_ft = _thinned(heights_ft, keep_ft=fields_ft, apart_ft=_SAME_FT)
        filled_ft = _filled(kept_ft, gap_ft)
        if filled_ft.size <= MOST:
            return filled_ft
        if kept_ft.size > MOST * 2 // 3:
            apart_ft = 50.0
            while kept_ft.size > MOST * 2 // 3:
                kept_ft = _thinned(heights_ft, keep_ft=fields_ft, apart_ft=apart_ft)
                apart_ft += 50.0
            heights_ft = kept_ft
        else:
            gap_ft *= 1.25


def _top_ft(
    problem: WaysProblem, length_nm: float, ground_ft: float, bounds_ft: FloatArray
) -> float:
    """The highest height worth looking at: what so long a flight reaches, or has to pass."""
    motion, rules = problem.motion, problem.rules
    fields_ft = max(problem.departure.elev_msl_ft, problem.destination.elev_msl_ft)
    over_ft = ground_ft + rules.min_agl_ft + 1_500.0
    passed_ft = bounds_ft[bounds_ft <= motion.ceiling_ft]
    over_ft = max(over_ft, float(passed_ft.max(initial=0.0)) + 1_000.0)
    heights_ft = np.arange(fields_ft, motion.ceiling_ft, 250.0)
    if heights_ft.size > 1:
        climb_min = 250.0 / slope_rate_fpm(motion, heights_ft, climbing=True)
        run_nm = np.cumsum(climb_min * motion.climb_tas_kt / 60.0)
        run_nm += np.arange(1, heights_ft.size + 1) * (
            250.0 / motion.descent_fpm * motion.descent_tas_kt / 60.0
        )
        reached = heights_ft[run_nm <= 1.5 * length_nm + 10.0]
        over_ft = max(over_ft, float(reached.max(initial=0.0)) + 250.0)
    return float(max(min(over_ft, motion.ceiling_ft), fields_ft))


def _thinned(heights_ft: FloatArray, *, keep_ft: FloatArray, apart_ft: float) -> FloatArray:
    """Ascending heights, those left that lie so far apart at least, both fields among them."""
    keep, out = set(keep_ft.tolist()), [-np.inf]
    for height in heights_ft.tolist():
        if height in keep or height - out[-1] >= apart_ft:
            out.append(height)
    return np.array(out[1:])


def _filled(heights_ft: FloatArray, gap_ft: float) -> FloatArray:
    """The heights, with even steps in whole hundreds where two lie farther apart than the gap."""
    apart_ft = np.diff(heights_ft)
    counts = np.maximum(np.ceil(apart_ft / gap_ft - 1e-9), 1.0).astype(np.int64)
    step_ft = np.repeat(apart_ft / counts, counts)
    place = np.arange(step_ft.size) - np.repeat(np.cumsum(counts) - counts, counts)
    low_ft, high_ft = (np.repeat(one, counts) for one in (heights_ft[:-1], heights_ft[1:]))
    between_ft = np.round(place * step_ft + low_ft, -2)
    between_ft = between_ft[(between_ft > low_ft) & (between_ft < high_ft) & (place > 0)]
    return np.union1d(heights_ft, between_ft)
