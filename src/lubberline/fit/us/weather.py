"""Basic weather minimums for visual flight at an aerodrome and in cruise.

What is looked at: ground visibility and ceiling in the surface area of class B to E airspace,
visibility in class G, and the distance below the clouds in cruise. Special clearances, cloud
distance sideways and weather between the stations are not looked at.
"""

from typing import Final

from lubberline.line import Finding, Limit, unknown
from lubberline.weather import Conditions

SURFACE_AREA_CEILING_AGL_FT: Final = 1_000.0  # [14CFR91.155]_ (c), from memory
CONTROLLED_VISIBILITY_SM: Final = 3.0  # [14CFR91.155]_ (a), classes B to E below 10,000 ft
CLASS_G_DAY_VISIBILITY_SM: Final = 1.0  # same, class G at or below 1,200 ft above the surface
CLASS_G_NIGHT_VISIBILITY_SM: Final = 3.0
BELOW_CLOUD_FT: Final = 500.0  # same, classes C, D, E and G by day
NO_CEILING_AGL_FT: Final = 12_000.0  # [AIM-7-1]_, CLR: nothing seen below this
SOURCE: Final = "14 CFR 91.155, read 2026-11-25"


def weather_findings(
    place: str, name: str, surface_class: str, conditions: Conditions | None, *, night: bool
) -> tuple[Finding, ...]:
    """Visibility and ceiling against the law at ``place`` ("departure" or "destination").

    ``surface_class`` is the class of the surface area there, "G" where there is none.
    """
    controlled = surface_class in {"B", "C", "D", "E"}
    class_g_sm = CLASS_G_NIGHT_VISIBILITY_SM if night else CLASS_G_DAY_VISIBILITY_SM
    visibility = Limit(
        key=f"flight.visibility_{place}",
        label=f"visibility at {name}",
        unit="SM",
        low=CONTROLLED_VISIBILITY_SM if controlled else class_g_sm,
        tolerance=3.0,
        basis="law",
        source=f"{SOURCE}, (a) table, class {surface_class}",
    )
    findings = [visibility_finding(visibility, name, conditions)]
    if controlled:
        ceiling = Limit(
            key=f"flight.ceiling_{place}",
            label=f"ceiling at {name}",
            unit="ft",
            low=SURFACE_AREA_CEILING_AGL_FT,
            tolerance=1_000.0,
            basis="law",
            source=f"{SOURCE}, (c) from memory, surface area of class {surface_class}",
        )
        findings.append(ceiling_finding(ceiling, name, conditions))
    return tuple(findings)


def visibility_finding(limit: Limit, name: str, conditions: Conditions | None) -> Finding:
    """Reported or forecast visibility; unknown without weather for the place."""
    if conditions is None or conditions.visibility_sm is None:
        return unknown(limit, f"a METAR or TAF with visibility for {name}")
    return Finding(limit=limit, value=conditions.visibility_sm, where=conditions.text)


def ceiling_finding(limit: Limit, name: str, conditions: Conditions | None) -> Finding:
    """Lowest broken or overcast layer; a text that says there is none counts as 12,000 ft.

    An automated station sees no further than that [AIM-7-1]_.
    """
    if conditions is None or conditions.ceiling_agl_ft is None:
        return unknown(limit, f"a METAR or TAF with clouds for {name}")
    return Finding(
        limit=limit,
        value=min(conditions.ceiling_agl_ft, NO_CEILING_AGL_FT),
        where=conditions.text,
        note="no ceiling reported" if conditions.ceiling_agl_ft > NO_CEILING_AGL_FT else "",
    )


def cloud_finding(cruise_msl_ft: float, ceilings_msl_ft: dict[str, float | None]) -> Finding:
    """Distance from cruise up to the lowest ceiling reported at either end.

    Clouds between the stations may be lower, and a ceiling is not the lowest cloud.
    """
    limit = Limit(
        key="flight.cloud_clearance",
        label="below the ceiling in cruise",
        unit="ft",
        low=BELOW_CLOUD_FT,
        tolerance=1_000.0,
        basis="law",
        source=f"{SOURCE}, (a) table, 500 ft below clouds",
    )
    known = {name: ft for name, ft in ceilings_msl_ft.items() if ft is not None}
    absent = sorted(set(ceilings_msl_ft) - set(known))
    if absent:
        return unknown(limit, f"a METAR or TAF with clouds for {', '.join(absent)}")
    lowest = min(known, key=lambda name: known[name])
    return Finding(
        limit=limit,
        value=known[lowest] - cruise_msl_ft,
        where=f"ceiling at {lowest} {known[lowest]:,.0f} ft MSL",
        note="only the ends are known; look out between them",
    )
