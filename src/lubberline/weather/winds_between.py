"""Winds aloft between heights, stations and times, on east and north components.

Own convention, as no rule says how: linear in height between the levels that a station has and
not beyond them; between stations by the inverse square of the distance, from at most
``MOST_STATIONS`` within ``STATION_NM``; linear in time between the times of two forecasts. Where
only one forecast speaks, it holds while it is for use. Nothing is said outside of that.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime
from math import nan
from typing import Final

import numpy as np

from lubberline.air import wind_east_north_kt, wind_from_east_north
from lubberline.arrays import FloatArray
from lubberline.earth import course_and_distance
from lubberline.weather.clock import check_zone
from lubberline.weather.model import AloftStation, AloftTable, WindsAloft

STATION_NM: Final = 200.0  # own: stations lie some 100 to 150 NM apart
MOST_STATIONS: Final = 4  # own
AT_STATION_NM: Final = 1.0  # own: nearer than that a station speaks alone


def winds_between(
    tables: Iterable[AloftTable], *, lat_deg: float, lon_deg: float, when_utc: datetime
) -> WindsAloft:
    """The column of wind over a place at a time; empty where nothing is known.

    Raises
    ------
    RangeError
        If the time names no zone.
    """
    return winds_along(tables, [(lat_deg, lon_deg)], when_utc=when_utc)


def winds_along(
    tables: Iterable[AloftTable], places_deg: Sequence[tuple[float, float]], *, when_utc: datetime
) -> WindsAloft:
    """The mean column over places along a way at a time; empty where one of them has none.

    A level that one of the places lacks is NaN: nothing is said of it.

    Raises
    ------
    RangeError
        If the time names no zone.
    """
    check_zone("when_utc", when_utc)
    newest = _newest(tables)
    levels_ft = sorted(
        {ft for table in newest for one in table.stations for ft in one.winds.msl_ft}
    )
    parts = [_in_time(newest, place, np.array(levels_ft), when_utc) for place in places_deg]
    if not parts or not levels_ft:
        return _column(np.empty(0), np.empty((3, 0)))
    mean = np.mean(parts, axis=0)
    known = np.isfinite(mean[0])
    return _column(np.array(levels_ft)[known], mean[:, known])


def _newest(tables: Iterable[AloftTable]) -> list[AloftTable]:
    """One table for each time, the one made last, in the order of their times."""
    by_time: dict[datetime, AloftTable] = {}
    for table in tables:
        old = by_time.get(table.valid_utc)
        if old is None or (table.based_utc or table.valid_utc) >= (old.based_utc or old.valid_utc):
            by_time[table.valid_utc] = table
    return [by_time[time] for time in sorted(by_time)]


def _in_time(
    tables: Sequence[AloftTable],
    place: tuple[float, float],
    levels_ft: FloatArray,
    when_utc: datetime,
) -> FloatArray:
    """East, north [kt] and temperature at each level, between the forecasts before and after."""
    before = [table for table in tables if table.valid_utc <= when_utc]
    after = [table for table in tables if table.valid_utc > when_utc]
    if before and after:
        first, second = before[-1], after[0]
        share_ratio = (when_utc - first.valid_utc) / (second.valid_utc - first.valid_utc)
        both = [_over(table, place, levels_ft) for table in (first, second)]
        between = both[0] * (1.0 - share_ratio) + both[1] * share_ratio
        if np.isfinite(between).any():
            return np.asarray(between)
    in_use = [one for one in tables if one.use_from_utc <= when_utc < one.use_until_utc]
    if not in_use:
        return np.full((3, levels_ft.size), nan)
    nearest = min(in_use, key=lambda table: abs(table.valid_utc - when_utc))
    return _over(nearest, place, levels_ft)


def _over(table: AloftTable, place: tuple[float, float], levels_ft: FloatArray) -> FloatArray:
    """The same over a place from the stations near it."""
    known = [one for one in table.stations if one.lat_deg is not None and one.lon_deg is not None]
    if not known:
        return np.full((3, levels_ft.size), nan)
    lat_deg = np.array([one.lat_deg for one in known], dtype=np.float64)
    lon_deg = np.array([one.lon_deg for one in known], dtype=np.float64)
    away_nm = course_and_distance(place[0], place[1], lat_deg, lon_deg)[1]
    near = [n for n in np.argsort(away_nm) if away_nm[n] <= STATION_NM][:MOST_STATIONS]
    if near and away_nm[near[0]] <= AT_STATION_NM:
        near = near[:1]
    if not near:
        return np.full((3, levels_ft.size), nan)
    columns = np.array([_components(known[n], levels_ft) for n in near])
    weights = np.broadcast_to(
        (1.0 / np.maximum(away_nm[near], AT_STATION_NM) ** 2)[:, None, None], columns.shape
    )
    has = np.isfinite(columns)
    total = np.where(has, weights, 0.0).sum(axis=0)
    summed = np.where(has, weights * np.nan_to_num(columns), 0.0).sum(axis=0)
    mean = np.divide(summed, total, out=np.full_like(summed, nan), where=total > 0.0)
    return np.asarray(mean, dtype=np.float64)


def _components(station: AloftStation, levels_ft: FloatArray) -> FloatArray:
    """East, north and temperature of one station at levels; NaN beyond its own."""
    winds = station.winds
    open_end = np.isin(winds.msl_ft, station.open_msl_ft)
    east_kt, north_kt = wind_east_north_kt(winds.from_true_deg, winds.wind_kt)
    rows = [np.where(open_end, nan, east_kt), np.where(open_end, nan, north_kt), winds.oat_degc]
    if not winds.msl_ft.size:
        return np.full((3, levels_ft.size), nan)
    return np.array([np.interp(levels_ft, winds.msl_ft, row, left=nan, right=nan) for row in rows])


def _column(levels_ft: FloatArray, column: FloatArray) -> WindsAloft:
    from_true_deg, wind_kt = wind_from_east_north(column[0], column[1])
    return WindsAloft(
        msl_ft=levels_ft, from_true_deg=from_true_deg, wind_kt=wind_kt, oat_degc=column[2]
    )
