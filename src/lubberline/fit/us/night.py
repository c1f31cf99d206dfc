"""Night by the definition for logging and fuel: between the civil twilights."""

from datetime import datetime
from typing import Final

from lubberline.earth import sun_position
from lubberline.places import Aerodrome

CIVIL_TWILIGHT_DEG: Final = -6.0  # the sun's middle at either end of civil twilight: [USNO-RST]_


def is_night(aerodrome: Aerodrome, when_utc: datetime) -> bool:
    """Whether it is night there at that time [14CFR1.1]_."""
    _, elevation_deg = sun_position(aerodrome.lat_deg, aerodrome.lon_deg, when_utc)
    return float(elevation_deg) < CIVIL_TWILIGHT_DEG
