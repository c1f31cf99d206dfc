"""Over water beyond gliding reach of land: what must be aboard for hire, and what to think of.

[14CFR91.205]_ (b)(12): for hire, beyond power-off gliding distance from shore, flotation gear for
each occupant within easy reach and a pyrotechnic signal. Other flights are asked for nothing;
then the minutes are held against the pilot's own limit, or shown as close, since cold water asks
no questions.
"""

from collections.abc import Iterator
from typing import Final

from lubberline.errors import NoSolution, RangeError
from lubberline.fit.operation import operation_of
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown
from lubberline.ways import Beyond, Way, along_way, beyond_land, problem_of

ASKED: Final = ("life jackets", "signal flares")
_READ: Final = "read 2026-11-25"


def water_findings(plan: Plan, way: Way) -> Iterator[Finding]:
    """Minutes beyond reach of land, what must then be aboard; nothing where no land is on file."""
    if not plan.places.land_deg:
        return
    beyond = _beyond(plan, way)
    yield _minutes(plan, beyond)
    for_hire = operation_of(plan.flight).for_hire
    if beyond.beyond_min and for_hire is not False:
        yield _gear(plan, beyond, for_hire=for_hire)


def _beyond(plan: Plan, way: Way) -> Beyond:
    if not plan.weather.aloft.msl_ft.size:
        return Beyond(beyond_min=None, missing="[[wind_aloft]] rows in flight.toml")
    try:
        problem = problem_of(plan, way)
    except (NoSolution, RangeError) as exc:
        return Beyond(beyond_min=None, missing=str(exc))
    return beyond_land(plan.aircraft, problem, along_way(way, plan.terrain))


def _minutes(plan: Plan, beyond: Beyond) -> Finding:
    own = plan.pilot.own
    most_min = own.beyond_land_min
    told_min = beyond.beyond_min or 0.0
    limit = Limit(
        key="flight.beyond_land",
        label="minutes beyond gliding reach of land",
        unit="min",
        high=max(told_min, 1.0) if most_min is None else most_min,
        buffer=max(told_min, 1.0) if most_min is None and told_min else 0.0,
        tolerance=5.0,
        basis="own",
        source="own: no limit set; beyond_land_min under [own] in pilot.toml sets one"
        if most_min is None
        else own.source("beyond_land_min"),
    )
    if beyond.beyond_min is None:
        return unknown(limit, beyond.missing)
    where = f"{beyond.short_nm:.1f} NM short at {beyond.spot.words}" if beyond.spot else ""
    note = "life jackets worn, a beacon on the body, somebody who knows: yours to decide"
    return Finding(limit=limit, value=told_min, where=where, note=note if told_min else "")


def _gear(plan: Plan, beyond: Beyond, *, for_hire: bool | None) -> Finding:
    limit = Limit(
        key="airplane.flotation",
        label="flotation gear and signal, over water",
        unit="missing",
        high=0.0,
        target=0.0,
        tolerance=1.0,
        basis="law",
        source=f"14 CFR 91.205(b)(12), {_READ}",
    )
    where = f"{beyond.beyond_min:.0f} min beyond gliding reach of land"
    fitted = plan.aircraft.equipment.fitted
    if fitted is None:
        return unknown(limit, "fitted in [equipment] of the aircraft file", where=where)
    lacking = [one for one in ASKED if one not in fitted]
    if lacking and for_hire is None:
        return unknown(limit, "hire in flight.toml", where=where)
    note = f"lacking: {' and '.join(lacking)}" if lacking else "one jacket for each occupant"
    return Finding(limit=limit, value=float(len(lacking)), where=where, note=note)
