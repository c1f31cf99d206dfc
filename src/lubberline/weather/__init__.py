"""Reports, forecasts and winds aloft: read from text, and what they say at a place and a time."""

from lubberline.weather.at import (
    altimeter_at,
    conditions_at,
    spans_at,
    temperature_at,
    wind_at,
    worst_at,
)
from lubberline.weather.forecast import read_taf
from lubberline.weather.model import (
    Conditions,
    Forecast,
    Report,
    Unread,
    UnreadableText,
    Weather,
    Wind,
    WindsAloft,
)
from lubberline.weather.report import read_metar
from lubberline.weather.text import read_weather_text, unread_weather
from lubberline.weather.worse import worse

__all__ = [
    "Conditions",
    "Forecast",
    "Report",
    "Unread",
    "UnreadableText",
    "Weather",
    "Wind",
    "WindsAloft",
    "altimeter_at",
    "conditions_at",
    "read_metar",
    "read_taf",
    "read_weather_text",
    "spans_at",
    "temperature_at",
    "unread_weather",
    "wind_at",
    "worse",
    "worst_at",
]
