"""Is the weather fit for visual flight at an aerodrome, and below the clouds in cruise.

What is looked at: visibility and ceiling over the surface area of an aerodrome, and the height
of cruise against the ceilings at both ends. Special clearances, clouds that are no ceiling,
cloud distance sideways and weather between the ends are not looked at.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import inf
from typing import Final

from lubberline.fit.us.minimums import HIGH_MSL_FT, Minimums, basic_minimums
from lubberline.line import Finding, Limit, unknown, worst_first
from lubberline.weather import Conditions

COUNTRY: Final = "US"
SURFACE_AREA_CEILING_AGL_FT: Final = 1_000.0  # [14CFR91.155]_ (c), from memory
SURFACE_AREAS: Final = frozenset("BCDE")
NO_CEILING_AGL_FT: Final = 12_000.0  # [AIM-7-1]_, CLR: nothing seen below this
WEATHER_SOURCE: Final = "14 CFR 91.155, edition of 2024, read 2026-11-25"


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldWeather:
    """One end of a flight as far as weather is asked for.

    ``place`` is as in ``Setting``, ``surface_class`` the class of airspace that
    reaches the ground there, "G" where none does. ``conditions`` are the worst that may be met;
    ``supply`` says which text would tell them, to be followed by what it must tell.
    """

    place: str
    name: str
    surface_class: str
    elev_msl_ft: float
    night: bool
    conditions: Conditions | None
    supply: str

    @property
    def ceiling_agl_ft(self) -> float | None:
        """Lowest broken or overcast layer; infinite where none was seen, None if not told."""
        return None if self.conditions is None else self.conditions.ceiling_agl_ft

    @property
    def text(self) -> str:
        """The text that tells the conditions."""
        return "" if self.conditions is None else self.conditions.text


def weather_findings(field: FieldWeather) -> tuple[Finding, ...]:
    """Visibility, and the ceiling over a surface area, against the law."""
    return (_visibility(field), *_ceiling(field))


def visibility_finding(limit: Limit, field: FieldWeather) -> Finding:
    """Reported or forecast visibility; unknown without weather for the place.

    A text that says "more than" does not tell whether a limit above its figure is kept.
    """
    told = field.conditions
    if told is None or told.visibility_sm is None:
        return unknown(limit, f"{field.supply} with visibility", where=field.text)
    seen_sm, least = told.visibility_sm, told.visibility_is_least
    if least and limit.margin(seen_sm) < 0.0:
        missing = f"how far one sees at {field.name}: the text says only {seen_sm:.3g} SM or more"
        return unknown(limit, missing, where=field.text)
    note = "the text says that far or farther" if least else ""
    return Finding(limit=limit, value=seen_sm, where=field.text, note=note)


def ceiling_finding(limit: Limit, field: FieldWeather) -> Finding:
    """Lowest broken or overcast layer; a text that says there is none counts as 12,000 ft.

    An automated station sees no further than that [AIM-7-1]_, so that a limit above it is not
    decided.
    """
    ceiling_ft = field.ceiling_agl_ft
    if ceiling_ft is None:
        return unknown(limit, f"{field.supply} with clouds", where=field.text)
    value = min(ceiling_ft, NO_CEILING_AGL_FT)
    if ceiling_ft == inf and limit.margin(value) < 0.0:
        missing = f"clouds above {NO_CEILING_AGL_FT:,.0f} ft over {field.name}: a pilot report"
        return unknown(limit, missing, where=field.text)
    note = "no ceiling seen below 12,000 ft" if ceiling_ft > NO_CEILING_AGL_FT else ""
    return Finding(limit=limit, value=value, where=field.text, note=note)


def cloud_finding(cruise_msl_ft: float, fields: Iterable[FieldWeather]) -> Finding:
    """Distance from cruise up to the ceiling at the end where it decides.

    Cruise is held to the distances of classes C, D and E, whatever it passes through. What is
    further above a ceiling than the law's distance may be lawful above the tops, which no
    report tells. Clouds between the ends may be lower, and a ceiling is not the lowest cloud.
    """
    minimums = basic_minimums("E", msl_ft=cruise_msl_ft, agl_ft=inf, night=False)
    assert minimums is not None  # class E has a row at any height
    high = "at or above 10,000 ft MSL" if cruise_msl_ft >= HIGH_MSL_FT else "below 10,000 ft MSL"
    limit = Limit(
        key="flight.cloud_clearance",
        label="below the ceiling in cruise",
        unit="ft",
        low=minimums.below_ft,
        tolerance=1_000.0,
        basis="law",
        source=f"{WEATHER_SOURCE}, (a) table, class E {high}",
    )
    return worst_first(_cloud(limit, minimums, cruise_msl_ft, field) for field in fields)[0]


def _visibility(field: FieldWeather) -> Finding:
    minimums = basic_minimums(
        field.surface_class, msl_ft=field.elev_msl_ft, agl_ft=0.0, night=field.night
    )
    limit = Limit(
        key=f"flight.visibility_{field.place}",
        label=f"visibility at {field.name}",
        unit="SM",
        low=minimums.visibility_sm if minimums is not None else None,
        tolerance=3.0,
        basis="law",
        source=f"{WEATHER_SOURCE}, (a) table, class {field.surface_class}",
    )
    if minimums is None:
        return unknown(limit, f"a clearance: class {field.surface_class} has no visual minimums")
    return visibility_finding(limit, field)


def _ceiling(field: FieldWeather) -> tuple[Finding, ...]:
    if field.surface_class not in SURFACE_AREAS:
        return ()
    limit = Limit(
        key=f"flight.ceiling_{field.place}",
        label=f"ceiling at {field.name}",
        unit="ft",
        low=SURFACE_AREA_CEILING_AGL_FT,
        tolerance=1_000.0,
        basis="law",
        source=f"{WEATHER_SOURCE}, (c) from memory, surface area of class {field.surface_class}",
    )
    return (ceiling_finding(limit, field),)


def _cloud(limit: Limit, minimums: Minimums, cruise_msl_ft: float, field: FieldWeather) -> Finding:
    ceiling_agl_ft = field.ceiling_agl_ft
    if ceiling_agl_ft is None:
        return unknown(limit, f"{field.supply} with clouds", where=field.text)
    seen = ceiling_agl_ft < inf
    base_msl_ft = field.elev_msl_ft + min(ceiling_agl_ft, NO_CEILING_AGL_FT)
    words = "ceiling at {}" if seen else "no ceiling seen at {} below"
    where = f"{words.format(field.name)} {base_msl_ft:,.0f} ft MSL"
    if seen and cruise_msl_ft - base_msl_ft > minimums.above_ft:
        return unknown(limit, f"tops over {field.name}, and a way down through them", where=where)
    if not seen and base_msl_ft - cruise_msl_ft < minimums.below_ft:
        return unknown(limit, f"clouds above {base_msl_ft:,.0f} ft over {field.name}", where=where)
    return Finding(
        limit=limit,
        value=base_msl_ft - cruise_msl_ft,
        where=where,
        note="only the ends are known; look out between them",
    )
