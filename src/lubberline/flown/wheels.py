"""The moment at which wheels meet or leave the ground, where heights are fine enough to show it.

``liftoff`` fits the whole climb or descent and is hard to deceive; but a flare that ends in a slow
settling has no single bend. Here only the last feet count: from the first two heights in a row
that stand off the level of the roll, and so long before them, a level that turns into a descent
of its own rate over an own rounding is fitted for every moment on a grid. Noise or steps beyond a
foot and a half hide those feet, and the coarser moment stays. Wheels that bounced have touched
where the heights were lowest before they rose again.
"""

from dataclasses import replace
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, median
from lubberline.flown.even import step_noise
from lubberline.flown.liftoff import Moment, correlation_factor, ramp_s

GRID_S: Final = 0.1
AROUND_S: Final = 20.0  # of samples on either side of the coarse moment
BEFORE_S: Final = 3.0  # so near the coarse moment nothing is taken for roll
FEWEST_COUNT: Final = 4  # heights that make a level
ROLL_S: Final = 12.0  # so much of the roll fixes its level
FINE_FT: Final = 1.5  # own: rougher heights hide the last feet
LEAST_OFF_FT: Final = 1.0  # own: a wheel off the ground, against bumps and a pitching airplane
LEAST_SIGMA_FT: Final = 0.3
TOUCHDOWN_SPAN_S: Final = 2.0  # of the descent
LIFTOFF_SPAN_S: Final = 3.0
ROUNDINGS_S: Final = (0.0, 2.0, 4.0, 8.0)
STARTS: Final = (0.0, 0.3, 0.6, 1.0)  # of the rate at once, the rest over the rounding
STRUT_S: Final = 0.15  # own: from the first touch until tire and strut, a third of a foot, give way
FIRST_CLIMB_FPS: Final = 1.5  # own: so slowly it begins, that scatter hides when
GENTLE_S: Final = 0.3  # own: a climb begins from nothing
FLOOR_S: Final = 0.2  # own: a tire's squat, an airplane that rolls on one wheel
SLOW_S: Final = 2.5  # own: samples farther apart do not show the last feet
FAR_S: Final = (
    12.0  # own: so long an airplane may float at a height that the coarse fit takes for none
)
BOUNCE_S: Final = 10.0  # own: from the first touch until the wheels stay down
BOUNCE_FT: Final = 1.5  # own: the least that is one
TOUCHED_FT: Final = 2.5  # own: so low before them the wheels had touched ...
MISSED_FT: Final = 4.5  # own: ... and may have so between two samples a second apart


def fine_liftoff(
    time_s: FloatArray, height_ft: FloatArray, coarse: Moment, grain_ft: float
) -> Moment:
    """The moment of lift-off, finer than the coarse one if the heights show more.

    ``grain_ft`` is the least difference of heights that says anything.
    """
    found = _fine(time_s, height_ft, coarse, LIFTOFF_SPAN_S, grain_ft)
    if found is coarse:
        return coarse
    roll_ft = height_ft[np.isfinite(height_ft) & (np.abs(time_s - found.time_s + 10.0) <= 7.0)]
    scatter_ft = float(np.std(roll_ft)) if roll_ft.size >= FEWEST_COUNT else 0.0
    doubts_s = [found.sigma_s, scatter_ft / FIRST_CLIMB_FPS, GENTLE_S]
    return replace(found, sigma_s=float(np.linalg.norm(doubts_s)))


def fine_touchdown(
    time_s: FloatArray, height_ft: FloatArray, coarse: Moment, grain_ft: float
) -> Moment:
    """The moment of touchdown: ``fine_liftoff``, backward in time; the first before bounces."""
    back = Moment(time_s=-coarse.time_s, sigma_s=coarse.sigma_s)
    found = _fine(-time_s[::-1], height_ft[::-1], back, TOUCHDOWN_SPAN_S, grain_ft)
    if found is back:
        return coarse
    down = Moment(time_s=-found.time_s - STRUT_S, sigma_s=found.sigma_s)
    return _first_touch(time_s, height_ft, down) or down


def _first_touch(time_s: FloatArray, height_ft: FloatArray, down: Moment) -> Moment | None:
    """Where the wheels had touched before they bounced up again; None if they did not.

    A low point at which they may have touched leaves both moments open.
    """
    rolls = (time_s > down.time_s + 1.0) & (time_s <= down.time_s + ROLL_S)
    before = (time_s >= down.time_s - BOUNCE_S) & (time_s <= down.time_s)
    if rolls.sum() < FEWEST_COUNT or before.sum() < FEWEST_COUNT:
        return None
    rough_ft = float(np.std(height_ft[rolls]))
    above_ft = height_ft[before] - median(height_ft[rolls]) - 2.0 * rough_ft
    rises_ft = np.maximum.accumulate(above_ft[::-1])[::-1] - above_ft
    hops = (above_ft <= MISSED_FT) & (rises_ft >= max(BOUNCE_FT, 4.0 * rough_ft))
    if not hops.any():
        return None
    first = int(np.argmax(hops))
    while first + 1 < above_ft.size and above_ft[first + 1] <= above_ft[first]:
        first += 1
    first_s = float(time_s[before][first])
    open_s = 0.0 if above_ft[first] <= TOUCHED_FT else (down.time_s - first_s) / 2.0
    step_s = median(np.diff(time_s))
    sigma_s = float(np.linalg.norm([down.sigma_s, step_s / 2.0, open_s]))
    return Moment(time_s=first_s + open_s, sigma_s=sigma_s)


