"""Numbers of airplane and pilot that one flight showed, beside what the plan had for them.

The plan's figure is that of the airplane's own tables on that day, at the height that was
cruised at; what was learned before and taken into the files is divided out of it, so that flights
from before and after compare.
"""

from collections.abc import Iterator
from math import hypot
from typing import Final, NamedTuple

import numpy as np

from lubberline.air import wind_east_north_kt
from lubberline.arrays import BoolArray, FloatArray
from lubberline.errors import NoSolution, RangeError
from lubberline.fit import rules_of
from lubberline.flight import Plan, Pledge
from lubberline.flown import Flown, Movement, at_utc, fuel_columns
from lubberline.recording import motion
from lubberline.store import Observed
from lubberline.units import S_PER_H, S_PER_MIN
from lubberline.ways import Motion, problem_from_plan
from lubberline.weather import wind_at

LEAST_S: Final = 120.0  # own: a shorter cruise, climb or descent teaches nothing
LEAST_FT: Final = 1_000.0  # own: nor does a lesser change of height
LEVEL_FPM: Final = 200.0  # own: faster than this is no level flight
FORECAST_KT: Final = 5.0  # own: how well a forecast wind is known
WITHIN_FRACTION: Final = 0.9  # nine times in ten, as pilot.toml has it
CLOCK_MIN: Final = 0.1  # own: how well a recording shows that the airplane moves
_HEIGHT_FT: Final = 30.0  # own: how well a difference of two recorded heights is known
_GAUGE_GPH: Final = 0.2  # own: a fuel flow meter reads to a tenth or two
_NIGHT_STEP_S: Final = 60.0


class _Where(NamedTuple):
    """One flight with what was planned for it."""

    plan: Plan
    flown: Flown
    pledge: Pledge | None
    planned: Motion | None


def observed_numbers(plan: Plan, flown: Flown, pledge: Pledge | None) -> tuple[Observed, ...]:
    """Every number that the flight shows well enough; what it does not show is left out."""
    case = _Where(plan, flown, pledge, _planned(plan, flown, pledge))
    found = [_cruise_tas(case), _climb(case), _descent(case), _height(case), _flow(case)]
    found += [*_taxi(case), _late(case), *_hours(case)]
    return tuple(one for one in found if one is not None)


def manual_figure(value: float, taken_factor: float | None) -> float:
    """A figure of the tables without what was learned and taken before."""
    return value if taken_factor is None else value / taken_factor


def _planned(plan: Plan, flown: Flown, pledge: Pledge | None) -> Motion | None:
    """The airplane's figures for that day; None where its tables have no answer."""
    level_ft = _level_ft(flown, pledge)
    if level_ft is None:
        return None
    try:
        return problem_from_plan(plan, level_ft).motion
    except (NoSolution, RangeError):
        return None


def _level_ft(flown: Flown, pledge: Pledge | None) -> float | None:
    if pledge is not None:
        return pledge.cruise_msl_ft
    held_ft = flown.track.indicated_ft[_in_phase(flown, flown.track.time_s, "cruise")]
    known_ft = held_ft[np.isfinite(held_ft)]
    return float(np.median(known_ft)) if known_ft.size else None


def _in_phase(flown: Flown, time_s: FloatArray, name: str) -> BoolArray:
    """True at the moments that lie in a phase of that name."""
    inside = np.zeros(time_s.shape, dtype=bool)
    for one in flown.phases:
        if one.name == name:
            inside |= (time_s >= one.start_s) & (time_s <= one.end_s)
    return inside


def _cruise_tas(case: _Where) -> Observed | None:
    """Mean true airspeed in level cruise: speed over the ground less the wind met."""
    recording = case.flown.recording
    moved = motion(recording.track, gaps=recording.gaps)
    level = _in_phase(case.flown, moved.time_s, "cruise") & np.isfinite(moved.track_true_deg)
    level &= ~(np.abs(moved.climb_fpm) > LEVEL_FPM)
    if level.sum() < 2 or _span_s(moved.time_s[level]) < LEAST_S:
        return None
    wind = _wind(case, moved.time_s[level])
    if wind is None:
        return None
    east_kt, north_kt, sigma_kt = wind
    course = np.radians(moved.track_true_deg[level])
    ground_kt = moved.ground_kt[level]
    air_kt = np.hypot(ground_kt * np.sin(course) - east_kt, ground_kt * np.cos(course) - north_kt)
    target = None
    if case.planned is not None:
        taken = case.plan.aircraft.learned.get("cruise_tas_factor")
        target = manual_figure(case.planned.cruise_tas_kt, taken)
    return Observed(
        key="cruise_tas_kt",
        unit="kt",
        value=float(np.mean(air_kt)),
        sigma=hypot(sigma_kt, float(np.median(moved.ground_sigma_kt[level]))),
        target=target,
    )


