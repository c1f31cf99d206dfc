"""How height and course were held in cruise, against the pledge and the chosen standard.

The judged cruise runs from when the airplane first came within 200 ft of the pledged height to
when it last was; level stretches within 400 ft of that height belong to it too, so that a height
held wrongly is judged and not left out. The climb into it, the descent out of it and a further
minute at either end are left out. If the flight never came near the pledged height, its longest
cruise is judged against it all the same.

Height is indicated height. The standards speak of heading, which few recorders keep: course is
judged on ground track against the planned course, so that wind allowed for is no error. Near a
turn in the plan no course is judged.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray, wrap_180_deg
from lubberline.flown.case import (
    NO_PLEDGE,
    Case,
    Measure,
    judged_by,
    limit_for,
    measured,
    not_known,
)
from lubberline.flown.even import STEADY_S, segment_bounds
from lubberline.flown.route import on_route, route_of
from lubberline.flown.standard import Standard, Tolerance
from lubberline.line import COVERAGE, Finding, Limit, unknown
from lubberline.recording import motion
from lubberline.units import S_PER_MIN

HEIGHT: Final = Measure(
    name="cruise_height_worst",
    label="height in cruise, worst",
    unit="ft",
    tolerances=("cruise_height_ft",),
)
HEIGHT_RMS: Final = Measure(
    name="cruise_height_rms",
    label="height in cruise, rms spread",
    unit="ft",
    tolerances=("cruise_height_rms_ft", "cruise_height_ft"),
)
COURSE: Final = Measure(
    name="course_worst",
    label="course in cruise, worst",
    unit="deg",
    tolerances=("cruise_course_deg",),
)
COURSE_RMS: Final = Measure(
    name="course_rms",
    label="course in cruise, rms spread",
    unit="deg",
    tolerances=("cruise_course_rms_deg", "cruise_course_deg"),
)
SETTLE_S: Final = 60.0  # left out at either end of the cruise
LEAST_S: Final = 60.0  # a shorter cruise is not judged
NEAR_FT: Final = 200.0  # own: this near, the cruising height is reached
SAME_FT: Final = 400.0  # own: a level stretch this near was meant to be at the cruising height
LEVEL_FPM: Final = 200.0  # own: faster at either end is still climb, or descent already
TURN_DEG: Final = 5.0  # own: a lesser change of course is not a turn
TURN_NM: Final = 1.5  # own: a rate-one turn of 90 deg at 150 kt begins 0.8 NM before the point
SMOOTH_S: Final = 7.0  # half window of the curve through the heights
COURSE_SIGMA_DEG: Final = 0.3  # own: course of the plan and of the fixes, systematic
NO_CRUISE: Final = "a recording that holds at least 3 min of level cruise"


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Held:
    """Deviations at the judged steps, shape (k,), in one unit.

    ``sigmas`` are the doubt that all of them share, and that of each for itself.
    """

    index: IntArray
    values: FloatArray
    sigmas: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class CruiseHeld:
    """Height and course held in the judged cruise, or what would supply them."""

    height: Held | str
    course: Held | str


def cruise_held(case: Case) -> CruiseHeld:
    """What was held, once for all who ask."""
    return CruiseHeld(height=held_height(case), course=held_course(case))


def cruise(case: Case, held: CruiseHeld) -> list[Finding]:
    """The findings on height and course held."""
    return [*_height(case, held.height), *_course(case, held.course)]


def judged_cruise(case: Case) -> IntArray:
    """Even steps of the cruise that is judged; empty if there is none."""
    if case.pledge is None or case.height.missing:
        spans = [(one.start_s, one.end_s) for one in case.phases if one.name == "cruise"]
    else:
        spans = _pledged_cruise_s(case, case.pledge.cruise_msl_ft)
    time_s = case.even.time_s[case.aloft_index]
    spans = [span for span in spans if ((time_s >= span[0]) & (time_s <= span[1])).any()]
    if not spans:
        return np.empty(0, dtype=np.int64)
    start_s, stop_s = _level_part_s(case, *max(spans, key=lambda span: span[1] - span[0]))
    settle_s, phases = _asked(case.standard)
    settled = (time_s >= start_s + settle_s) & (time_s <= stop_s - settle_s)
    if phases:
        settled &= within_phases(case, phases)
    index = case.aloft_index[settled]
    return index if index.size * case.even.step_s >= LEAST_S else index[:0]


def within_phases(case: Case, names: tuple[str, ...]) -> BoolArray:
    """True at the steps aloft that lie in a phase of one of these names."""
    time_s = case.even.time_s[case.aloft_index]
    inside = np.zeros(time_s.shape, dtype=bool)
    for one in case.phases:
        if one.name in names:
            inside |= (time_s >= one.start_s) & (time_s <= one.end_s)
    return inside


def smooth_curve(values: FloatArray, half_count: int) -> FloatArray:
    """A parabola fitted around each sample, evaluated there: noise goes, peaks stay [SG1964]_.

    Shape (m,) as ``values``; samples nearer to an end than the half window keep their value.
    """
    if values.size <= 2 * half_count or half_count < 2:
        return values.copy()
    weights = parabola_weights(half_count)
    smooth = values.copy()
    smooth[half_count : values.size - half_count] = np.convolve(values, weights, mode="valid")
    return np.where(np.isfinite(smooth), smooth, values)


def parabola_weights(half_count: int) -> FloatArray:
    """Weights of the parabola's value in the middle of the window; they add up to 1 [SG1964]_."""
    k = np.arange(-half_count, half_count + 1, dtype=np.float64)
    powers = np.vander(k, 3, increasing=True)
    return np.asarray(np.linalg.pinv(powers)[0])


