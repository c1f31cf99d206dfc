"""The rules that turn pilot, airplane and flight into findings."""

from lubberline.fit.checks import NOT_CHECKED, check_fit, settings, times_utc
from lubberline.fit.fuel import trip_gal
from lubberline.fit.runway import Setting, wind_text

__all__ = ["NOT_CHECKED", "Setting", "check_fit", "settings", "times_utc", "trip_gal", "wind_text"]
