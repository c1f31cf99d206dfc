"""The freezing level against a way: how far below it the flight stays where water falls.

Temperatures are those forecast aloft and that of the departure's report, linear between. Above
the highest nothing is known, unless it freezes there already. Dry air above the freezing level
makes no ice, so that nothing is asked of it but to keep out of cloud.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.fit.along import Passage
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown
from lubberline.weather import temperature_at

LEVEL_SIGMA_FT: Final = 500.0  # own: 1 degree of a forecast, at 2 degrees per 1,000 ft
MOIST: Final = ("RA", "SN", "DZ", "PL", "GR", "GS", "SG", "IC", "UP", "FG", "FZ")


@dataclass(frozen=True, slots=True, kw_only=True)
class FreezingLevel:
    """The lowest height at which it freezes; ``is_least``: not below that, the highest told."""

    msl_ft: float
    is_least: bool


def freezing_level(plan: Plan) -> FreezingLevel | None:
    """From the temperatures that are known; None if there are none aloft.

    Where it freezes at the lowest height told, that height.
    """
    aloft = plan.weather.aloft
    known = np.isfinite(aloft.oat_degc)
    if not known.any():
        return None
    rows = list(zip(aloft.msl_ft[known].tolist(), aloft.oat_degc[known].tolist(), strict=True))
    field_degc = temperature_at(plan.weather, plan.flight.departure_id)
    elev_msl_ft = plan.departure.elev_msl_ft
    if field_degc is not None and elev_msl_ft < rows[0][0]:
        rows.insert(0, (elev_msl_ft, field_degc))
    freezes = next((n for n, (_, degc) in enumerate(rows) if degc <= 0.0), None)
    if freezes is None:
        return FreezingLevel(msl_ft=rows[-1][0], is_least=True)
    if freezes == 0:
        return FreezingLevel(msl_ft=rows[0][0], is_least=False)
    (low_ft, warm_degc), (high_ft, cold_degc) = rows[freezes - 1], rows[freezes]
    up_fraction = warm_degc / (warm_degc - cold_degc)
    return FreezingLevel(msl_ft=low_ft + up_fraction * (high_ft - low_ft), is_least=False)


def freezing_finding(plan: Plan, found: Sequence[Passage]) -> Finding:
    """The least distance below the freezing level where water falls; 0 or more where none does."""
    limit = Limit(
        key="flight.freezing",
        label="below the freezing level, where it rains or snows",
        unit="ft",
        low=0.0,
        tolerance=2_000.0,
        basis="own",
        source="own: no flight in water and freezing air; temperatures of flight.toml",
    )
    level, top_ft = freezing_level(plan), max(one.msl_ft for one in found)
    if level is None:
        return unknown(limit, "oat_degc of [[wind_aloft]] rows in flight.toml")
    above = "above " if level.is_least else ""
    where = f"freezing level {above}{level.msl_ft:,.0f} ft, way up to {top_ft:,.0f} ft"
    if level.is_least and top_ft > level.msl_ft:
        missing = f"a [[wind_aloft]] row with oat_degc at {top_ft:,.0f} ft or higher"
        return unknown(limit, missing, where=where)
    cold = [one for one in found if one.worst is None and one.msl_ft > level.msl_ft]
    wet = [one for one in found if one.worst is not None and is_moist(one.worst.weather)]
    if cold and not any(one.msl_ft > level.msl_ft for one in wet):
        return unknown(limit, f"whether it rains or snows at {cold[0].words}", where=where)
    if not wet:
        over_ft = top_ft - level.msl_ft
        note = f"{over_ft:,.0f} ft above it: keep out of cloud" if over_ft > 0.0 else ""
        return Finding(limit=limit, value=max(0.0, -over_ft), where=where, note=note)
    highest = max(wet, key=lambda one: one.msl_ft)
    return Finding(
        limit=limit,
        value=level.msl_ft - highest.msl_ft,
        sigma=LEVEL_SIGMA_FT,
        where=f"{where}; {highest.words}",
        note=" ".join(highest.worst.weather if highest.worst else ()),
    )


def is_moist(weather: Sequence[str]) -> bool:
    """Whether any weather group tells of water that falls, or of fog; not in the vicinity only."""
    return any(code in group for group in weather for code in MOIST if not group.startswith("VC"))
