"""The pilot's own weather minimums, by day and by night; nothing where none are set."""

from lubberline.fit.us.weather import ceiling_finding, visibility_finding
from lubberline.line import Finding, Limit
from lubberline.pilot import OwnMinimums
from lubberline.weather import Conditions


def own_weather_findings(
    place: str, name: str, own: OwnMinimums, conditions: Conditions | None, *, night: bool
) -> tuple[Finding, ...]:
    """Visibility and ceiling at one end against what the pilot asks for."""
    rows = (
        ("visibility", "SM", 3.0, own.night_visibility_sm if night else own.visibility_sm),
        ("ceiling", "ft", 1_000.0, own.night_ceiling_agl_ft if night else own.ceiling_agl_ft),
    )
    findings: list[Finding] = []
    for what, unit, tolerance, low in rows:
        if low is None:
            continue
        limit = Limit(
            key=f"flight.own_{what}_{place}",
            label=f"own {what}, {name}",
            unit=unit,
            low=low,
            tolerance=tolerance,
            basis="own",
            source=f"own minimums, {'night' if night else 'day'} {what} in pilot.toml",
        )
        measure = visibility_finding if what == "visibility" else ceiling_finding
        findings.append(measure(limit, name, conditions))
    return tuple(findings)
