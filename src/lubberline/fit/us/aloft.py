"""Oxygen by cabin pressure altitude [14CFR91.211]_, lights by the sun [14CFR91.209]_.

The cabin is taken as not pressurized, so that its pressure altitude is that of the way; without
a setting the standard one is taken. Lights burn from sunset to sunrise, which is longer than
night is for other rules.
"""

from collections.abc import Iterator
from datetime import datetime
from typing import Final

import numpy as np

from lubberline.air import pressure_altitude_ft
from lubberline.arrays import FloatArray
from lubberline.earth import sun_position
from lubberline.fit.setting import times_utc
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown
from lubberline.places import Aerodrome
from lubberline.ways import Way
from lubberline.weather import altimeter_at

CREW_FT: Final = 12_500.0  # [14CFR91.211]_ (a)(1): more than 30 min above it, up to 14,000
CREW_ALWAYS_FT: Final = 14_000.0  # (a)(2): all the time above it
EVERYBODY_FT: Final = 15_000.0  # (a)(3): provided for each occupant above it
CREW_MIN: Final = 30.0
OXYGEN: Final = "oxygen"
LIGHTS: Final = "position lights"
SUNSET_DEG: Final = -50.0 / 60.0  # height of the sun's middle at sunset: [USNO-RST]_
_MOMENTS_COUNT: Final = 2_001
_READ: Final = "read 2026-11-25"


def oxygen_findings(plan: Plan, way: Way) -> Iterator[Finding]:
    """Minutes above each height without oxygen aboard; with it, that it is needed and there."""
    at_min, pressure_ft = _pressure_heights_ft(plan, way)
    for key, label, above_ft, most_min, clause in (
        ("crew", "minutes above 12,500 ft", CREW_FT, CREW_MIN, "(a)(1)"),
        ("always", "minutes above 14,000 ft", CREW_ALWAYS_FT, 0.0, "(a)(2)"),
        ("everybody", "minutes above 15,000 ft", EVERYBODY_FT, 0.0, "(a)(3)"),
    ):
        if key != "crew" and not (pressure_ft > above_ft).any():
            continue
        limit = Limit(
            key=f"pilot.oxygen_{key}",
            label=f"{label} cabin, no oxygen",
            unit="min",
            high=most_min,
            tolerance=15.0,
            basis="law",
            source=f"14 CFR 91.211{clause}, {_READ}",
        )
        yield _oxygen(plan, limit, _minutes_above(at_min, pressure_ft, above_ft))


def lights_finding(plan: Plan, way: Way) -> Finding:
    """Whether any of the flight is between sunset and sunrise without position lights."""
    limit = Limit(
        key="airplane.lights",
        label="lights lacking between sunset and sunrise",
        unit="",
        high=0.0,
        tolerance=1.0,
        basis="law",
        source=f"14 CFR 91.209(a), {_READ}; anti-collision lights: 91.209(b), partly from memory",
    )
    off_utc, on_utc = plan.flight.off_block_utc, times_utc(plan, way)[2]
    ends = ((plan.departure, off_utc), (plan.destination, on_utc))
    dark = [aerodrome.id for aerodrome, when_utc in ends if not _sun_is_up(aerodrome, when_utc)]
    if not dark:
        return Finding(limit=limit, value=0.0, note="the sun is up from block to block")
    fitted = plan.aircraft.equipment.fitted
    where = f"the sun is down at {' and '.join(dark)}"
    if fitted is None:
        return unknown(limit, "fitted in [equipment] of the aircraft file", where=where)
    broken = {one.name for one in plan.aircraft.equipment.inoperative}
    return Finding(limit=limit, value=float(LIGHTS not in fitted or LIGHTS in broken), where=where)


def _oxygen(plan: Plan, limit: Limit, spent_min: float) -> Finding:
    fitted = plan.aircraft.equipment.fitted
    needed = spent_min > (limit.high or 0.0)
    if not needed:
        return Finding(limit=limit, value=spent_min)
    where = f"{spent_min:.0f} min of the way"
    if fitted is None:
        return unknown(limit, "fitted in [equipment] of the aircraft file: oxygen", where=where)
    if OXYGEN in fitted:
        return Finding(
            limit=limit, value=0.0, where=where, note="oxygen is aboard: it must be used"
        )
    return Finding(limit=limit, value=spent_min, where=where)


def _pressure_heights_ft(plan: Plan, way: Way) -> tuple[FloatArray, FloatArray]:
    """Moments of the way [min] and the cabin's pressure altitude at each."""
    setting_inhg = altimeter_at(plan.weather, plan.flight.departure_id)
    at_min = np.linspace(0.0, float(way.path[-1, 3]), _MOMENTS_COUNT)
    msl_ft = np.interp(at_min, way.path[:, 3], way.path[:, 2])
    if setting_inhg is None:
        return at_min, msl_ft
    return at_min, np.asarray(pressure_altitude_ft(msl_ft, setting_inhg))


def _minutes_above(at_min: FloatArray, pressure_ft: FloatArray, above_ft: float) -> float:
    return float((pressure_ft > above_ft).mean() * at_min[-1])


def _sun_is_up(aerodrome: Aerodrome, when_utc: datetime) -> bool:
    _, elevation_deg = sun_position(aerodrome.lat_deg, aerodrome.lon_deg, when_utc)
    return float(elevation_deg) >= SUNSET_DEG
