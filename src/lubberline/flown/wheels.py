"""The moment at which wheels meet or leave the ground, where heights are fine enough to show it.

``liftoff`` fits the whole climb or descent and is hard to deceive; but a flare that ends in a slow
settling has no single bend. Here only the last feet count: from the first two heights in a row
that stand off the level of the roll, and so long before them, a level that turns into a sink that
grows evenly is fitted for every moment, rate and growth on a grid. Noise or steps beyond a
foot and a half hide those feet, and the coarser moment stays. Wheels that bounced have touched
where the heights were lowest before they rose again.
"""

from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, median
from lubberline.flown.even import step_noise
from lubberline.flown.liftoff import Moment

_Motion = tuple[FloatArray, FloatArray]
AROUND_S: Final = 20.0  # of samples on either side of the coarse moment
BEFORE_S: Final = 3.0  # so near the coarse moment nothing is taken for roll
FEWEST_COUNT: Final = 4  # heights that make a level
ROLL_S: Final = 12.0  # so much of the roll fixes its level
FINE_FT: Final = 1.5  # own: rougher heights hide the last feet
LEAST_OFF_FT: Final = 1.0  # own: a wheel off the ground, against bumps and a pitching airplane
LEAST_SIGMA_FT: Final = 0.2
MOMENTS_S: Final = np.arange(-6.0, 1.0, 0.1)  # from the first height off the level
ROLLS_S: Final = 1.5  # so long before that height it rolls for sure
SPAN_S: Final = 2.0  # so long after it the motion is fitted
SHAPE_FRACTION: Final = 0.08  # own: of its height, by which no motion is as simple
FLOOR_S: Final = 0.2  # own: a tire's squat, an airplane that rolls on one wheel
# Own: vertical speeds at the moment [ft/s] and how they grow away from it [ft/s2]; alike to all.
FLARES: Final[_Motion] = (
    np.array([0.5, 0.8, 1.2, 1.8, 2.5, 3.5, 5.0, 7.0]),
    np.array([0.0, 0.2, 0.4, 0.7, 1.0, 1.5, 2.2]),
)
CLIMBS: Final[_Motion] = (
    np.array([0.0, 0.3, 0.8, 1.5, 3.0, 5.0]),
    np.array([0.3, 0.7, 1.2, 2.0, 3.2, 5.0]),
)
SETTLING_FPS: Final = 2.0  # own: what scatter hides of a slow settling
SLOW_S: Final = 2.5  # own: samples farther apart do not show the last feet
FAR_S: Final = 12.0  # own: an airplane may float so long where the coarse fit sees it roll
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
    return _fine(time_s, height_ft, coarse, CLIMBS, grain_ft)


def fine_touchdown(
    time_s: FloatArray, height_ft: FloatArray, coarse: Moment, grain_ft: float
) -> Moment:
    """The moment of touchdown: ``fine_liftoff``, backward in time; the first before bounces."""
    back = Moment(time_s=-coarse.time_s, sigma_s=coarse.sigma_s)
    found = _fine(-time_s[::-1], height_ft[::-1], back, FLARES, grain_ft)
    if found is back:
        return coarse
    down = Moment(time_s=-found.time_s, sigma_s=found.sigma_s)
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
    time_s: FloatArray, height_ft: FloatArray, coarse: Moment, motion: _Motion, grain_ft: float
) -> Moment:
    near = np.isfinite(height_ft) & (np.abs(time_s - coarse.time_s) <= AROUND_S)
    after_s, height_ft = time_s[near] - coarse.time_s, height_ft[near]
    first = _first_off(after_s, height_ft, grain_ft)
    step_s = median(np.diff(after_s)) if after_s.size > 1 else np.inf
    if first is None or step_s > SLOW_S:
        return coarse
    since_s = after_s - after_s[first]
    used = (since_s >= -ROLL_S) & (since_s <= max(SPAN_S, 2.0 * step_s) + 1e-6)
    found = _fit(since_s[used], height_ft[used], motion, grain_ft)
    if found is None or abs(found[0] + after_s[first]) > FAR_S:
        return coarse
    return Moment(time_s=coarse.time_s + float(after_s[first]) + found[0], sigma_s=found[1])


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
    since_s: FloatArray, height_ft: FloatArray, motion: _Motion, grain_ft: float
) -> tuple[float, float] | None:
    """Moment and its doubt: the mean over all moments and motions, weighted by likelihood.

    Level and scatter are those of the roll; a motion has a share of its own height as doubt.
    """
    roll_ft = height_ft[since_s <= -ROLLS_S]
    if roll_ft.size < FEWEST_COUNT:
        return None
    grain_sigma_ft = grain_ft / float(np.sqrt(12.0))
    sigma_ft = max(float(np.std(roll_ft, ddof=1)), grain_sigma_ft, LEAST_SIGMA_FT)
    moving = since_s >= MOMENTS_S[0]
    above_ft = height_ft[moving] - float(roll_ft.mean())
    rate_fps, gain_fps2 = motion[0][:, None, None], motion[1][:, None]
    aloft_s = np.maximum(since_s[moving] - MOMENTS_S[:, None], 0.0)[:, None, None, :]
    model_ft = rate_fps * aloft_s + gain_fps2 * aloft_s**2 / 2.0
    variance = sigma_ft**2 * (1.0 + 1.0 / roll_ft.size) + (SHAPE_FRACTION * model_ft) ** 2
    fits = -0.5 * ((above_ft - model_ft) ** 2 / variance + np.log(variance)).sum(axis=-1)
    weight = np.exp(fits - fits.max()).sum(axis=(1, 2))
    mean_s = float(np.average(MOMENTS_S, weights=weight))
    spread_s = float(np.sqrt(np.average((MOMENTS_S - mean_s) ** 2, weights=weight)))
    return mean_s, float(np.linalg.norm([spread_s, FLOOR_S, sigma_ft / SETTLING_FPS]))