def _wind(case: _Where, time_s: FloatArray) -> tuple[float, float, float] | None:
    """East, north and doubt: the wind that was met in cruise, else the one that was forecast."""
    met = [
        one
        for one in case.flown.winds
        if one.start_s < time_s[-1] and one.end_s > time_s[0] and one.msl_ft > 0.0
    ]
    if met:
        best = min(met, key=lambda one: one.sigma_kt)
        east, north = wind_east_north_kt(best.from_true_deg, best.wind_kt)
        return float(east), float(north), best.sigma_kt
    level_ft = _level_ft(case.flown, case.pledge)
    if level_ft is None:
        return None
    from_true_deg, wind_kt, _ = wind_at(case.plan.weather.aloft, level_ft)
    if not np.isfinite(wind_kt):
        return None
    east, north = wind_east_north_kt(float(from_true_deg), float(wind_kt))
    return float(east), float(north), FORECAST_KT


def _climb(case: _Where) -> Observed | None:
    """Mean rate of climb over all climbs, and that of the tables between the same heights."""
    change = _change(case, "climb")
    if change is None or change[0] <= 0.0:
        return None
    gained_ft, spent_min, sigma_ft, pieces = change
    target = None
    if case.planned is not None:
        planned_min = sum(_climb_min(case.planned, low, high) for low, high in pieces)
        taken = case.plan.aircraft.learned.get("climb_fpm_factor")
        target = manual_figure(gained_ft / planned_min, taken)
    return Observed(
        key="climb_fpm",
        unit="fpm",
        value=gained_ft / spent_min,
        sigma=sigma_ft / spent_min,
        target=target,
    )


def _descent(case: _Where) -> Observed | None:
    change = _change(case, "descent")
    if change is None or change[0] >= 0.0:
        return None
    lost_ft, spent_min, sigma_ft, _ = change
    return Observed(
        key="descent_fpm",
        unit="fpm",
        value=-lost_ft / spent_min,
        sigma=sigma_ft / spent_min,
        target=None if case.planned is None else case.planned.descent_fpm,
    )


def _change(
    case: _Where, name: str
) -> tuple[float, float, float, list[tuple[float, float]]] | None:
    """Height changed [ft] in phases of one name, the minutes, the doubt, and the pieces."""
    track = case.flown.track
    changed_ft, spent_s, pieces = 0.0, 0.0, []
    for one in case.flown.phases:
        inside = (track.time_s >= one.start_s) & (track.time_s <= one.end_s)
        inside &= np.isfinite(track.indicated_ft)
        if one.name != name or inside.sum() < 2:
            continue
        height_ft = track.indicated_ft[inside]
        low_ft, high_ft = float(height_ft[0]), float(height_ft[-1])
        changed_ft += high_ft - low_ft
        spent_s += _span_s(track.time_s[inside])
        pieces.append((low_ft, high_ft))
    if spent_s < LEAST_S or abs(changed_ft) < LEAST_FT:
        return None
    return changed_ft, spent_s / S_PER_MIN, _HEIGHT_FT * len(pieces) ** 0.5, pieces


def _climb_min(planned: Motion, low_ft: float, high_ft: float) -> float:
    """Minutes that the straight line of the rates needs between two heights."""
    zero_ft = planned.zero_climb_ft
    if not zero_ft:
        return (high_ft - low_ft) / planned.climb_fpm
    low_fpm, high_fpm = (
        max(planned.climb_fpm * (1.0 - ft / zero_ft), 100.0) for ft in (low_ft, high_ft)
    )
    if low_fpm == high_fpm:
        return (high_ft - low_ft) / low_fpm
    return float(np.log(low_fpm / high_fpm) / (low_fpm - high_fpm) * (high_ft - low_ft))


def _height(case: _Where) -> Observed | None:
    """How near to the pledged height nine tenths of the cruise were flown."""
    track = case.flown.track
    if case.pledge is None:
        return None
    off_ft = np.abs(track.indicated_ft - case.pledge.cruise_msl_ft)
    inside = _in_phase(case.flown, track.time_s, "cruise") & np.isfinite(off_ft)
    if inside.sum() < 2 or _span_s(track.time_s[inside]) < LEAST_S:
        return None
    return Observed(
        key="height_keeping_ft",
        unit="ft",
        value=float(np.quantile(off_ft[inside], WITHIN_FRACTION)),
        sigma=_HEIGHT_FT,
        target=case.plan.pilot.height_keeping_ft,
    )


