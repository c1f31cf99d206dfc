"""How old the reports are when the flight leaves, and whether the forecasts reach as far.

A field without a report or forecast of its own is told by the nearest one within ``NEAR_NM`` that
has one, as the weather along the way is. Where none is near, age and reach are not known.
"""

from collections.abc import Collection, Iterator
from datetime import datetime, timedelta
from typing import Final

from lubberline.earth import course_and_distance
from lubberline.fit.along import NEAR_NM
from lubberline.fit.setting import times_utc
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown, worst_first
from lubberline.places import Aerodrome
from lubberline.ways import Way

MOST_AGE_MIN: Final = 120.0  # own: two of the hourly reports were missed
HOURLY_MIN: Final = 60.0  # reports are hourly; common practice, no source
_FILE: Final = 'the file that weather = "..." names'


def weather_age_findings(plan: Plan, way: Way) -> Iterator[Finding]:
    """The oldest report at off block of the ends, then the least reach of a forecast."""
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    ends = (plan.departure, plan.destination)
    yield worst_first(_report_age(plan, field) for field in ends)[0]
    uses = [(plan.destination, landing_utc), *((one, landing_utc) for one in plan.alternates)]
    if plan.departure.id in plan.weather.forecasts:  # its report may do for an early take-off
        uses.append((plan.departure, takeoff_utc))
    yield worst_first(_reach(plan, field, when_utc) for field, when_utc in uses)[0]


def _report_age(plan: Plan, field: Aerodrome) -> Finding:
    limit = Limit(
        key="flight.report_age",
        label="age of the reports",
        unit="min",
        high=MOST_AGE_MIN,
        buffer=MOST_AGE_MIN - HOURLY_MIN,
        tolerance=HOURLY_MIN,
        basis="own",
        source="own: reports are hourly, so that one over two hours old was missed twice",
    )
    off_utc = plan.flight.off_block_utc
    name = _teller(plan, field, plan.weather.reports)
    if name is None:
        near = f"a METAR of {field.id}, or of a field within {NEAR_NM:g} NM of it"
        return unknown(limit, f"{near}, in {plan.flight.weather_file or _FILE}", where=field.id)
    observed_utc = plan.weather.reports[name].observed_utc
    age = max(off_utc - observed_utc, timedelta(0))
    where = f"{field.id}, of {observed_utc:%d %H:%MZ}" + ("" if name == field.id else f" at {name}")
    return Finding(limit=limit, value=age / timedelta(minutes=1), where=where)


def _reach(plan: Plan, field: Aerodrome, when_utc: datetime) -> Finding:
    limit = Limit(
        key="flight.forecast_reach",
        label="reach of the forecasts",
        unit="min",
        low=0.0,
        buffer=HOURLY_MIN / 2.0,
        tolerance=HOURLY_MIN,
        basis="own",
        source="own: a forecast that holds when it is needed, and half an hour early or late",
    )
    name = _teller(plan, field, plan.weather.forecasts)
    if name is None:
        near = f"a TAF for {field.id}, or for a field within {NEAR_NM:g} NM of it"
        missing = f"{near}, that holds at {when_utc:%d %H:%MZ}, in"
        return unknown(limit, f"{missing} {plan.flight.weather_file or _FILE}", where=field.id)
    taf = plan.weather.forecasts[name]
    spare = min(when_utc - taf.valid_from_utc, taf.valid_until_utc - when_utc)
    span = f"{taf.valid_from_utc:%d %H:%MZ} to {taf.valid_until_utc:%d %H:%MZ}"
    told = "" if name == field.id else f" of {name}"
    where = f"{field.id} at {when_utc:%d %H:%MZ}; forecast{told} from {span}"
    return Finding(limit=limit, value=spare / timedelta(minutes=1), where=where)


def _teller(plan: Plan, field: Aerodrome, told: Collection[str]) -> str | None:
    """The field itself, else the nearest one within reach, among those whose texts are there."""
    if field.id in told:
        return field.id
    away = [
        (
            float(course_and_distance(field.lat_deg, field.lon_deg, one.lat_deg, one.lon_deg)[1]),
            name,
        )
        for name in told
        if (one := plan.places.aerodromes.get(name)) is not None
    ]
    near_nm, name = min(away, default=(NEAR_NM + 1.0, ""))
    return name if near_nm <= NEAR_NM else None
