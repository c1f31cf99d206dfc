"""Will it be in time: many draws of the flight with doubtful winds, taxi times and burn.

Each draw shifts the wind of the whole flight by one error, stretches the taxi times and scales
the burn; the legs are flown again with the wind triangle at their own airspeeds. The same draws
give the arrival and the fuel left. Seeded by the flight's date, so that the same flight has the
same answer. How wrong winds, taxi times and burn usually are is our own guess until flights
have taught better.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

import numpy as np

from lubberline.air import wind_triangle
from lubberline.arrays import FloatArray
from lubberline.flight import Plan
from lubberline.line import Finding, Limit
from lubberline.units import MIN_PER_H
from lubberline.ways import Way

APPOINTMENT: Final = "flight.appointment"
CLOSING: Final = "flight.closing"
ENDS: Final = {APPOINTMENT: "arrive_by_utc", CLOSING: "closes_utc"}  # keys of flight.toml
DRAWS_COUNT: Final = 20_000
WIND_SIGMA_KT: Final = 5.0  # own: of the forecast wind, east and north each
TAXI_SIGMA_FRACTION: Final = 0.3  # own: a queue at the runway, a long way to the stand
BURN_SIGMA_FRACTION: Final = 0.05  # own: of the planned burn
SURE_FRACTION: Final = 0.95
NEVER_MIN: Final = 1_440.0  # own: a leg that takes longer is not flown; that long it counts
NORMAL_95: Final = 1.6449  # standard deviations up to which 95 % of a normal lie


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Draws:
    """What many draws of one flight came to, shape (n,).

    ``block_min`` runs from off block to on block, ``used_gal`` is all fuel burned by then. A draw
    whose wind does not let the airplane fly a leg takes ``NEVER_MIN`` for it.
    """

    block_min: FloatArray
    used_gal: FloatArray

    def chance_fraction(self, hand_min: float) -> float:
        """How often the flight takes no longer than this many minutes."""
        return float(np.mean(self.block_min <= min(hand_min, NEVER_MIN)))

    @property
    def used_sigma_gal(self) -> float:
        """Standard uncertainty of the fuel burned, from its upper side."""
        median_gal, sure_gal = np.quantile(self.used_gal, [0.5, SURE_FRACTION])
        return float(sure_gal - median_gal) / NORMAL_95

    def sure_min(self, sure_fraction: float) -> float:
        """Minutes from off block to on block that suffice in this fraction of the draws."""
        return float(np.quantile(self.block_min, sure_fraction, method="higher"))


def draw(plan: Plan, way: Way, *, count: int = DRAWS_COUNT) -> Draws:
    """Fly a way many times in doubtful air.

    The wind's error is one vector for the whole flight, normal in east and north; taxi times
    are log-normal about the planned ones; the burn is normal about the planned one.
    """
    random = np.random.default_rng(plan.flight.off_block_utc.date().toordinal())
    leg_min = _leg_min(way, random.normal(0.0, WIND_SIGMA_KT, (2, count)))
    pattern_min = plan.flight.pattern_min
    taxi_ratio = np.exp(random.normal(0.0, TAXI_SIGMA_FRACTION, count))
    taxi_min = (plan.flight.taxi_out_min + plan.flight.taxi_in_min) * taxi_ratio
    flow_gph = np.array([leg.fuel_gal / max(leg.time_min, 1e-9) for leg in way.legs]) * MIN_PER_H
    air_gal = leg_min @ flow_gph / MIN_PER_H
    air_gal += pattern_min / MIN_PER_H * plan.aircraft.descent_gph
    burn_ratio = 1.0 + random.normal(0.0, BURN_SIGMA_FRACTION, count)
    return Draws(
        block_min=taxi_min + leg_min.sum(axis=1) + pattern_min,
        used_gal=(plan.aircraft.taxi_gal * taxi_ratio + air_gal) * burn_ratio,
    )


def _leg_min(way: Way, error_kt: FloatArray) -> FloatArray:
    """Minutes of each leg in each draw, shape (n, legs), at most ``NEVER_MIN``."""
    legs = way.legs
    from_rad = np.radians([leg.wind_from_true_deg for leg in legs])
    wind_kt = np.array([leg.wind_kt for leg in legs])
    toward_east_kt = -wind_kt * np.sin(from_rad) + error_kt[0][:, None]
    toward_north_kt = -wind_kt * np.cos(from_rad) + error_kt[1][:, None]
    _, ground_kt = wind_triangle(
        np.array([leg.true_deg for leg in legs]),
        np.array([leg.tas_kt for leg in legs]),
        wind_from_true_deg=np.degrees(np.arctan2(-toward_east_kt, -toward_north_kt)),
        wind_kt=np.hypot(toward_east_kt, toward_north_kt),
    )
    flyable = ground_kt > 0.0
    distance_nm = np.array([leg.distance_nm for leg in legs])
    leg_min = distance_nm / np.where(flyable, ground_kt, 1.0) * MIN_PER_H
    return np.where(flyable, np.minimum(leg_min, NEVER_MIN), NEVER_MIN)


def appointment_finding(plan: Plan, draws: Draws, arrive_by_utc: datetime) -> Finding:
    """Minutes in hand at the median arrival; its doubt is the spread of the draws."""
    return _in_hand(
        plan, draws, arrive_by_utc, key=APPOINTMENT, label="time in hand at arrival", said="wanted"
    )


def closing_finding(plan: Plan, draws: Draws, closes_utc: datetime) -> Finding:
    """The same before the destination, or what is wanted there, closes."""
    label = "time in hand before it closes"
    return _in_hand(plan, draws, closes_utc, key=CLOSING, label=label, said="closes")


def _in_hand(
    plan: Plan, draws: Draws, end_utc: datetime, *, key: str, label: str, said: str
) -> Finding:
    limit = Limit(
        key=key,
        label=label,
        unit="min",
        low=0.0,
        tolerance=30.0,
        basis="own",
        source=f"own: {ENDS[key]} in flight.toml",
    )
    hand_min = (end_utc - plan.flight.off_block_utc) / timedelta(minutes=1)
    median_min, sure_min = draws.sure_min(0.5), draws.sure_min(SURE_FRACTION)
    latest = [
        "never" if minutes >= NEVER_MIN else f"{end_utc - timedelta(minutes=minutes):%H:%MZ}"
        for minutes in (median_min, sure_min)
    ]
    return Finding(
        limit=limit,
        value=hand_min - median_min,
        sigma=(sure_min - median_min) / NORMAL_95,
        where=f"{said} {end_utc:%H:%MZ}, chance {_percent(draws.chance_fraction(hand_min))}",
        note=f"latest off block {latest[0]} for 50 %, {latest[1]} for 95 %",
    )


def _percent(chance_fraction: float) -> str:
    """A chance in whole percent; draws never prove never or always."""
    percent = round(100.0 * chance_fraction)
    return "over 99 %" if percent >= 100 else "under 1 %" if percent <= 0 else f"{percent} %"
