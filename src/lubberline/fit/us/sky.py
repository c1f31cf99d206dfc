"""Where a way asks for a transponder and ADS-B Out, and where it limits the speed.

[14CFR91.215]_ (b) and [14CFR91.225]_ (d): in class A, B and C, above B and C up to 10,000 ft,
within 30 NM of a class B field up to 10,000 ft, and from 10,000 ft on, but for the lowest 2,500 ft
above the ground. Here a class B field is an aerodrome in the surface part of a class B airspace;
the rule lists them by name, and a published veil (letter V) counts as itself. The exceptions for
airplanes without an electrical system are not looked at. Where 200 kt indicated are the limit,
[14CFR91.117]_ (b) and (c), ways are flown no faster.
"""

from collections.abc import Iterator
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray
from lubberline.fit.crossing import Passing, passing
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown
from lubberline.places import Aerodrome, Height, Volume, distance_nm, surface_class
from lubberline.ways import SLOW_KT, Way, calibrated_kt, slow_airspace

ASKED: Final = ("transponder", "ADS-B Out")
TOP_FT: Final = 10_000.0
OVER_GROUND_FT: Final = 2_500.0
VEIL_NM: Final = 30.0
_READ: Final = "read 2026-11-25"


def sky_findings(plan: Plan, way: Way) -> Iterator[Finding]:
    """What the airspace of a way asks of the equipment; and its speed where 200 kt is the limit."""
    flown = passing(plan, way)
    yield _transponder(plan, flown)
    limited = slow_airspace(plan.places).holds(
        flown.plane, flown.east_nm, flown.north_nm, msl_ft=flown.msl_ft, ground_ft=flown.ground_ft
    )
    if limited.any():
        yield _speed(plan, way, flown, limited)


def _transponder(plan: Plan, flown: Passing) -> Finding:
    """Minutes in which it is asked for and something of it is not there."""
    limit = Limit(
        key="airplane.transponder_asked",
        label="minutes without transponder or ADS-B where asked for",
        unit="min",
        high=0.0,
        tolerance=5.0,
        basis="law",
        source=f"14 CFR 91.215(b) and 91.225(d), {_READ}",
    )
    asked = transponder_asked(plan, flown)
    spent_min = float(np.sum(_minutes(flown)[asked]))
    if not asked.any():
        return Finding(limit=limit, value=0.0, note="this way does not ask for them")
    where = f"asked for in {spent_min:.0f} min of the way"
    fitted = plan.aircraft.equipment.fitted
    if fitted is None:
        return unknown(limit, "fitted in [equipment] of the aircraft file", where=where)
    broken = {one.name for one in plan.aircraft.equipment.inoperative}
    lacking = [one for one in ASKED if one not in fitted or one in broken]
    note = f"lacking: {' and '.join(lacking)}; or with leave of control, 91.215(d), 91.225(g)"
    return Finding(
        limit=limit,
        value=spent_min if lacking else 0.0,
        where=where,
        note=note if lacking else "both are on board",
    )


def transponder_asked(plan: Plan, flown: Passing) -> BoolArray:
    """Samples in which the rules ask for a transponder."""
    below = flown.msl_ft < TOP_FT
    asked = (flown.msl_ft >= TOP_FT) & ~(flown.msl_ft - flown.ground_ft <= OVER_GROUND_FT)
    for volume in plan.places.volumes:
        if volume.airspace_class in "ABCV":
            inside = _beside(flown, volume) & _over(flown, volume.floor)
            if volume.airspace_class == "V":
                inside &= ~_over(flown, volume.ceiling)
            asked |= inside & below
    for field in plan.places.aerodromes.values():
        if surface_class(plan.places, field) == "B":
            asked |= below & (_away_nm(flown, field) <= VEIL_NM)
    return asked


def _speed(plan: Plan, way: Way, flown: Passing, limited: BoolArray) -> Finding:
    limit = Limit(
        key="flight.speed_limit",
        label="indicated speed where the limit is 200 kt",
        unit="kt",
        high=SLOW_KT,
        tolerance=20.0,
        basis="law",
        source=f"14 CFR 91.117(b) and (c), {_READ}",
    )
    planned_kt = _cas_kt(plan, way, flown)
    cas_kt = np.minimum(planned_kt, SLOW_KT)  # as ways are flown
    n = int(np.argmax(np.where(limited, cas_kt, -np.inf)))
    first_s = flown.at_s[0]
    where = f"{(flown.at_s[n] - first_s) / 60.0:.0f} min after take-off, {flown.msl_ft[n]:,.0f} ft"
    slower = limited & (planned_kt > SLOW_KT)
    slow_min = float(_minutes(flown)[slower].sum())
    note = f"{planned_kt[slower].max():.0f} kt but for the limit, " if slower.any() else ""
    note += f"slowed for {slow_min:.0f} min of the way" if note else ""
    return Finding(limit=limit, value=float(cas_kt[n]), where=where, note=note)


def _cas_kt(plan: Plan, way: Way, flown: Passing) -> FloatArray:
    """Calibrated speeds as planned: of climb and descent, and cruise by its true airspeed."""
    level_kt = max((leg.tas_kt for leg in way.legs if leg.phase == "cruise"), default=0.0)
    cruise_kt = calibrated_kt(level_kt, flown.msl_ft)
    rising = np.gradient(flown.msl_ft)
    slope_kt = np.where(rising > 0.0, plan.aircraft.climb_ias_kt, plan.aircraft.descent_ias_kt)
    return np.asarray(np.where(np.abs(rising) > 1.0, slope_kt, cruise_kt))


def _beside(flown: Passing, volume: Volume) -> BoolArray:
    """Whether a sample is within the outline of a volume, at whatever height."""
    away_nm = distance_nm(volume.footprint, flown.plane, flown.east_nm, flown.north_nm)
    return np.asarray(away_nm <= 0.0)


def _over(flown: Passing, floor: Height) -> BoolArray:
    """Whether a sample is at or above a height; over ground that is not known it counts as so."""
    floor_msl_ft = floor.ft if floor.reference == "MSL" else flown.ground_ft + floor.ft
    return ~(flown.msl_ft < floor_msl_ft)


def _away_nm(flown: Passing, field: Aerodrome) -> FloatArray:
    east_nm, north_nm = flown.plane.to_plane_nm(field.lat_deg, field.lon_deg)
    return np.asarray(np.hypot(flown.east_nm - east_nm, flown.north_nm - north_nm))


def _minutes(flown: Passing) -> FloatArray:
    """How long each sample stands for [min]."""
    return np.asarray(np.gradient(flown.at_s)) / 60.0