def _flow(case: _Where) -> Observed | None:
    """Fuel flow in cruise, where the recorder keeps one: all engines together."""
    track = case.flown.recording.track
    flows = fuel_columns(track, "_gph")
    if not flows:
        return None
    flow_gph = np.sum(flows, axis=0)
    inside = _in_phase(case.flown, track.time_s, "cruise") & np.isfinite(flow_gph)
    if inside.sum() < 2 or _span_s(track.time_s[inside]) < LEAST_S:
        return None
    target = None
    if case.planned is not None:
        taken = case.plan.aircraft.learned.get("cruise_gph_factor")
        target = manual_figure(case.planned.cruise_gph, taken)
    return Observed(
        key="cruise_gph",
        unit="gph",
        value=float(np.mean(flow_gph[inside])),
        sigma=_GAUGE_GPH,
        target=target,
    )


def _ends(flown: Flown) -> tuple[Movement | None, Movement | None]:
    """The first take-off and the last landing."""
    up = [one for one in flown.movements if one.kind == "take-off"]
    down = [one for one in flown.movements if one.kind == "landing"]
    return (up[0] if up else None), (down[-1] if down else None)


def _moving_s(flown: Flown) -> tuple[float | None, float | None]:
    """When it first moved and last stood; None where the recording does not hold the stand."""
    seen = [one for one in flown.phases if one.name != "gap"]
    moving = [one for one in seen if one.name != "parked"]
    if not moving:
        return None, None
    off_s = moving[0].start_s if seen[0].name == "parked" else None
    on_s = moving[-1].end_s if seen[-1].name == "parked" else None
    return off_s, on_s


def _taxi(case: _Where) -> Iterator[Observed]:
    off_s, on_s = _moving_s(case.flown)
    takeoff, landing = _ends(case.flown)
    spans = {
        "taxi_out_min": (off_s, takeoff.time_s if takeoff else None),
        "taxi_in_min": (landing.time_s if landing else None, on_s),
    }
    for key, (start_s, end_s) in spans.items():
        if start_s is not None and end_s is not None and end_s >= start_s:
            yield _minutes(key, end_s - start_s, getattr(case.plan.flight, key))


def _late(case: _Where) -> Observed | None:
    """Minutes that the landing came after the pledged time en route, from the real take-off."""
    takeoff, landing = _ends(case.flown)
    if case.pledge is None or takeoff is None or landing is None:
        return None
    pledged_s = (case.pledge.landing_utc - case.pledge.takeoff_utc).total_seconds()
    return _minutes("eta_error_min", landing.time_s - takeoff.time_s - pledged_s, 0.0)


def _minutes(key: str, length_s: float, target_min: float) -> Observed:
    return Observed(
        key=key, unit="min", value=length_s / S_PER_MIN, sigma=CLOCK_MIN, target=target_min
    )


def _hours(case: _Where) -> Iterator[Observed]:
    """What a logbook counts: from moving to standing, in the air, and in the air by night."""
    off_s, on_s = _moving_s(case.flown)
    if off_s is not None and on_s is not None:
        yield _hour("block_h", on_s - off_s)
    track = case.flown.track
    if track.time_s.size < 2:
        return
    step_s = np.diff(track.time_s)
    flown = track.segment_index[1:] == track.segment_index[:-1]
    yield _hour("airborne_h", float(step_s[flown].sum()))
    yield _hour("night_h", _night_s(case))


def _night_s(case: _Where) -> float:
    """Seconds in the air between the civil twilights, looked at once a minute."""
    track, is_night = case.flown.track, rules_of(case.plan).is_night
    moments = np.arange(track.time_s[0], track.time_s[-1], _NIGHT_STEP_S)
    nearest = np.clip(np.searchsorted(track.time_s, moments), 0, track.time_s.size - 1)
    near = np.abs(track.time_s[nearest] - moments) <= _NIGHT_STEP_S  # not in a gap
    return _NIGHT_STEP_S * sum(
        is_night(_Spot(float(track.lat_deg[k]), float(track.lon_deg[k])), at_utc(track.time_s[k]))
        for k in nearest[near]
    )


class _Spot(NamedTuple):
    lat_deg: float
    lon_deg: float


def _hour(key: str, length_s: float) -> Observed:
    return Observed(key=key, unit="h", value=length_s / S_PER_H, sigma=CLOCK_MIN / S_PER_MIN)


def _span_s(time_s: FloatArray) -> float:
    return float(time_s[-1] - time_s[0])
