"""Fuel burned against time along a way."""

from dataclasses import dataclass

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.flight import Plan
from lubberline.units import MIN_PER_H
from lubberline.ways import Way


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Burn:
    """Fuel burned since the start against minutes after take-off, piecewise linear."""

    after_min: FloatArray
    used_gal: FloatArray

    def used(self, after_min: FloatArray | float) -> FloatArray:
        """Burned by then [gal]."""
        return np.asarray(np.interp(after_min, self.after_min, self.used_gal))

    def moment_min(self, used_gal: float) -> float:
        """When so much is burned, after take-off; taxi burns at the end of its time."""
        return float(np.interp(used_gal, self.used_gal, self.after_min))


def burn_of(plan: Plan, way: Way) -> Burn:
    """Take-off, the end of each leg, and the landing."""
    pattern_min = plan.flight.pattern_min
    steps_min = [0.0, *(leg.time_min for leg in way.legs), pattern_min]
    pattern_gal = pattern_min / MIN_PER_H * plan.aircraft.descent_gph
    used_gal = [plan.aircraft.taxi_gal, *(leg.fuel_gal for leg in way.legs), pattern_gal]
    return Burn(after_min=np.cumsum(steps_min), used_gal=np.cumsum(used_gal))
