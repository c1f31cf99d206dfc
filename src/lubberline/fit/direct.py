"""Straight to another field from any place along a way: distance, minutes and fuel, in wind.

Flown at normal cruise and the height of the way, in the wind forecast there; the descent takes
no less, so that the pattern at the other field is the only thing added. Wind is the same
everywhere at one height.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lubberline.air import isa_temperature_degc, pressure_altitude_ft, wind_triangle
from lubberline.aircraft import Performance, cruise_tas
from lubberline.arrays import FloatArray
from lubberline.earth import course_and_distance
from lubberline.fit.fuel import STANDARD_INHG, normal_cruise_gph
from lubberline.flight import Plan
from lubberline.places import Aerodrome
from lubberline.units import MIN_PER_H
from lubberline.ways import Way
from lubberline.weather import altimeter_at, wind_at


@dataclass(frozen=True, slots=True, kw_only=True)
class Direct:
    """How the airplane cruises straight to a field; wind 0 where none is forecast."""

    tas_kt: float
    flow_gph: float
    wind_from_true_deg: float
    wind_kt: float
    pattern_min: float
    pattern_gal: float

    def distance_nm(self, lat_deg: ArrayLike, lon_deg: ArrayLike, to: Aerodrome) -> FloatArray:
        """Along the geodesic from each place."""
        return course_and_distance(lat_deg, lon_deg, to.lat_deg, to.lon_deg)[1]

    def air_min(self, lat_deg: ArrayLike, lon_deg: ArrayLike, to: Aerodrome) -> FloatArray:
        """Minutes from each place to overhead; infinite where the wind does not let it."""
        course_deg, apart_nm = course_and_distance(lat_deg, lon_deg, to.lat_deg, to.lon_deg)
        _, ground_kt = wind_triangle(
            np.nan_to_num(course_deg),
            self.tas_kt,
            wind_from_true_deg=self.wind_from_true_deg,
            wind_kt=self.wind_kt,
        )
        flyable = ground_kt > 0.0
        minutes = apart_nm / np.where(flyable, ground_kt, 1.0) * MIN_PER_H
        return np.where(flyable | (apart_nm == 0.0), minutes, np.inf)

    def fuel_gal(self, lat_deg: ArrayLike, lon_deg: ArrayLike, to: Aerodrome) -> FloatArray:
        """Fuel from each place to the ground, pattern included."""
        air_gal = self.air_min(lat_deg, lon_deg, to) / MIN_PER_H * self.flow_gph
        return np.asarray(air_gal + self.pattern_gal)


def direct_of(plan: Plan, way: Way, *, weight_lb: float) -> Direct | Performance:
    """How this flight would go elsewhere; the figure that has no answer if a table has none."""
    flow = normal_cruise_gph(plan, way, weight_lb=weight_lb)
    setting_inhg = altimeter_at(plan.weather, plan.flight.departure_id)
    pressure_ft = pressure_altitude_ft(
        way.cruise_msl_ft, STANDARD_INHG if setting_inhg is None else setting_inhg
    )
    from_true_deg, wind_kt, oat_degc = (
        float(one) for one in wind_at(plan.weather.aloft, way.cruise_msl_ft)
    )
    standard_degc = float(isa_temperature_degc(pressure_ft))
    tas = cruise_tas(
        plan.aircraft,
        weight_lb=weight_lb,
        pressure_ft=float(pressure_ft),
        oat_degc=standard_degc if np.isnan(oat_degc) else oat_degc,
    )
    if flow.value is None or tas.value is None:
        return flow if flow.value is None else tas
    pattern_min = plan.flight.pattern_min
    return Direct(
        tas_kt=tas.value,
        flow_gph=flow.value,
        wind_from_true_deg=float(np.nan_to_num(from_true_deg)),
        wind_kt=float(np.nan_to_num(wind_kt)),
        pattern_min=pattern_min,
        pattern_gal=pattern_min / MIN_PER_H * plan.aircraft.descent_gph,
    )