def _fine(
    time_s: FloatArray, height_ft: FloatArray, coarse: Moment, span_s: float, grain_ft: float
) -> Moment:
    near = np.isfinite(height_ft) & (np.abs(time_s - coarse.time_s) <= AROUND_S)
    after_s, height_ft = time_s[near] - coarse.time_s, height_ft[near]
    first = _first_off(after_s, height_ft, grain_ft)
    step_s = median(np.diff(after_s)) if after_s.size > 1 else np.inf
    if first is None or step_s > SLOW_S:
        return coarse
    last_s = after_s[first] + max(span_s, 2.0 * step_s)
    used = (after_s >= after_s[first] - ROLL_S) & (after_s <= last_s + 1e-6)
    moments_s = np.arange(after_s[first] - 6.0, after_s[first] + 1.0, GRID_S)
    found = _fit(after_s[used], height_ft[used], moments_s)
    if found is None or abs(found[0]) > FAR_S:
        return coarse
    return Moment(time_s=coarse.time_s + found[0], sigma_s=found[1])


def _first_off(after_s: FloatArray, height_ft: FloatArray, grain_ft: float) -> int | None:
    """The first of two heights in a row off the level of the roll; None if that is too rough."""
    roll_ft = height_ft[after_s <= -BEFORE_S]
    if roll_ft.size < FEWEST_COUNT:
        return None
    level_ft = median(roll_ft)
    scatter_ft = 1.4826 * median(np.abs(roll_ft - level_ft))
    grain_sigma_ft = grain_ft / float(np.sqrt(12.0))
    rough_ft = max(scatter_ft, step_noise(height_ft), grain_sigma_ft, LEAST_SIGMA_FT)
    if rough_ft > FINE_FT:
        return None
    off = np.abs(height_ft - level_ft) > max(LEAST_OFF_FT, grain_ft, 2.5 * rough_ft)
    off[after_s < -12.0] = False
    both = np.flatnonzero(off[:-1] & off[1:])
    return int(both[0]) if both.size else None


def _fit(
    after_s: FloatArray, height_ft: FloatArray, moments_s: FloatArray
) -> tuple[float, float] | None:
    """Moment and its doubt, from all fits weighted by likelihood."""
    bends_s, rounding_s, start = (
        one.ravel()
        for one in np.meshgrid(moments_s, np.array(ROUNDINGS_S), np.array(STARTS), indexing="ij")
    )
    since_s = after_s[None, :] - bends_s[:, None]
    at_once = start[:, None] * np.maximum(since_s, 0.0)
    ramp = at_once + (1.0 - start[:, None]) * ramp_s(since_s, rounding_s[:, None])
    centered = ramp - ramp.mean(axis=1, keepdims=True)
    offset_ft = height_ft - height_ft.mean()
    size = (centered**2).sum(axis=1)
    possible = (size > 0.0) & ((ramp > 0.0).sum(axis=1) >= 2)
    rate = np.where(possible, centered @ offset_ft / np.where(size > 0.0, size, 1.0), 0.0)
    residual_ft = offset_ft - rate[:, None] * centered
    misfit = np.where(possible & (rate > 0.0), (residual_ft**2).sum(axis=1), np.inf)
    best = int(np.argmin(misfit))
    if not np.isfinite(misfit[best]):
        return None
    freedom = max(1, after_s.size - 5)
    variance = misfit[best] / freedom * correlation_factor(_lag_1(residual_ft[best]))
    weight = np.exp(-(misfit - misfit[best]) / (2.0 * max(variance, LEAST_SIGMA_FT**2)))
    mean_s = float(np.average(bends_s, weights=weight))
    spread_s = float(np.sqrt(np.average((bends_s - mean_s) ** 2, weights=weight)))
    return mean_s, float(np.hypot(spread_s, FLOOR_S))


def _lag_1(residual_ft: FloatArray) -> float:
    total = float((residual_ft**2).sum())
    if total <= 0.0:
        return 0.0
    return min(max(float((residual_ft[1:] * residual_ft[:-1]).sum()) / total, 0.0), 0.95)
