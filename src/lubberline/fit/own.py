"""The pilot's own weather minimums, by day and by night; nothing where none are set."""

from lubberline.fit.us.weather import FieldWeather, ceiling_finding, visibility_finding
from lubberline.line import Finding, Limit
from lubberline.pilot import OwnMinimums


def own_weather_findings(field: FieldWeather, own: OwnMinimums) -> tuple[Finding, ...]:
    """Visibility and ceiling at one end against what the pilot asks for."""
    night = "night_" if field.night else ""
    rows = (
        ("visibility", "SM", 3.0, f"{night}visibility_sm"),
        ("ceiling", "ft", 1_000.0, f"{night}ceiling_agl_ft"),
    )
    findings: list[Finding] = []
    for what, unit, tolerance, key in rows:
        low = getattr(own, key)
        if low is None:
            continue
        limit = Limit(
            key=f"flight.own_{what}_{field.place}",
            label=f"own {what}, {field.name}",
            unit=unit,
            low=low,
            tolerance=tolerance,
            basis="own",
            source=own.source(key),
        )
        measure = visibility_finding if what == "visibility" else ceiling_finding
        findings.append(measure(limit, field))
    return tuple(findings)
