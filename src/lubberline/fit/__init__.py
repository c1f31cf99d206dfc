"""The rules that turn pilot, airplane and flight into findings."""

from lubberline.fit.along import Passage, passages
from lubberline.fit.altimeter import SettingUse, setting_error_ft, settings_along
from lubberline.fit.appointment import appointment_finding, draw
from lubberline.fit.areas import AreaMet, areas_met
from lubberline.fit.checks import NOT_CHECKED, check_fit
from lubberline.fit.daylight import local_day
from lubberline.fit.decisions import Decision
from lubberline.fit.direct import Direct, direct_of
from lubberline.fit.due import (
    ComingDue,
    NotAsked,
    airplane_due,
    airplane_not_asked,
    pilot_due,
    soonest_first,
)
from lubberline.fit.ends import alternate_settings, field_runways, settings
from lubberline.fit.fitness import open_findings
from lubberline.fit.fuel import trip_gal
from lubberline.fit.fuel_ahead import decision_words, order_words
from lubberline.fit.notices import Touch, touching
from lubberline.fit.reload import Reloaded, lightened, reload_flight
from lubberline.fit.risk import Risk, risks
from lubberline.fit.rules import RULE_SETS, RuleSet, rules_of
from lubberline.fit.runways import RunwayRow, chosen_because
from lubberline.fit.setting import Setting, asked_runway, times_utc
from lubberline.fit.tanks import Change, FuelPart, FuelPlan, PointFuel, fuel_plan
from lubberline.fit.us.landings import was_night
from lubberline.fit.verdict import fit_sentence
from lubberline.fit.watch import overdue_utc
from lubberline.fit.why import account, findings_of_key
from lubberline.fit.wind import wind_text

__all__ = [
    "NOT_CHECKED",
    "RULE_SETS",
    "AreaMet",
    "Change",
    "ComingDue",
    "Decision",
    "Direct",
    "FuelPart",
    "FuelPlan",
    "NotAsked",
    "Passage",
    "PointFuel",
    "Reloaded",
    "Risk",
    "RuleSet",
    "RunwayRow",
    "Setting",
    "SettingUse",
    "Touch",
    "account",
    "airplane_due",
    "airplane_not_asked",
    "alternate_settings",
    "appointment_finding",
    "areas_met",
    "asked_runway",
    "check_fit",
    "chosen_because",
    "decision_words",
    "direct_of",
    "draw",
    "field_runways",
    "findings_of_key",
    "fit_sentence",
    "fuel_plan",
    "lightened",
    "local_day",
    "open_findings",
    "order_words",
    "overdue_utc",
    "passages",
    "pilot_due",
    "reload_flight",
    "risks",
    "rules_of",
    "setting_error_ft",
    "settings",
    "settings_along",
    "soonest_first",
    "times_utc",
    "touching",
    "trip_gal",
    "was_night",
    "wind_text",
]
