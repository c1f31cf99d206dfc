"""Reports, forecasts and winds aloft."""

from lubberline.weather.model import Conditions, Forecast, Report, Weather, Wind, WindsAloft

__all__ = [
    "Conditions",
    "Forecast",
    "Report",
    "Weather",
    "Wind",
    "WindsAloft",
]
