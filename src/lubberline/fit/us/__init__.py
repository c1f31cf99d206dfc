"""United States rules for one flight under visual flight rules, each citing its section."""

from lubberline.fit.us.certificates import certificate_findings
from lubberline.fit.us.equipment import Scene, equipment_findings
from lubberline.fit.us.fuel import fuel_reserve_min
from lubberline.fit.us.instructor import instructor_findings
from lubberline.fit.us.medical import MedicalScene, medical_findings
from lubberline.fit.us.night import is_night
from lubberline.fit.us.pilot import flight_review, medical
from lubberline.fit.us.recency import Carriage, in_recency_night, recency_findings
from lubberline.fit.us.upkeep import duties, upkeep_findings
from lubberline.fit.us.weather import NO_CEILING_AGL_FT, cloud_finding, weather_findings

__all__ = [
    "NO_CEILING_AGL_FT",
    "Carriage",
    "MedicalScene",
    "Scene",
    "certificate_findings",
    "cloud_finding",
    "duties",
    "equipment_findings",
    "flight_review",
    "fuel_reserve_min",
    "in_recency_night",
    "instructor_findings",
    "is_night",
    "medical",
    "medical_findings",
    "recency_findings",
    "upkeep_findings",
    "weather_findings",
]
