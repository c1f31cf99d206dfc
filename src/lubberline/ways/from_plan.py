"""A plan as a ways problem: the airplane's tables at the day's weight, pressure and temperature.

Heights above sea level become pressure heights by the day's altimeter setting. Temperature is
that of the winds-aloft rows, or else of the departure's report; between and beyond them the
difference from standard is held. Without either the tables are asked in standard air, and a
finding says so. The printed rates of climb are fitted by a straight line over the heights of
the flight. Indicated airspeeds are taken as calibrated.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from typing import Final

import numpy as np

from lubberline.air import isa_temperature_degc, pressure_altitude_ft, tas_from_cas_kt
from lubberline.aircraft import Performance, climb_rate, cruise_flow, cruise_tas, states
from lubberline.arrays import FloatArray
from lubberline.earth import course_and_distance, variation_deg
from lubberline.errors import NoSolution
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown
from lubberline.places import Aerodrome, in_force
from lubberline.units import HPA_PER_INHG, MIN_PER_H
from lubberline.ways.motion import wind_toward_kt
from lubberline.ways.problem import Motion, Rules, WayEnd, WaysProblem, midway_deg
from lubberline.ways.profile import LEVEL_OFF_NM, check_cruise
from lubberline.ways.room import margins_of
from lubberline.ways.slow_airspace import (
    SLOW_KT,
    SlowAirspace,
    calibrated_kt,
    slow_airspace,
)
from lubberline.ways.track import Place
from lubberline.weather import altimeter_at, temperature_at

LEAST_AGL_FT: Final = 500.0  # 14 CFR 91.119(c), read 2026-11-25
LEVELS_ABOVE_AGL_FT: Final = 3_000.0  # 14 CFR 91.159, read 2026-11-25
LEVEL_FPM: Final = 100.0  # own: no climb of the motion model is slower
STANDARD_INHG: Final = 1_013.25 / HPA_PER_INHG  # standard pressure at sea level
SLOW_FRACTION: Final = 0.6  # own: hours are asked for a flight as slow as this against cruise
LATE: Final = timedelta(minutes=30)  # own: and so late
_FIT_ROWS: Final = 9
_STEP_FT: Final = 10.0  # own: nearer to its end no table is asked


@lru_cache(maxsize=32)  # a plan is asked for the problem of the same few heights by every view
def problem_from_plan(plan: Plan, cruise_msl_ft: float) -> WaysProblem:
    """The problem of a plan for ways at one cruising height.

    Raises
    ------
    RangeError
        If the cruising height is not above both aerodromes.
    NoSolution
        If a table of the airplane has no answer at the day's weight, height and temperature.
    """
    check_cruise(cruise_msl_ft, plan.departure.elev_msl_ft, plan.destination.elev_msl_ft)
    motion = _motion(plan, cruise_msl_ft)
    return WaysProblem(
        name=plan.flight.title,
        description="",
        departure=_end(plan.departure),
        destination=_end(plan.destination),
        motion=motion,
        wind=plan.weather.aloft,
        margins=margins_of(plan),
        rules=_rules(plan, motion),
        terrain=plan.terrain,
        land_deg=plan.places.land_deg,
        volumes=in_force(plan.places.volumes, *flight_span(plan, motion)),
        points=tuple(plan.places.points.values()),
        slow=_slow(plan, motion),
    )


def _slow(plan: Plan, motion: Motion) -> SlowAirspace | None:
    """Where the speed is limited; None for an airplane that is never faster."""
    cruise_kt = float(calibrated_kt(motion.cruise_tas_kt, np.asarray(plan.departure.elev_msl_ft)))
    fastest_kt = max(cruise_kt, plan.aircraft.climb_ias_kt, plan.aircraft.descent_ias_kt)
    return slow_airspace(plan.places) if fastest_kt > SLOW_KT else None


def flight_span(plan: Plan, motion: Motion) -> tuple[datetime, datetime]:
    """When the flight may be in the air: from leaving the block to its end, slow and late."""
    slow_h = longest_nm(plan) / (SLOW_FRACTION * motion.cruise_tas_kt)
    off_utc = plan.flight.off_block_utc
    return off_utc, off_utc + timedelta(minutes=plan.flight.taxi_out_min, hours=slow_h) + LATE


def longest_nm(plan: Plan) -> float:
    """Length of the longest of the ways that are asked for, or straight across."""
    search = plan.flight.search
    asked = [one.via for one in plan.flight.candidates] + ([search.via] if search else [])
    lengths_nm = []
    for via in [(), *asked]:
        track: list[Place] = [plan.departure, *via, plan.destination]
        lat_deg, lon_deg = np.array([(one.lat_deg, one.lon_deg) for one in track]).T
        legs_nm = course_and_distance(lat_deg[:-1], lon_deg[:-1], lat_deg[1:], lon_deg[1:])[1]
        lengths_nm.append(float(legs_nm.sum()))
    return max(lengths_nm)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Air:
    """The air of the day as the tables ask for it; ``warmer_degc`` than standard by height."""

    weight_lb: float
    altimeter_inhg: float
    row_msl_ft: FloatArray
    warmer_degc: FloatArray

    def at(self, msl_ft: float) -> dict[str, float]:
        """Weight, pressure height and temperature, by axis name."""
        pressure_ft = float(pressure_altitude_ft(msl_ft, self.altimeter_inhg))
        warmer_degc = 0.0
        if self.row_msl_ft.size:
            warmer_degc = float(np.interp(msl_ft, self.row_msl_ft, self.warmer_degc))
        oat_degc = float(isa_temperature_degc(pressure_ft)) + warmer_degc
        return {"weight_lb": self.weight_lb, "pressure_ft": pressure_ft, "oat_degc": oat_degc}

    def tas_kt(self, cas_kt: float, msl_ft: float) -> float:
        """True airspeed at a height."""
        here = self.at(msl_ft)
        return float(tas_from_cas_kt(cas_kt, here["pressure_ft"], here["oat_degc"]))


def above_takeoff_lb(plan: Plan) -> float:
    """By how much the airplane is above its greatest take-off weight; negative below it."""
    return _air(plan).weight_lb - plan.aircraft.loading.max_takeoff_lb


def _air(plan: Plan) -> _Air:
    set_inhg = altimeter_at(plan.weather, plan.flight.departure_id)
    altimeter_inhg = STANDARD_INHG if set_inhg is None else set_inhg
    loading = states(
        plan.aircraft.loading,
        load_lb=plan.flight.load_lb,
        fuel_gal=plan.flight.fuel_gal,
        taxi_gal=plan.aircraft.taxi_gal,
        trip_gal=0.0,
    )
    row_msl_ft, row_degc = _temperatures(plan)
    pressure_ft = pressure_altitude_ft(row_msl_ft, altimeter_inhg)
    return _Air(
        weight_lb=loading.takeoff.weight_lb,
        altimeter_inhg=altimeter_inhg,
        row_msl_ft=row_msl_ft,
        warmer_degc=row_degc - isa_temperature_degc(pressure_ft),
    )


def _temperatures(plan: Plan) -> tuple[FloatArray, FloatArray]:
    """Heights and temperatures that are known: aloft, or else at the departure; may be none."""
    aloft = plan.weather.aloft
    known = np.isfinite(aloft.oat_degc)
    if known.any():
        return aloft.msl_ft[known], aloft.oat_degc[known]
    field_degc = temperature_at(plan.weather, plan.flight.departure_id)
    if field_degc is None:
        return np.empty(0), np.empty(0)
    return np.array([plan.departure.elev_msl_ft]), np.array([field_degc])


def air_guesses(plan: Plan) -> tuple[Finding, ...]:
    """What had to be assumed about the air: its temperature, where nothing is on file."""
    if _temperatures(plan)[0].size:
        return ()
    limit = Limit(
        key="ways.temperature",
        label="temperature along the way",
        unit="degC",
        basis="manual",
        source=f"{plan.aircraft.manual}: climb and cruise tables",
    )
    missing = "temperatures aloft in the flight file, or a report of the departure"
    return (unknown(limit, missing, note="reckoned in standard air"),)


def _motion(plan: Plan, cruise_msl_ft: float) -> Motion:
    air, aircraft = _air(plan), plan.aircraft
    climb_ft = (plan.departure.elev_msl_ft + cruise_msl_ft) / 2.0
    descent_ft = (plan.destination.elev_msl_ft + cruise_msl_ft) / 2.0
    climb_fpm, zero_climb_ft = _climb_line(plan, air, cruise_msl_ft)
    return Motion(
        climb_fpm=climb_fpm,
        zero_climb_ft=zero_climb_ft,
        descent_fpm=min(aircraft.descent_fpm, plan.pilot.own.descent_fpm or aircraft.descent_fpm),
        climb_tas_kt=air.tas_kt(aircraft.climb_ias_kt, climb_ft),
        cruise_tas_kt=_value(cruise_tas(aircraft, **air.at(cruise_msl_ft))),
        descent_tas_kt=air.tas_kt(aircraft.descent_ias_kt, descent_ft),
        ceiling_ft=aircraft.ceiling_ft,
        glide_ratio=aircraft.glide_ratio,
        climb_gph=aircraft.climb_gph,
        cruise_gph=_value(cruise_flow(aircraft, **air.at(cruise_msl_ft))),
        descent_gph=aircraft.descent_gph,
    )


def tabulated_ft(plan: Plan, known_ft: float) -> float:
    """Up to what height the airplane's tables answer today, at most its ceiling.

    ``known_ft`` is a height that they answer for.
    """
    low_ft, high_ft = known_ft, max(known_ft, plan.aircraft.ceiling_ft)
    if _is_tabulated(plan, high_ft):
        return high_ft
    while high_ft - low_ft > _STEP_FT:
        middle_ft = (low_ft + high_ft) / 2.0
        if _is_tabulated(plan, middle_ft):
            low_ft = middle_ft
        else:
            high_ft = middle_ft
    return low_ft


def _is_tabulated(plan: Plan, cruise_msl_ft: float) -> bool:
    try:
        _motion(plan, cruise_msl_ft)
    except NoSolution:
        return False
    return True


def _climb_line(plan: Plan, air: _Air, cruise_msl_ft: float) -> tuple[float, float]:
    """Rate of climb at sea level and the height where it is nothing, of the line that fits best.

    A rate that does not fall with height becomes a constant: the least on the way up.
    """
    heights_ft = np.linspace(plan.departure.elev_msl_ft, cruise_msl_ft, _FIT_ROWS)
    rates_fpm = [_value(climb_rate(plan.aircraft, **air.at(height))) for height in heights_ft]
    slope_per_min, at_sea_level_fpm = np.polyfit(heights_ft, rates_fpm, 1)
    if slope_per_min >= 0.0 or at_sea_level_fpm <= 0.0:
        return float(min(rates_fpm)), 0.0
    return float(at_sea_level_fpm), float(-at_sea_level_fpm / slope_per_min)


def _value(figure: Performance) -> float:
    if figure.value is None:
        raise NoSolution(f"the airplane's tables have no answer: {figure.missing}")
    return figure.value


def _end(aerodrome: Aerodrome) -> WayEnd:
    return WayEnd(
        id=aerodrome.id,
        lat_deg=aerodrome.lat_deg,
        lon_deg=aerodrome.lon_deg,
        elev_msl_ft=aerodrome.elev_msl_ft,
        pattern_agl_ft=aerodrome.pattern_agl_ft,
    )


def _rules(plan: Plan, motion: Motion) -> Rules:
    """The law's heights, and the pilot's own height above ground where it is greater."""
    lat_deg, lon_deg = midway_deg(plan.departure, plan.destination)
    least_agl_ft = max(LEAST_AGL_FT, plan.pilot.own.terrain_clearance_ft or 0.0)
    return Rules(
        min_agl_ft=least_agl_ft,
        aerodrome_radius_nm=_radius_nm(plan, motion, least_agl_ft),
        hemispheric=True,
        hemispheric_above_agl_ft=LEVELS_ABOVE_AGL_FT,
        variation_deg=float(variation_deg(lat_deg, lon_deg, 0.0, plan.flight.off_block_utc)),
        level_fpm=LEVEL_FPM,
    )


def _radius_nm(plan: Plan, motion: Motion, least_agl_ft: float) -> float:
    """How far from a field the airplane may be lower: as far as its own rates need.

    14 CFR 91.119 excepts what is necessary for take-off and landing. That is level flight at
    pattern height up to the field's neighborhood, and climb and descent with the wind behind.
    """
    pattern_ft = plan.destination.pattern_agl_ft
    low_ft = plan.destination.elev_msl_ft + pattern_ft
    wind_kt = float(np.hypot(*wind_toward_kt(plan.weather.aloft, low_ft)))
    descent_nm = (motion.descent_tas_kt + wind_kt) / MIN_PER_H * least_agl_ft / motion.descent_fpm
    climb_nm = (motion.climb_tas_kt + wind_kt) / MIN_PER_H * least_agl_ft / motion.climb_fpm
    return max(LEVEL_OFF_NM * max(1.0, least_agl_ft / pattern_ft), descent_nm, climb_nm)
