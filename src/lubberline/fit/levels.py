"""Oil and fuel aboard before the start, against the least that the manual asks for."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Final

from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown

READING_SERVES: Final = timedelta(days=1)  # own: the dipstick of the day, or of the evening before


def level_findings(plan: Plan) -> Iterator[Finding]:
    """A finding for each level that the airplane's file gives a least amount for."""
    if plan.aircraft.oil.min_qt is not None:
        yield _oil(plan)
    if plan.aircraft.systems.fuel_min_gal is not None:
        yield _fuel(plan, plan.aircraft.systems.fuel_min_gal)


def _oil(plan: Plan) -> Finding:
    """The dipstick's reading, if it is of the flight's day."""
    oil = plan.aircraft.oil
    limit = Limit(
        key="airplane.oil",
        label="oil",
        unit="qt",
        low=oil.min_qt,
        high=oil.max_qt,
        tolerance=1.0,
        basis="manual",
        source=f"{plan.aircraft.manual}, oil",
    )
    day = plan.flight.off_block_utc.date()
    missing = (
        f"the dipstick of {day}: read_qt and read_on under [oil] in {plan.flight.aircraft_file}"
    )
    if oil.read_qt is None or oil.read_on is None:
        return unknown(limit, missing)
    note = f"read {oil.read_on}"
    if abs(day - oil.read_on) > READING_SERVES:
        return unknown(limit, missing, note=f"{oil.read_qt:g} qt, {note}")
    return Finding(limit=limit, value=oil.read_qt, note=note)


def _fuel(plan: Plan, least_gal: float) -> Finding:
    """Usable fuel left for take-off after start and taxi."""
    limit = Limit(
        key="airplane.fuel_takeoff",
        label="fuel for take-off",
        unit="gal",
        low=least_gal,
        tolerance=10.0,
        basis="manual",
        source=f"{plan.aircraft.manual}, least fuel for take-off",
    )
    aboard_gal, taxi_gal = sum(plan.flight.fuel_gal.values()), plan.aircraft.taxi_gal
    return Finding(
        limit=limit,
        value=max(0.0, aboard_gal - taxi_gal),
        workings=(f"aboard {aboard_gal:g} gal, less start and taxi {taxi_gal:g} gal",),
    )
