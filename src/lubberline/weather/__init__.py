"""Reports, forecasts and winds aloft: read from text, and what they say at a place and a time."""

from lubberline.weather.advice import (
    BY_CONSEQUENCE,
    SURFACE,
    UNLIMITED,
    Area,
    Level,
    Notice,
    PilotReport,
)
from lubberline.weather.area_json import read_areas_json
from lubberline.weather.area_text import read_areas
from lubberline.weather.at import (
    altimeter_at,
    conditions_at,
    spans_at,
    temperature_at,
    wind_at,
    worst_at,
)
from lubberline.weather.briefing import read_briefing
from lubberline.weather.category import category_of, flight_category
from lubberline.weather.dictated import Heard, read_dictated
from lubberline.weather.forecast import read_taf
from lubberline.weather.model import (
    AloftStation,
    AloftTable,
    Conditions,
    Forecast,
    Report,
    Unread,
    UnreadableText,
    Weather,
    Wind,
    WindsAloft,
)
from lubberline.weather.notice import read_notice
from lubberline.weather.pilot_report import read_pilot_report
from lubberline.weather.report import read_metar
from lubberline.weather.sections import Section, sections_of, with_sections
from lubberline.weather.text import read_weather_text, unread_weather
from lubberline.weather.winds_between import winds_along, winds_between
from lubberline.weather.winds_table import read_winds_table
from lubberline.weather.worse import worse

__all__ = [
    "BY_CONSEQUENCE",
    "SURFACE",
    "UNLIMITED",
    "AloftStation",
    "AloftTable",
    "Area",
    "Conditions",
    "Forecast",
    "Heard",
    "Level",
    "Notice",
    "PilotReport",
    "Report",
    "Section",
    "Unread",
    "UnreadableText",
    "Weather",
    "Wind",
    "WindsAloft",
    "altimeter_at",
    "category_of",
    "conditions_at",
    "flight_category",
    "read_areas",
    "read_areas_json",
    "read_briefing",
    "read_dictated",
    "read_metar",
    "read_notice",
    "read_pilot_report",
    "read_taf",
    "read_weather_text",
    "read_winds_table",
    "sections_of",
    "spans_at",
    "temperature_at",
    "unread_weather",
    "wind_at",
    "winds_along",
    "winds_between",
    "with_sections",
    "worse",
    "worst_at",
]
