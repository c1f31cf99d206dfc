"""The rules that turn pilot, airplane and flight into findings."""

from lubberline.fit.checks import NOT_CHECKED, check_fit
from lubberline.fit.due import (
    ComingDue,
    NotAsked,
    airplane_due,
    airplane_not_asked,
    pilot_due,
    soonest_first,
)
from lubberline.fit.fuel import trip_gal
from lubberline.fit.reload import Reloaded, lightened, reload_flight
from lubberline.fit.setting import Setting, settings, times_utc
from lubberline.fit.why import account, findings_of_key
from lubberline.fit.wind import wind_text

__all__ = [
    "NOT_CHECKED",
    "ComingDue",
    "NotAsked",
    "Reloaded",
    "Setting",
    "account",
    "airplane_due",
    "airplane_not_asked",
    "check_fit",
    "findings_of_key",
    "lightened",
    "pilot_due",
    "reload_flight",
    "settings",
    "soonest_first",
    "times_utc",
    "trip_gal",
    "wind_text",
]
