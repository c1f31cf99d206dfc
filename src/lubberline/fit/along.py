"""The weather along a way at the time of passage: visibility and clouds at the planned heights.

At every moment the nearest field within ``NEAR_NM`` speaks whose report or forecast holds then,
with the worst of what prevails and what is temporary. Where none does, the weather is unknown.
Airspace is of the strictest class that the way is in; outside of what is on file it is held to
class E, which asks for no less than G. A visibility from the ground stands for that in flight.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from math import ceil, inf
from typing import Final

import numpy as np

from lubberline.earth import course_and_distance
from lubberline.fit.field_weather import FieldWeather, ceiling_distance, visibility_finding
from lubberline.fit.rules import Minimums, RuleSet
from lubberline.fit.setting import times_utc
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown, worst_first
from lubberline.places import Aerodrome
from lubberline.ways import Way
from lubberline.weather import Conditions, worst_at

NEAR_NM: Final = 25.0  # own: farther away a field does not tell the weather here
EVERY_MIN: Final = 1.0  # own: some 2 to 3 NM
STRICTEST_FIRST: Final = "ABCDE"


@dataclass(frozen=True, slots=True, kw_only=True)
class Passage:
    """One moment of a way: where, how high, in which class, and who tells the weather.

    ``field`` and ``worst`` are None where nobody within reach does.
    """

    at_utc: datetime
    lat_deg: float
    lon_deg: float
    msl_ft: float
    airspace_class: str
    field: Aerodrome | None = None
    away_nm: float = inf
    worst: Conditions | None = None

    @property
    def words(self) -> str:
        """Time, height, class and the field that speaks."""
        told = f"; {self.field.id} {self.away_nm:.0f} NM away" if self.field else ""
        return f"{self.at_utc:%H:%MZ} {self.msl_ft:,.0f} ft, class {self.airspace_class}{told}"


def passages(plan: Plan, way: Way) -> tuple[Passage, ...]:
    """Every minute from take-off to the end of the way."""
    end_min = float(way.path[-1, 3])
    after_min = np.linspace(0.0, end_min, ceil(end_min / EVERY_MIN) + 1)
    place = [np.interp(after_min, way.path[:, 3], way.path[:, n]) for n in range(3)]
    told = {*plan.weather.reports, *plan.weather.forecasts}
    fields = [one for one in plan.places.aerodromes.values() if one.id in told]
    away_nm = [
        course_and_distance(place[0], place[1], one.lat_deg, one.lon_deg)[1] for one in fields
    ]
    takeoff_utc = times_utc(plan, way)[0]
    moments = (
        Passage(
            at_utc=takeoff_utc + timedelta(minutes=float(minutes)),
            lat_deg=float(place[0][n]),
            lon_deg=float(place[1][n]),
            msl_ft=float(place[2][n]),
            airspace_class=_class_at(way, float(minutes)),
        )
        for n, minutes in enumerate(after_min)
    )
    return tuple(
        _with_weather(
            plan, moment, {one.id: float(nm[n]) for nm, one in zip(away_nm, fields, strict=True)}
        )
        for n, moment in enumerate(moments)
    )


def along_findings(plan: Plan, found: Sequence[Passage], rules: RuleSet) -> Iterator[Finding]:
    """The worst visibility, then the worst distance to a ceiling, of all passages."""
    yield worst_first(_visibility(plan, one, rules) for one in found)[0]
    yield worst_first(_clouds(plan, one, rules) for one in found)[0]


def _with_weather(plan: Plan, moment: Passage, away_nm: Mapping[str, float]) -> Passage:
    """The same with the nearest field whose texts speak of that time."""
    for name, nm in sorted(away_nm.items(), key=lambda pair: pair[1]):
        worst = worst_at(plan.weather, name, moment.at_utc) if nm <= NEAR_NM else None
        if worst is not None:
            field = plan.places.aerodromes[name]
            return replace(moment, field=field, away_nm=nm, worst=worst)
    return moment


def _class_at(way: Way, after_min: float) -> str:
    """Strictest class of the volumes that the way is in then; E where it is in none."""
    inside = {
        one.volume.airspace_class
        for one in way.encounters
        if one.entry_min is not None
        and one.entry_min <= after_min <= (inf if one.exit_min is None else one.exit_min)
    }
    return next((letter for letter in STRICTEST_FIRST if letter in inside), "E")


def _visibility(plan: Plan, one: Passage, rules: RuleSet) -> Finding:
    minimums = _minimums(one, rules)
    limit = Limit(
        key="flight.visibility_along",
        label="visibility along the way",
        unit="SM",
        low=minimums.visibility_sm if minimums else None,
        tolerance=3.0,
        basis="law",
        source=f"{rules.WEATHER_SOURCE}, (a) table, class {one.airspace_class}",
    )
    if minimums is None:
        return unknown(limit, f"a clearance: no flight by sight in class {one.airspace_class}")
    return _placed(visibility_finding(limit, _field(plan, one)), one)


def _clouds(plan: Plan, one: Passage, rules: RuleSet) -> Finding:
    minimums = _minimums(one, rules)
    limit = Limit(
        key="flight.clouds_along",
        label="below the ceilings along the way",
        unit="ft",
        low=minimums.below_ft if minimums else None,
        tolerance=1_000.0,
        basis="law",
        source=f"{rules.WEATHER_SOURCE}, (a) table, class {one.airspace_class}",
    )
    if minimums is None:
        return unknown(limit, f"a clearance: no flight by sight in class {one.airspace_class}")
    note = "a ceiling is not the lowest cloud; look out"
    found = ceiling_distance(
        limit, _field(plan, one), msl_ft=one.msl_ft, above_ft=minimums.above_ft, note=note
    )
    return _placed(found, one)


def _minimums(one: Passage, rules: RuleSet) -> Minimums | None:
    """The row of the table; over what ground is not asked, so that G is held to its upper part."""
    return rules.basic_minimums(
        one.airspace_class, msl_ft=one.msl_ft, agl_ft=inf, night=rules.is_night(one, one.at_utc)
    )


def _field(plan: Plan, one: Passage) -> FieldWeather:
    supply = (
        f"a METAR or TAF within {NEAR_NM:g} NM of {one.lat_deg:.2f} {one.lon_deg:.2f} that holds at"
        f" {one.at_utc:%d %H:%MZ}, in {plan.flight.weather_file or 'a weather file'},"
    )
    return FieldWeather(
        place="along",
        name=one.field.id if one.field else "",
        surface_class=one.airspace_class,
        elev_msl_ft=one.field.elev_msl_ft if one.field else 0.0,
        night=False,
        conditions=one.worst,
        supply=supply,
    )


def _placed(found: Finding, one: Passage) -> Finding:
    return replace(found, where="; ".join(filter(None, (one.words, found.where))))
