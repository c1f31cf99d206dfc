"""What the weather is at a place and a time, and the wind at a height."""

from datetime import datetime, timedelta
from functools import reduce
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.air import wind_east_north_kt, wind_from_east_north
from lubberline.arrays import FloatArray
from lubberline.weather.clock import check_zone
from lubberline.weather.model import Conditions, Report, Weather, WindsAloft
from lubberline.weather.worse import worse

REPORT_HOLDS: Final = timedelta(minutes=60)  # reports are hourly; common practice, no source


def conditions_at(weather: Weather, station: str, when_utc: datetime) -> Conditions | None:
    """What prevails at a station: from its forecast, or from its report where that is silent.

    The report counts within 60 minutes of its time, and only outside the validity of a
    forecast (common practice, no source). Temporary conditions and a report that speaks
    against the forecast are left to ``worst_at``.

    Parameters
    ----------
    weather : Weather
        Reports and forecasts by station.
    station : str
        Location code.
    when_utc : datetime
        Time, with its zone.

    Returns
    -------
    Conditions or None
        None if no text speaks of that place at that time.

    Raises
    ------
    RangeError
        If the time names no zone.
    """
    check_zone("when_utc", when_utc)
    forecast = _forecast_at(weather, station, when_utc)
    return forecast if forecast is not None else _report_at(weather, station, when_utc)


def spans_at(weather: Weather, station: str, when_utc: datetime) -> tuple[Conditions, ...]:
    """Everything that may be met at a station and a time, what prevails first.

    What prevails, then each temporary or probable span of the forecast, then the report if
    it is within 60 minutes of its time. Empty if no text speaks of that place at that time.

    Raises
    ------
    RangeError
        If the time names no zone.
    """
    check_zone("when_utc", when_utc)
    forecast = weather.forecasts.get(station)
    temporary = forecast.temporary if forecast is not None else ()
    spans = [
        _forecast_at(weather, station, when_utc),
        *(span for span in temporary if _holds(span, when_utc)),
        _report_at(weather, station, when_utc),
    ]
    return tuple(span for span in spans if span is not None)


def worst_at(weather: Weather, station: str, when_utc: datetime) -> Conditions | None:
    """The worst of everything that may be met, element by element; None if nothing is known.

    An element that one of the texts leaves unknown is unknown. Winds from different
    directions come to a variable one of the strongest speed; ``spans_at`` keeps them apart.

    Raises
    ------
    RangeError
        If the time names no zone.
    """
    spans = spans_at(weather, station, when_utc)
    return reduce(worse, spans) if spans else None


def altimeter_at(weather: Weather, station: str, when_utc: datetime | None = None) -> float | None:
    """Altimeter setting of the station's report [inHg]; None if there is none.

    With ``when_utc`` only a report within 60 minutes of that time counts.

    Raises
    ------
    RangeError
        If the time names no zone.
    """
    report = _report_near(weather, station, when_utc)
    return report.altimeter_inhg if report is not None else None


def temperature_at(
    weather: Weather, station: str, when_utc: datetime | None = None
) -> float | None:
    """Temperature of the station's report [°C]; None if there is none.

    With ``when_utc`` only a report within 60 minutes of that time counts.

    Raises
    ------
    RangeError
        If the time names no zone.
    """
    report = _report_near(weather, station, when_utc)
    return report.temperature_degc if report is not None else None


def wind_at(aloft: WindsAloft, msl_ft: ArrayLike) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Wind and temperature at a height: (from_true_deg, wind_kt, oat_degc).

    Parameters
    ----------
    aloft : WindsAloft
        Wind and temperature by height.
    msl_ft : array_like, shape S
        Height above mean sea level [ft].

    Returns
    -------
    tuple of ndarray, shape S
        Direction the wind comes from, true [deg]; speed [kt]; temperature [°C]. East and
        north components and temperature are linear between two heights; below the lowest
        and above the highest the nearest one holds. NaN where the height is NaN, where a
        height next to it has no value, and everywhere if there are no heights.

    Raises
    ------
    RangeError
        If a given direction or speed is none (see ``wind_east_north_kt``).

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> aloft = WindsAloft(
    ...     msl_ft=np.array([3000.0, 6000.0]),
    ...     from_true_deg=np.array([270.0, 360.0]),
    ...     wind_kt=np.array([20.0, 20.0]),
    ...     oat_degc=np.array([8.0, 2.0]),
    ... )
    >>> [round(float(value), 1) for value in wind_at(aloft, 4500.0)]
    [315.0, 14.1, 5.0]
    """
    height_ft = np.asarray(msl_ft, dtype=np.float64)
    if aloft.msl_ft.size == 0:
        unknown = np.full(height_ft.shape, np.nan)
        return unknown, unknown.copy(), unknown.copy()
    east_kt, north_kt = wind_east_north_kt(aloft.from_true_deg, aloft.wind_kt)
    between = [
        np.asarray(np.interp(height_ft, aloft.msl_ft, column))
        for column in (east_kt, north_kt, aloft.oat_degc)
    ]
    from_true_deg, wind_kt = wind_from_east_north(between[0], between[1])
    return from_true_deg, wind_kt, between[2]


def _holds(span: Conditions, when_utc: datetime) -> bool:
    return span.from_utc <= when_utc < span.until_utc


def _forecast_at(weather: Weather, station: str, when_utc: datetime) -> Conditions | None:
    forecast = weather.forecasts.get(station)
    spans = forecast.prevailing if forecast is not None else ()
    return next((span for span in spans if _holds(span, when_utc)), None)


def _report_near(weather: Weather, station: str, when_utc: datetime | None) -> Report | None:
    report = weather.reports.get(station)
    if report is None or when_utc is None:
        return report
    check_zone("when_utc", when_utc)
    return report if abs(when_utc - report.observed_utc) <= REPORT_HOLDS else None


def _report_at(weather: Weather, station: str, when_utc: datetime) -> Conditions | None:
    report = _report_near(weather, station, when_utc)
    if report is None:
        return None
    return Conditions(
        from_utc=report.observed_utc - REPORT_HOLDS,
        until_utc=report.observed_utc + REPORT_HOLDS,
        wind=report.wind,
        visibility_sm=report.visibility_sm,
        ceiling_agl_ft=report.ceiling_agl_ft,
        text=report.text,
        weather=report.weather,
        visibility_is_least=report.visibility_is_least,
    )
