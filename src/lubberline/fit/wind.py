"""Crosswind and tailwind on the runway used, against the manual and the pilot's own limits.

Held against the limits is the worst of every wind that may be met, in the gust. A wind that is
given between two directions counts with the worst direction between them; a variable one may
stand across or behind with its whole speed.
"""

from typing import Final

import numpy as np

from lubberline.air import wind_components_kt
from lubberline.aircraft import Aircraft
from lubberline.arrays import wrap_360_deg
from lubberline.fit.setting import Setting
from lubberline.line import Basis, Finding, Limit, Verdict, unknown
from lubberline.pilot import OwnMinimums
from lubberline.places import RunwayEnd
from lubberline.weather import Wind

WIND_SIGMA_KT: Final = 1.0  # own: winds are reported to whole knots and ten degrees
_MANUAL_KEYS: Final = {"crosswind": "crosswind_shown_kt", "tailwind": "tailwind_max_kt"}


def head_and_cross_kt(end: RunwayEnd, wind: Wind, *, gust: bool) -> tuple[float, float]:
    """Least headwind (negative: tailwind) and most crosswind to either side [kt]."""
    speed_kt = wind.worst_kt if gust else wind.mean_kt
    if wind.from_true_deg is None:
        return -speed_kt, speed_kt
    head_kt, cross_kt = wind_components_kt(
        end.true_deg, wind_from_true_deg=_directions_deg(end, wind), wind_kt=speed_kt
    )
    return float(np.min(head_kt)), float(np.max(np.abs(cross_kt)))


def least_headwind_kt(setting: Setting) -> float | None:
    """What a take-off or landing may count on [kt], negative for a tailwind; None if not known.

    No gust is counted on, and any gust from behind is reckoned with.
    """
    known = [wind for wind in setting.winds if wind is not None]
    if not known or None in setting.winds:
        return None
    return min(
        head_and_cross_kt(setting.end, wind, gust=gust)[0]
        for wind in known
        for gust in (False, True)
    )


def wind_findings(
    setting: Setting, aircraft: Aircraft, own: OwnMinimums, *, aircraft_file: str
) -> tuple[Finding, ...]:
    """Crosswind and tailwind in the gust on the runway used."""
    findings = []
    for name in _MANUAL_KEYS:
        limit = _limit(name, setting, aircraft, own)
        supply = f"{name}_kt under [own] in pilot.toml, or {_MANUAL_KEYS[name]} in {aircraft_file}"
        findings.append(_worst(limit, name, setting, limit_supply=supply))
    return tuple(findings)


def wind_text(wind: Wind) -> str:
    """A wind as it is spoken: direction true, speed, gust."""
    if wind.mean_kt == 0.0 and wind.gust_kt is None:
        return "wind calm"
    gust = f" gusting {wind.gust_kt:.0f}" if wind.gust_kt else ""
    direction = "variable" if wind.from_true_deg is None else f"{wind.from_true_deg:03.0f}° true"
    if wind.between_true_deg is not None:
        first_deg, second_deg = wind.between_true_deg
        direction += f", between {first_deg:03.0f}° and {second_deg:03.0f}°,"
    return f"wind {direction} {wind.mean_kt:.0f} kt{gust}"


def _worst(limit: Limit, name: str, setting: Setting, *, limit_supply: str) -> Finding:
    """The wind that lies worst; unknown if none is known, or one that is not might be worse."""
    known = [wind for wind in setting.winds if wind is not None]
    not_told = f"{setting.text_supply} with wind"
    if not known:
        return unknown(limit, not_told)
    value_kt, wind = max(
        ((_against_kt(name, setting.end, wind), wind) for wind in known), key=lambda row: row[0]
    )
    if limit.high is None:
        return unknown(limit, limit_supply, where=wind_text(wind), note=f"{name} {value_kt:.0f} kt")
    sigma_kt = WIND_SIGMA_KT if wind.worst_kt > 0.0 else 0.0
    finding = Finding(limit=limit, value=value_kt, sigma=sigma_kt, where=wind_text(wind))
    if None in setting.winds and finding.verdict is not Verdict.OUTSIDE:
        return unknown(limit, not_told, where=wind_text(wind))
    return finding


def _against_kt(name: str, end: RunwayEnd, wind: Wind) -> float:
    head_kt, cross_kt = head_and_cross_kt(end, wind, gust=True)
    return cross_kt if name == "crosswind" else max(0.0, -head_kt)


def _directions_deg(end: RunwayEnd, wind: Wind) -> list[float]:
    """Where the wind may come from and a component be greatest: its ends, across and behind."""
    mean_deg = 0.0 if wind.from_true_deg is None else wind.from_true_deg
    if wind.between_true_deg is None:
        return [mean_deg]
    first_deg, second_deg = wind.between_true_deg
    width_deg = float(wrap_360_deg(second_deg - first_deg))
    turning_deg = [float(end.true_deg) + turn_deg for turn_deg in (90.0, 180.0, 270.0)]
    between_deg = [one for one in turning_deg if float(wrap_360_deg(one - first_deg)) <= width_deg]
    return [mean_deg, first_deg, second_deg, *between_deg]


def _limit(name: str, setting: Setting, aircraft: Aircraft, own: OwnMinimums) -> Limit:
    """The lower of the manual's value and the pilot's own; it says which."""
    manual_kt: float | None = getattr(aircraft, _MANUAL_KEYS[name])
    own_kt: float | None = getattr(own, f"{name}_kt")
    basis: Basis = "manual"
    shown = "demonstrated crosswind" if name == "crosswind" else "tailwind"
    source, high_kt = f"{aircraft.manual}, {shown}", manual_kt
    if own_kt is not None and (manual_kt is None or own_kt <= manual_kt):
        basis, source, high_kt = "own", own.source(f"{name}_kt"), own_kt
    return Limit(
        key=f"flight.{name}_{setting.place}",
        label=f"{name}, {setting.name}",
        unit="kt",
        high=high_kt,
        tolerance=10.0,
        basis=basis,
        source=source,
    )
