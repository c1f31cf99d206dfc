"""Night by the definition for logging and fuel: between the civil twilights."""

from datetime import datetime
from typing import Final

from lubberline.earth import sun_position
from lubberline.fit.daylight import sun_at
from lubberline.places import Aerodrome

CIVIL_TWILIGHT_DEG: Final = -6.0  # height of the sun at either end of civil twilight


def is_night(aerodrome: Aerodrome, when_utc: datetime) -> bool:
    """Whether it is night there at that time [14CFR1.1]_.

    Where the sun does not pass through twilight that day, its height decides.
    """
    sun = sun_at(aerodrome, when_utc)
    if sun.civil_dawn_utc is None or sun.civil_dusk_utc is None:
        _, elevation_deg = sun_position(aerodrome.lat_deg, aerodrome.lon_deg, when_utc)
        return float(elevation_deg) < CIVIL_TWILIGHT_DEG
    return not sun.civil_dawn_utc <= when_utc <= sun.civil_dusk_utc