def _asked(standard: Standard) -> tuple[float, tuple[str, ...]]:
    """What the standard leaves out at either end of a cruise, and in which phases it judges."""
    tolerance = standard.tolerance("cruise_height_ft")
    if tolerance is None:
        return SETTLE_S, ()
    return SETTLE_S if tolerance.settle_s is None else tolerance.settle_s, tolerance.phases


def _pledged_cruise_s(case: Case, level_ft: float) -> list[tuple[float, float]]:
    """First and last moment of the cruise at the pledged height, else all cruises."""
    index = case.aloft_index
    indicated_ft = smooth_height_ft(case)[index]
    time_s = case.even.time_s[index]
    cruises = [one for one in case.phases if one.name == "cruise"]
    reached_s = time_s[np.abs(indicated_ft - level_ft) <= NEAR_FT].tolist()
    for one in cruises:
        inside = (time_s >= one.start_s) & (time_s <= one.end_s)
        known_ft = indicated_ft[inside & np.isfinite(indicated_ft)]
        if known_ft.size and abs(float(np.median(known_ft)) - level_ft) <= SAME_FT:
            reached_s += [one.start_s, one.end_s]
    if not reached_s:
        return [(one.start_s, one.end_s) for one in cruises]
    return [(min(reached_s), max(reached_s))]


def smooth_height_ft(case: Case) -> FloatArray:
    """Indicated height without its noise, segment by segment."""
    smooth_ft = case.height.indicated_ft.copy()
    for start, stop in segment_bounds(case.even.segment_index):
        smooth_ft[start:stop] = smooth_curve(smooth_ft[start:stop], case.even.steps(SMOOTH_S))
    return smooth_ft


def held_height(case: Case) -> Held | str:
    """Height less the pledged one over the judged cruise, or what would supply it."""
    if case.pledge is None:
        return NO_PLEDGE
    if case.height.missing:
        return case.height.missing
    index = judged_cruise(case)
    smooth_ft = smooth_height_ft(case)
    index = index[np.isfinite(smooth_ft[index])]
    if index.size == 0:
        return NO_CRUISE
    weight = float(parabola_weights(max(2, case.even.steps(SMOOTH_S))).max())
    return Held(
        index=index,
        values=smooth_ft[index] - case.pledge.cruise_msl_ft,
        sigmas=(
            float(case.height.sigma_ft[index].mean()),
            case.height.noise_ft * float(np.sqrt(weight)),
        ),
    )


def held_course(case: Case) -> Held | str:
    """Ground track less the course of the plan over the judged cruise, or what would supply it."""
    route = None if case.pledge is None else route_of(case.pledge)
    if case.pledge is None or route is None:
        return NO_PLEDGE if case.pledge is None else "a pledge with a way between two places"
    index = judged_cruise(case)
    placed = on_route(route, case.even, index, turn_deg=TURN_DEG)
    track_true_deg, sigma_deg = _ground_track_deg(case, index)
    off_deg = wrap_180_deg(track_true_deg - placed.course_true_deg)
    judged: BoolArray = np.isfinite(off_deg) & (placed.to_turn_nm > TURN_NM)
    if not judged.any():
        return NO_CRUISE
    return Held(
        index=index[judged],
        values=off_deg[judged],
        sigmas=(COURSE_SIGMA_DEG, float(np.median(sigma_deg[judged]))),
    )


def _height(case: Case, held: Held | str) -> list[Finding]:
    if isinstance(held, str):
        return _neither(case, HEIGHT, HEIGHT_RMS, held)
    return _worst_and_spread(case, held, HEIGHT, HEIGHT_RMS, "")


