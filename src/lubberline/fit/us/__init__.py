"""United States rules for one flight under visual flight rules, each citing its section."""

from lubberline.fit.us.certificates import certificate_findings
from lubberline.fit.us.equipment import Scene, equipment_findings
from lubberline.fit.us.flight import airplane_findings, pilot_dates, pilot_findings
from lubberline.fit.us.fuel import DAY_RESERVE_MIN, Reserve, fuel_reserve
from lubberline.fit.us.instructor import instructor_findings, instructor_recency
from lubberline.fit.us.medical import MedicalScene, medical_dates, medical_findings
from lubberline.fit.us.minimums import Minimums, basic_minimums
from lubberline.fit.us.night import Located, is_night
from lubberline.fit.us.pilot import flight_review, medical
from lubberline.fit.us.recency import Carriage, in_recency_night, recency_findings
from lubberline.fit.us.sky import sky_findings
from lubberline.fit.us.upkeep import duties, upkeep_findings
from lubberline.fit.us.weather import (
    COUNTRY,
    WEATHER_SOURCE,
    FieldWeather,
    cloud_finding,
    weather_findings,
)

__all__ = [
    "COUNTRY",
    "DAY_RESERVE_MIN",
    "WEATHER_SOURCE",
    "Carriage",
    "FieldWeather",
    "Located",
    "MedicalScene",
    "Minimums",
    "Reserve",
    "Scene",
    "airplane_findings",
    "basic_minimums",
    "certificate_findings",
    "cloud_finding",
    "duties",
    "equipment_findings",
    "flight_review",
    "fuel_reserve",
    "in_recency_night",
    "instructor_findings",
    "instructor_recency",
    "is_night",
    "medical",
    "medical_dates",
    "medical_findings",
    "pilot_dates",
    "pilot_findings",
    "recency_findings",
    "sky_findings",
    "upkeep_findings",
    "weather_findings",
]
