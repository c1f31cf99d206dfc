"""Recordings that hold no flight: walks, drives on hilly roads, trains, a parked recorder."""

import numpy as np
from flown_flights import DT_S, START_S, Trace, recorded

from lubberline.arrays import FloatArray
from lubberline.recording import Recording


def drive(seed: int, *, minutes: float = 40.0, top_kt: float = 70.0) -> Recording:
    """A car on winding roads with grades up to 8 %, stopping at lights, on one level or another."""
    rng = np.random.default_rng(seed)
    count = round(minutes * 60.0 / DT_S)
    kt = _speeds_kt(rng, count, top_kt)
    along_nm = np.cumsum(kt) * DT_S / 3600.0
    # A bend is driven at 0.4 g at most: 4 m/s2 over the square of the speed, in rad per NM.
    most = 4.0 / np.maximum(kt * 0.5144, 3.0) ** 2 * 1852.0
    bend = np.clip(8.0 * _smooth(rng, along_nm, every_nm=0.15), -most, most)
    heading_rad = np.cumsum(bend * np.gradient(along_nm)) + rng.uniform(0.0, 6.28)
    grade_fraction = np.clip(0.04 * _smooth(rng, along_nm, every_nm=0.8), -0.08, 0.08)
    msl_ft = 900.0 + np.cumsum(grade_fraction * np.gradient(along_nm)) * 6076.0
    return _recorded(rng, kt, heading_rad, msl_ft)


def highway(seed: int, *, minutes: float = 30.0) -> Recording:
    """A straight, steep, fast road from a standing start to a standing stop: the hard case."""
    rng = np.random.default_rng(seed)
    count = round(minutes * 60.0 / DT_S)
    since_s = np.arange(count) * DT_S
    top_kt = rng.uniform(55.0, 75.0)
    kt = top_kt * np.clip(np.minimum(since_s - 120.0, since_s[-1] - 120.0 - since_s) / 15.0, 0, 1)
    along_nm = np.cumsum(kt) * DT_S / 3600.0
    heading_rad = np.full(count, rng.uniform(0.0, 6.28)) + 0.1 * _smooth(rng, along_nm, every_nm=1)
    grade_fraction = np.clip(0.05 * _smooth(rng, along_nm, every_nm=3.0), -0.07, 0.07)
    msl_ft = 2500.0 + np.cumsum(grade_fraction * np.gradient(along_nm)) * 6076.0
    return _recorded(rng, kt, heading_rad, msl_ft)


def walk(seed: int, *, minutes: float = 40.0) -> Recording:
    """On foot, over hills, with rests, and with fixes that wander between houses."""
    rng = np.random.default_rng(seed)
    count = round(minutes * 60.0 / DT_S)
    kt = np.where(np.repeat(rng.random(count // 600 + 1) < 0.2, 600)[:count], 0.0, 2.8)
    along_nm = np.cumsum(kt) * DT_S / 3600.0
    heading_rad = np.cumsum(rng.normal(0.0, 0.02, count))
    grade_fraction = np.clip(0.15 * _smooth(rng, along_nm, every_nm=0.1), -0.4, 0.4)
    msl_ft = 1200.0 + np.cumsum(grade_fraction * np.gradient(along_nm)) * 6076.0
    return _recorded(rng, kt, heading_rad, msl_ft, wander_m=25.0)


def parked(seed: int, *, minutes: float = 60.0) -> Recording:
    """A recorder that lies still under a roof: fixes and heights wander and sometimes jump."""
    rng = np.random.default_rng(seed)
    count = round(minutes * 60.0 / DT_S)
    zero = np.zeros(count)
    return _recorded(rng, zero, zero, np.full(count, 300.0), wander_m=40.0, jumps=True)


def train(seed: int, *, minutes: float = 40.0) -> Recording:
    """A fast train: up to 160 kt, wide curves, grades up to 4 %."""
    rng = np.random.default_rng(seed)
    count = round(minutes * 60.0 / DT_S)
    since_s = np.arange(count) * DT_S
    kt = 160.0 * np.clip(np.minimum(since_s - 60.0, since_s[-1] - 60.0 - since_s) / 240.0, 0, 1)
    along_nm = np.cumsum(kt) * DT_S / 3600.0
    heading_rad = 0.5 * _smooth(rng, along_nm, every_nm=5.0)
    grade_fraction = np.clip(0.02 * _smooth(rng, along_nm, every_nm=1.5), -0.04, 0.04)
    msl_ft = 600.0 + np.cumsum(grade_fraction * np.gradient(along_nm)) * 6076.0
    return _recorded(rng, kt, heading_rad, msl_ft)


def _speeds_kt(rng: np.random.Generator, count: int, top_kt: float) -> FloatArray:
    """Stretches of one speed with stops between, joined by what a car can accelerate."""
    seconds = int(count * DT_S) + 2
    target_kt = np.empty(0)
    while target_kt.size < seconds:
        kt = 0.0 if rng.random() < 0.25 else rng.uniform(15.0, top_kt)
        target_kt = np.append(target_kt, np.full(round(rng.uniform(20.0, 240.0)), kt))
    speeds_kt, now_kt = [], 0.0
    for want_kt in target_kt[:seconds].tolist():
        now_kt += min(max(want_kt - now_kt, -6.0), 4.0)
        speeds_kt.append(now_kt)
    at_s = np.arange(count) * DT_S
    return np.asarray(np.interp(at_s, np.arange(seconds), speeds_kt))


def _smooth(rng: np.random.Generator, along_nm: FloatArray, *, every_nm: float) -> FloatArray:
    """A random curve along the way, of standard deviation about 1."""
    count = int(along_nm[-1] / every_nm) + 4
    knots_nm = np.arange(count) * every_nm
    return np.asarray(np.interp(along_nm, knots_nm, rng.normal(0.0, 1.0, count)))


def _recorded(
    rng: np.random.Generator,
    kt: FloatArray,
    heading_rad: FloatArray,
    msl_ft: FloatArray,
    *,
    wander_m: float = 0.0,
    jumps: bool = False,
) -> Recording:
    count = kt.size
    step_nm: FloatArray = kt * DT_S / 3600.0
    east_nm = np.cumsum(step_nm * np.sin(heading_rad))
    north_nm = np.cumsum(step_nm * np.cos(heading_rad))
    time_s = np.asarray(START_S + np.arange(count) * DT_S)
    if wander_m:
        every = np.arange(0, count, 300)
        for axis in (east_nm, north_nm):
            axis += np.interp(np.arange(count), every, rng.normal(0, wander_m / 1852.0, every.size))
        msl_ft = msl_ft + np.interp(np.arange(count), every, rng.normal(0.0, 40.0, every.size))
    if jumps:
        starts = rng.integers(0, count, 12)
        for start in starts:
            stop = start + int(rng.uniform(50, 400))
            east_nm[start:stop] += rng.normal(0.0, 0.3)
            msl_ft[start:stop] += rng.normal(0.0, 400.0)
    trace = Trace(time_s, east_nm, north_nm, msl_ft, {})
    gnss_only = bool(rng.random() < 0.5)
    return recorded(
        trace,
        every_s=float(rng.choice([0.2, 1.0, 5.0])),
        fix_noise_m=3.0,
        height_noise_ft=8.0,
        pressure_shift_ft=None if gnss_only else 0.0,
        gnss_shift_ft=0.0,
        seed=int(rng.integers(1 << 30)),
    )