def _course(case: Case, held: Held | str) -> list[Finding]:
    if isinstance(held, str):
        return _neither(case, COURSE, COURSE_RMS, held)
    note = "on ground track, not heading; turns in the plan left out"
    return _worst_and_spread(case, held, COURSE, COURSE_RMS, note)


def _ground_track_deg(case: Case, index: IntArray) -> tuple[FloatArray, FloatArray]:
    """Direction over the ground and its doubt at even steps: those of the nearest sample."""
    moved = motion(case.track, gaps=case.gaps, position_half_s=STEADY_S)
    at_s = case.even.time_s[index]
    after = np.clip(np.searchsorted(moved.time_s, at_s), 1, max(1, len(case.track) - 1))
    earlier = at_s - moved.time_s[after - 1] < moved.time_s[after] - at_s
    sample = np.where(earlier, after - 1, after)
    return moved.track_true_deg[sample], moved.track_sigma_deg[sample]


def _level_part_s(case: Case, start_s: float, stop_s: float) -> tuple[float, float]:
    """The same span without the climb into it and the descent out of it."""
    time_s = case.even.time_s[case.aloft_index]
    inside = (time_s >= start_s) & (time_s <= stop_s)
    level = inside & (np.abs(case.even.climb_fpm[case.aloft_index]) <= LEVEL_FPM)
    if not level.any():
        return start_s, stop_s
    return float(time_s[level][0]), float(time_s[level][-1])


def _neither(case: Case, worst: Measure, spread: Measure, missing: str) -> list[Finding]:
    return [
        not_known(worst, case.standard, missing),
        unknown(spread_limit(spread, case.standard), missing),
    ]


def _worst_and_spread(
    case: Case, held: Held, worst: Measure, spread: Measure, note: str
) -> list[Finding]:
    """The excursion with the least margin, and the root mean square."""
    limit = limit_for(worst, case.standard)
    ends = (int(np.argmin(held.values)), int(np.argmax(held.values)))
    at = min(ends, key=lambda k: (limit.margin(float(held.values[k])), -abs(held.values[k])))
    share = _share_sentence(case, limit, held)
    text = "; ".join(part for part in (share, note) if part)
    sigma = float(np.hypot(*held.sigmas))
    rms, rms_sigma = root_mean_square(held.values, held.sigmas[0])
    return [
        measured(
            worst,
            case.standard,
            float(held.values[at]),
            sigma=sigma,
            where=case.where(int(held.index[at])),
            note=text,
        ),
        judged_by(spread_limit(spread, case.standard), spread, rms, sigma=rms_sigma),
    ]


def root_mean_square(values: FloatArray, sigma: float) -> tuple[float, float]:
    """Root mean square of deviations, and its doubt from a common error of this sigma.

    The error e shifts all values alike: the square of the result moves by 2 e times their mean
    plus e squared, of which the variance is taken [JCGM100]_.
    """
    rms = float(np.sqrt(np.mean(values**2)))
    mean = float(np.mean(values))
    floor = max(rms, sigma / 2.0, 1e-9)
    first, second = mean * sigma / floor, sigma**2 / (np.sqrt(2.0) * floor)
    return rms, float(min(np.hypot(first, second), sigma))


def spread_limit(measure: Measure, standard: Standard) -> Limit:
    """The tolerance for a spread itself, else half of the one for the worst excursion."""
    own, whole = (standard.tolerance(name) for name in measure.tolerances)
    if own is not None or whole is None:
        return limit_for(measure, standard)
    return Limit(
        key=f"flown.{measure.name}",
        label=measure.label,
        unit=measure.unit,
        high=_narrow(whole) / COVERAGE,
        target=0.0,
        basis="own",
        source=f"own: half the tolerance of {standard.source(whole)}, which then holds about 95 %",
    )


def _narrow(tolerance: Tolerance) -> float:
    """The narrower side of a tolerance."""
    return min(abs(side) for side in (tolerance.low, tolerance.high) if side is not None)


def _share_sentence(case: Case, limit: Limit, held: Held) -> str:
    minutes = held.index.size * case.even.step_s / S_PER_MIN
    if limit.low is None and limit.high is None:
        return f"{minutes:.1f} min judged"
    low = -np.inf if limit.low is None else limit.low
    high = np.inf if limit.high is None else limit.high
    inside = np.mean((held.values >= low) & (held.values <= high))
    shown = np.floor(1000.0 * inside) / 10.0  # down: 100 % means all of it
    settle_s = _asked(case.standard)[0]
    ends = "first and last minute" if settle_s == SETTLE_S else f"first and last {settle_s:g} s"
    return f"inside for {shown:g} % of {minutes:.1f} min; {ends} left out"
