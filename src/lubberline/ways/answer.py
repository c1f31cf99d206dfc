"""Ways as plain values: the answer to a problem file, and what any JSON of a way contains."""

from collections.abc import Iterable
from dataclasses import asdict
from math import isfinite
from typing import Any

from lubberline.line import finding_record
from lubberline.ways.model import Encounter, Violation, Way


def answer_record(ways: Iterable[Way]) -> dict[str, Any]:
    """Ways in the given order, in the form of the problem's answer; None where not known."""
    return {"ways": [way_record(way) for way in ways]}


def way_record(way: Way) -> dict[str, Any]:
    """One way: its price, what it needs and enters, its path, and what it keeps clear of."""
    return {
        "name": way.name,
        "time_min": way.time_min,
        "fuel_gal": way.fuel_gal,
        "distance_nm": way.distance_nm,
        "permissions": sorted(way.permissions),
        "entered": [volume.id for volume in way.entered],
        "path": way.path.tolist(),
        "legs": [asdict(leg) for leg in way.legs],
        "margins": [_margin(one) for one in way.encounters],
        "violations": [_violation(one) for one in way.violations],
        "findings": [finding_record(finding) for finding in way.findings],
    }


def _margin(encounter: Encounter) -> dict[str, Any]:
    return {
        "volume": encounter.volume.id,
        "needs": encounter.needs,
        "permitted": encounter.permitted,
        "entered": encounter.entered,
        "within_margins": encounter.within_margins,
        "entry_min": encounter.entry_min,
        "exit_min": encounter.exit_min,
        "entry_lat_deg": encounter.entry_lat_deg,
        "entry_lon_deg": encounter.entry_lon_deg,
        "entry_msl_ft": encounter.entry_msl_ft,
        "lateral_nm": _finite(encounter.lateral_nm),
        "vertical_ft": _finite(encounter.vertical_ft),
        "side": encounter.side,
    }


def _violation(violation: Violation) -> dict[str, Any]:
    spot = violation.spot
    return {
        "rule": violation.rule,
        "what": violation.what,
        "after_min": spot.after_min,
        "lat_deg": spot.lat_deg,
        "lon_deg": spot.lon_deg,
        "msl_ft": spot.msl_ft,
        "short_nm": violation.short_nm,
        "short_ft": violation.short_ft,
        "short_min": violation.short_min,
    }


def _finite(value: float) -> float | None:
    """The value, or None where there is none: JSON has no infinity."""
    return value if isfinite(value) else None
