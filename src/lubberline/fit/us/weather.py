"""Is the weather fit for visual flight at an aerodrome, and below the clouds in cruise.

What is looked at: visibility and ceiling over the surface area of an aerodrome, and the height
of cruise against the ceilings at both ends. Clouds that are no ceiling and cloud distance
sideways are not looked at.
"""

from collections.abc import Iterable
from dataclasses import replace
from math import inf
from typing import Final

from lubberline.fit.field_weather import (
    FieldWeather,
    ceiling_distance,
    ceiling_finding,
    visibility_finding,
)
from lubberline.fit.us.minimums import HIGH_MSL_FT, basic_minimums
from lubberline.fit.us.special import special_words
from lubberline.line import Finding, Limit, Verdict, unknown, worst_first

__all__ = [
    "FieldWeather",
    "ceiling_finding",
    "cloud_finding",
    "visibility_finding",
    "weather_findings",
]

COUNTRY: Final = "US"
SURFACE_AREA_CEILING_AGL_FT: Final = 1_000.0  # [14CFR91.155]_ (c), from memory
SURFACE_AREAS: Final = frozenset("BCDE")
WEATHER_SOURCE: Final = "14 CFR 91.155, edition of 2024, read 2026-11-25"


def weather_findings(field: FieldWeather) -> tuple[Finding, ...]:
    """Visibility, and the ceiling over a surface area, against the law.

    What is below them says whether a special clearance could be asked for.
    """
    return tuple(_with_special(found, field) for found in (_visibility(field), *_ceiling(field)))


def _with_special(found: Finding, field: FieldWeather) -> Finding:
    if found.verdict is not Verdict.OUTSIDE or field.surface_class not in SURFACE_AREAS:
        return found
    return replace(found, note="; ".join(filter(None, (found.note, special_words(field)))))


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
    note = "only the ends are known; look out between them"
    return worst_first(
        ceiling_distance(limit, field, msl_ft=cruise_msl_ft, above_ft=minimums.above_ft, note=note)
        for field in fields
    )[0]


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
