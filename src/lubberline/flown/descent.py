"""The way down: where it began, how steep, how steady, and how gently the engine was treated.

What needs a channel of the engine is measured only where one was recorded. That power comes off in
small steps and cylinders cool slowly is common practice, no source: no published limit exists.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import Final

import numpy as np

from lubberline.aircraft import Aircraft
from lubberline.arrays import BoolArray, FloatArray
from lubberline.earth import LocalPlane
from lubberline.flight import Pledge
from lubberline.flown.case import Case, clock
from lubberline.flown.even import runs
from lubberline.flown.gauge import Gauge, Reading
from lubberline.flown.levels import LEVEL_FPM
from lubberline.units import S_PER_H, S_PER_MIN

START: Final = Gauge(
    name="descent_start", label="descent begun late of the pledged point", unit="NM",
    why="two minutes at 90 kt to either side", low=-3.0, high=3.0,
)  # fmt: skip
RATE: Final = Gauge(
    name="descent_rate", label="steepest descent over half a minute", unit="ft/min",
    why="as steep as with power on, and ears, can be", high=1_000.0,
)  # fmt: skip
LEVEL_OFFS: Final = Gauge(
    name="descent_level_offs", label="level stretches on the way down", unit="",
    why="one steady descent, and one step for airspace or traffic", high=1.0,
)  # fmt: skip
POWER_INHG: Final = Gauge(
    name="descent_power", label="manifold pressure taken off in a minute, most", unit="inHg",
    why="common practice, no source: two inches a minute", high=2.0,
)  # fmt: skip
POWER_RPM: Final = Gauge(
    name="descent_power_rpm", label="revolutions taken off in a minute, most", unit="rpm",
    why="common practice, no source: two hundred a minute", high=200.0,
)  # fmt: skip
COOLING: Final = Gauge(
    name="cooling_rate", label="cylinder head cooling, fastest", unit="degC/min",
    why="common practice, no source: 60 degrees Fahrenheit a minute at most", high=33.0,
)  # fmt: skip
LEVEL_S: Final = 30.0
RATE_S: Final = 30.0
CORNER_S: Final = 30.0  # corners of phases lie so near the true ones
AT_LEVEL_FT: Final = 1.0
CYLINDER_SIGMA_DEGC: Final = 1.0  # own: of a probe, from one minute to the next


def descent_readings(case: Case, aircraft: Aircraft | None) -> list[Reading]:
    """All measures of the way down; none where the flight has no descent out of a cruise."""
    down = _way_down(case)
    if down is None:
        return []
    found = [
        None if case.pledge is None else _start(case, case.pledge, down),
        _rate(case, down),
        _level_offs(case, down),
        _power(case, down, aircraft),
        _cooling(case, down),
    ]
    return [one for one in found if one is not None]


def _way_down(case: Case) -> tuple[float, float] | None:
    """From the first descent after the last cruise to the last touchdown or the end."""
    cruises = [one for one in case.phases if one.name == "cruise"]
    if not cruises or not case.aloft_index.size:
        return None
    last_s = float(case.even.time_s[case.aloft_index[-1]])
    # A level stretch within the way down is a cruise of its own: the longest is the cruise.
    longest = max(cruises, key=lambda one: one.end_s - one.start_s)
    start_s = next(
        (
            p.start_s
            for p in case.phases
            if p.name == "descent" and p.start_s >= longest.end_s - 1.0
        ),
        None,
    )
    return None if start_s is None or start_s >= last_s else (start_s, last_s)


def _start(case: Case, pledge: Pledge, down: tuple[float, float]) -> Reading:
    """How much nearer to the destination it began than was pledged."""
    points = pledge.points
    level = [k for k, one in enumerate(points) if one.msl_ft >= pledge.cruise_msl_ft - AT_LEVEL_FT]
    if not level or level[-1] + 1 >= len(points):
        missing = "a pledge that says where the descent begins"
        return Reading(gauge=START, value=np.nan, sigma=0.0, missing=missing)
    plane = LocalPlane(lat_deg=points[-1].lat_deg, lon_deg=points[-1].lon_deg)
    pledged = points[level[-1]]
    at = int(np.searchsorted(case.even.time_s, down[0]))
    pledged_nm = float(np.hypot(*plane.to_plane_nm(pledged.lat_deg, pledged.lon_deg)))
    here = (float(case.even.lat_deg[at]), float(case.even.lon_deg[at]))
    flown_nm = float(np.hypot(*plane.to_plane_nm(*here)))
    ground_kt = float(case.even.ground_kt[at])
    return Reading(
        gauge=START, value=pledged_nm - flown_nm, sigma=ground_kt * CORNER_S / 2.0 / S_PER_H,
        where=case.where(at),
        note=f"{flown_nm:.1f} NM before the destination, pledged {pledged_nm:.1f}",
    )  # fmt: skip


def _within(case: Case, down: tuple[float, float]) -> BoolArray:
    return np.asarray((case.even.time_s >= down[0]) & (case.even.time_s <= down[1]))


def _rate(case: Case, down: tuple[float, float]) -> Reading:
    """The greatest loss of height over any half minute, as a rate; the mean in the note."""
    rows = np.flatnonzero(_within(case, down) & np.isfinite(case.even.height_ft))
    every = case.even.steps(RATE_S)
    if rows.size <= every:
        return Reading(gauge=RATE, value=np.nan, sigma=0.0, missing="heights on the way down")
    time_s, height_ft = case.even.time_s[rows], case.even.height_ft[rows]
    sink_fpm = (
        (height_ft[:-every] - height_ft[every:]) / (time_s[every:] - time_s[:-every]) * S_PER_MIN
    )
    worst = int(np.argmax(sink_fpm))
    mean_fpm = (height_ft[0] - height_ft[-1]) / (time_s[-1] - time_s[0]) * S_PER_MIN
    noise_ft = max(case.height.noise_ft, 1.0)
    return Reading(
        gauge=RATE, value=float(sink_fpm[worst]),
        sigma=float(np.sqrt(2.0)) * noise_ft / RATE_S * S_PER_MIN,
        where=clock(float(time_s[worst])),
        note=f"mean {mean_fpm:.0f} ft/min to the last touchdown",
    )  # fmt: skip


def _level_offs(case: Case, down: tuple[float, float]) -> Reading:
    """Stretches of half a minute and more without descent, above the pattern."""
    ends = [
        one.start_s
        for one in case.phases
        if one.start_s > down[0] and one.name not in ("descent", "cruise", "climb")
    ]
    rows = _within(case, (down[0], min(ends, default=down[1])))
    level = rows & (np.abs(case.even.climb_fpm) < LEVEL_FPM)
    held = [
        (a, b) for a, b in runs(level, case.even.segment_index) if b - a >= case.even.steps(LEVEL_S)
    ]
    at = ", ".join(clock(float(case.even.time_s[a])) for a, _ in held[:3])
    return Reading(gauge=LEVEL_OFFS, value=float(len(held)), sigma=0.0, where=at)


def _channels(case: Case, ending: str, fits: Callable[[str], bool]) -> list[FloatArray]:
    return [
        column for name, column in case.track.channels.items()
        if name.endswith(ending) and fits(name) and np.isfinite(column).any()
    ]  # fmt: skip


def _power(case: Case, down: tuple[float, float], aircraft: Aircraft | None) -> Reading | None:
    """The most that was taken off within one minute."""
    plan = None if aircraft is None else aircraft.power_down
    name = "" if aircraft is None else aircraft.name
    gauge = POWER_INHG
    columns = _channels(case, "_inhg", lambda n: n.startswith(("manifold", "map")))
    if not columns or (plan is not None and plan.unit == "rpm"):
        rpm = _channels(case, "rpm", lambda n: "prop" not in n)
        gauge, columns = (POWER_RPM, rpm) if rpm else (gauge, columns)
    if not columns:
        return None
    if plan is not None and plan.unit == gauge.unit:
        step = plan.step / min(plan.each_min, 1.0)
        gauge = replace(gauge, why=f"[power_down] of {name}", high=step)
    fallen = _most_fallen(case, down, columns)
    if fallen is None:
        return None
    sigma = 0.2 if gauge.unit == "inHg" else 15.0  # own: a gauge's needle
    return Reading(gauge=gauge, value=fallen[0], sigma=sigma, where=clock(fallen[1]))


def _cooling(case: Case, down: tuple[float, float]) -> Reading | None:
    """The fastest fall of any cylinder over a minute."""
    columns = _channels(case, "_degc", lambda n: n.startswith(("cht", "cylinder")))
    fallen = _most_fallen(case, down, columns)
    if fallen is None:
        return None
    return Reading(gauge=COOLING, value=fallen[0], sigma=CYLINDER_SIGMA_DEGC,
                   where=clock(fallen[1]), note=f"of {len(columns)} cylinders")  # fmt: skip


def _most_fallen(
    case: Case, down: tuple[float, float], channels: list[FloatArray]
) -> tuple[float, float] | None:
    """The greatest fall of any column over one minute on the way down, and when it began."""
    at_s = np.arange(down[0], down[1], 1.0)
    if not channels or at_s.size <= int(S_PER_MIN):
        return None
    best = (0.0, down[0])
    for column in channels:
        known = np.isfinite(column)
        value = np.interp(at_s, case.track.time_s[known], column[known])
        fallen = value[: -int(S_PER_MIN)] - value[int(S_PER_MIN) :]
        k = int(np.argmax(fallen))
        best = max(best, (float(fallen[k]), float(at_s[k])))
    return best
