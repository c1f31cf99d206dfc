"""Altimeter settings along a way, where to change them, and what an error of height leaves.

A setting holds within 100 NM of its station [14CFR91.121]_; along the way the nearest station
speaks whose report is at most three hours from then. Two errors are told apart. A setting that is
kept too long shifts the height that is shown: that decides the room under a shelf, whose floor is
kept by the altimeter. Air that is colder than standard puts the airplane lower than a right
setting shows: that decides the room above the ground [AIM7-3]_.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

import numpy as np

from lubberline.air import isa_temperature_degc, pressure_altitude_ft, true_altitude_ft
from lubberline.arrays import FloatArray
from lubberline.earth import course_and_distance
from lubberline.fit.crossing import Passing, passing
from lubberline.fit.setting import REPORT_SERVES
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown
from lubberline.places import Aerodrome
from lubberline.ways import Cut, Way, cut_along
from lubberline.weather import wind_at

NEAR_NM: Final = 100.0  # [14CFR91.121]_ (a)(1)(i)
ALTIMETER_FT: Final = 75.0  # AIM 7-2-3 (memory): an altimeter off by more is to be mended
LAW_AGL_FT: Final = 500.0  # 14 CFR 91.119(c)
HIGHEST_FT: Final = 36_000.0  # the standard atmosphere of air ends there
END_NM: Final = 5.0  # own: nearer to a field it is take-off or landing
_SOURCE: Final = "14 CFR 91.121(a)(1), read 2026-11-25"
_SUPPLY: Final = "in weather.txt, a METAR with an altimeter setting within 100 NM and 3 h of"
_AIR: Final = "oat_degc of [[wind_aloft]] rows in flight.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingUse:
    """One stretch of the way with one station's setting.

    ``higher_ft`` is how much higher than shown the airplane would fly at its end with the first
    setting kept, negative lower; ``temperature_ft`` how far the true height differs from that
    shown with the right setting at the highest point, negative lower; None where not known.
    """

    station: str
    setting_inhg: float
    observed_utc: datetime
    from_utc: datetime
    until_utc: datetime
    lat_deg: float
    lon_deg: float
    higher_ft: float
    temperature_ft: float | None


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Along:
    """Columns along the way: station (-1 none), height error by setting, true height."""

    flown: Passing
    stations: tuple[Aerodrome, ...]
    speaks: np.ndarray[tuple[int], np.dtype[np.int64]]
    higher_ft: FloatArray
    true_ft: FloatArray


def settings_along(plan: Plan, way: Way) -> tuple[SettingUse, ...]:
    """Each stretch with the setting that is to be used on it; a gap has none."""
    along = _along(plan, way)
    return tuple(_uses(plan, along)) if along.stations else ()


def altimeter_findings(plan: Plan, way: Way) -> Iterator[Finding]:
    """Settings within reach, room under a shelf with the first kept, ground in cold air."""
    along = _along(plan, way)
    yield _reach(along)
    shelf = _shelf(plan, way, along)
    if shelf is not None:
        yield shelf
    yield _ground(plan, along)


def setting_error_ft(kept_inhg: float, right_inhg: float) -> float:
    """How much higher than shown an airplane flies with a setting kept; exact by the standard.

    Examples
    --------
    >>> round(setting_error_ft(29.92, 28.92))  # an inch lower: some 1,000 ft too low
    -938
    """
    kept_ft, right_ft = pressure_altitude_ft(0.0, np.array([kept_inhg, right_inhg]))
    return float(kept_ft - right_ft)


def _along(plan: Plan, way: Way) -> _Along:
    flown = passing(plan, way)
    lat_deg, lon_deg = flown.plane.to_degrees(flown.east_nm, flown.north_nm)
    told = tuple(
        one
        for one in plan.places.aerodromes.values()
        if (report := plan.weather.reports.get(one.id)) and report.altimeter_inhg is not None
    )
    away_nm = np.full((len(told) + 1, flown.at_s.size), np.inf)
    for n, one in enumerate(told):
        age_s = np.abs(flown.at_s - plan.weather.reports[one.id].observed_utc.timestamp())
        there_nm = course_and_distance(lat_deg, lon_deg, one.lat_deg, one.lon_deg)[1]
        near = (there_nm <= NEAR_NM) & (age_s <= REPORT_SERVES.total_seconds())
        away_nm[n] = np.where(near, there_nm, np.inf)
    speaks = np.where(np.isfinite(away_nm.min(axis=0)), away_nm.argmin(axis=0), -1)
    higher_ft, true_ft = _errors(plan, flown, told, speaks)
    return _Along(flown=flown, stations=told, speaks=speaks, higher_ft=higher_ft, true_ft=true_ft)


def _errors(
    plan: Plan,
    flown: Passing,
    told: Sequence[Aerodrome],
    speaks: np.ndarray[tuple[int], np.dtype[np.int64]],
) -> tuple[FloatArray, FloatArray]:
    """Height over that shown with the first setting kept, and the true height; NaN not known."""
    higher_ft, true_ft = np.full((2, flown.at_s.size), np.nan)
    known = [int(n) for n in speaks if n >= 0]
    if not known:
        return higher_ft, true_ft
    first = plan.weather.reports[told[known[0]].id].altimeter_inhg or np.nan
    aloft_degc = wind_at(plan.weather.aloft, flown.msl_ft)[2]
    for n in sorted(set(known)):
        rows, report = speaks == n, plan.weather.reports[told[n].id]
        higher_ft[rows] = setting_error_ft(first, report.altimeter_inhg or np.nan)
        elev_ft, shown_ft = told[n].elev_msl_ft, flown.msl_ft[rows]
        shown_ft = np.where(shown_ft > HIGHEST_FT, np.nan, shown_ft)
        field_degc = np.nan if report.temperature_degc is None else report.temperature_degc
        lapsed_degc = field_degc + isa_temperature_degc(shown_ft) - isa_temperature_degc(elev_ft)
        air_degc = np.where(np.isnan(aloft_degc[rows]), lapsed_degc, aloft_degc[rows])
        true_ft[rows] = true_altitude_ft(shown_ft, elev_ft, air_degc)
    return higher_ft, true_ft


def _uses(plan: Plan, along: _Along) -> Iterator[SettingUse]:
    edges = np.flatnonzero(np.diff(along.speaks)) + 1
    for rows in np.split(np.arange(along.speaks.size), edges):
        n = int(along.speaks[rows[0]])
        if n < 0:
            continue
        report = plan.weather.reports[along.stations[n].id]
        at = along.flown
        lat_deg, lon_deg = at.plane.to_degrees(at.east_nm[rows[0]], at.north_nm[rows[0]])
        top = rows[int(np.argmax(at.msl_ft[rows]))]
        off_ft = float(along.true_ft[top] - at.msl_ft[top])
        yield SettingUse(
            station=report.station,
            setting_inhg=report.altimeter_inhg or np.nan,
            observed_utc=report.observed_utc,
            from_utc=_utc(at.at_s[rows[0]]),
            until_utc=_utc(at.at_s[rows[-1]]),
            lat_deg=float(lat_deg),
            lon_deg=float(lon_deg),
            higher_ft=float(along.higher_ft[rows[-1]]),
            temperature_ft=None if np.isnan(off_ft) else off_ft,
        )


def _utc(at_s: float) -> datetime:
    return datetime.fromisoformat("1970-01-01T00:00Z") + timedelta(seconds=float(at_s))


def _reach(along: _Along) -> Finding:
    """Minutes of the way without a setting within reach."""
    limit = Limit(
        key="flight.altimeter_settings",
        label="minutes without a setting within 100 NM",
        unit="min",
        high=0.0,
        tolerance=10.0,
        basis="law",
        source=_SOURCE,
    )
    silent = along.speaks < 0
    if silent.any():
        first = along.flown.at_s[int(np.argmax(silent))]
        return unknown(limit, f"{_SUPPLY} the way at {_utc(first):%d %H:%MZ}")
    used = dict.fromkeys(along.stations[int(n)].id for n in along.speaks)
    return Finding(limit=limit, value=0.0, where=f"settings of {', '.join(used)}")


def _shelf(plan: Plan, way: Way, along: _Along) -> Finding | None:
    """The least room under a shelf with the first setting kept; None where none is overhead."""
    overhead = tuple(
        one.volume
        for one in way.encounters
        if one.needs != "nothing" and not one.permitted and not one.entered
    )
    section = cut_along(way.path, overhead, plan.terrain)
    rooms = [
        row for cut in section.cuts if (row := _room(cut, section.along_nm, section.path_msl_ft))
    ]
    if not rooms:
        return None
    limit = Limit(
        key="flight.altimeter_shelf",
        label="room under a shelf if the first setting is kept",
        unit="ft",
        low=0.0,
        tolerance=500.0,
        basis="law",
        source=f"{_SOURCE}; floors as published",
    )
    at = along.flown
    legs_nm = np.hypot(np.diff(at.east_nm), np.diff(at.north_nm))
    gone_nm = np.concatenate([[0.0], np.cumsum(legs_nm)])
    found = []
    for name, along_nm, room_ft in rooms:
        higher_ft = np.interp(along_nm, gone_nm, along.higher_ft)
        left_ft = room_ft - np.maximum(higher_ft, 0.0)
        if np.isnan(left_ft).any():
            return unknown(limit, f"{_SUPPLY} the way under {name}")
        n = int(np.argmin(left_ft))
        found.append((float(left_ft[n]), float(room_ft[n]), float(higher_ft[n]), name))
    least_ft, right_ft, error_ft, name = min(found)
    return Finding(
        limit=limit,
        value=least_ft,
        sigma=ALTIMETER_FT / 2.0,
        where=f"{name}; {right_ft:,.0f} ft by the right setting, {_off(error_ft)} then",
    )


def _off(error_ft: float) -> str:
    return f"{abs(error_ft):,.0f} ft {'higher' if error_ft >= 0.0 else 'lower'}"


def _room(
    cut: Cut, along_nm: FloatArray, path_msl_ft: FloatArray
) -> tuple[str, FloatArray, FloatArray] | None:
    """Name of a volume, where the way is under its floor, and the room there."""
    room_ft = cut.floor_msl_ft - np.interp(cut.along_nm, along_nm, path_msl_ft)
    under = room_ft > 0.0
    if not under.any():
        return None
    return cut.volume.name, cut.along_nm[under], room_ft[under]


def _ground(plan: Plan, along: _Along) -> Finding:
    """The least true height above ground away from the fields, by the air's temperature."""
    limit = Limit(
        key="flight.altimeter_ground",
        label="above ground by the air's temperature",
        unit="ft",
        low=LAW_AGL_FT,
        tolerance=LAW_AGL_FT,
        basis="law",
        source="14 CFR 91.119(c), read 2026-11-25; AIM 7-3, cold temperature error",
    )
    at = along.flown
    lat_deg, lon_deg = at.plane.to_degrees(at.east_nm, at.north_nm)
    away_nm = [
        course_and_distance(lat_deg, lon_deg, one.lat_deg, one.lon_deg)[1]
        for one in (plan.departure, plan.destination)
    ]
    asked = np.min(away_nm, axis=0) > END_NM
    if not asked.any():
        return Finding(limit=limit, value=LAW_AGL_FT, note="all of it near the two fields")
    true_agl_ft = (along.true_ft - at.ground_ft)[asked]
    if np.isnan(true_agl_ft).all():
        lack = "terrain data" if np.isnan(at.ground_ft[asked]).all() else _AIR
        return unknown(limit, f"{lack} along the way")
    if np.isnan(true_agl_ft).any():
        return unknown(limit, f"terrain data, and {_AIR} on all of the way")
    n = int(np.argmin(true_agl_ft))
    off_ft = float((along.true_ft - at.msl_ft)[asked][n])
    return Finding(
        limit=limit,
        value=float(true_agl_ft[n]),
        sigma=ALTIMETER_FT / 2.0,
        where=f"{_utc(at.at_s[asked][n]):%H:%MZ}; {_off(off_ft)} than shown",
    )
