"""Night by the definition for logging and fuel: between the civil twilights."""

from datetime import datetime
from typing import Final, Protocol

from lubberline.earth import sun_position

CIVIL_TWILIGHT_DEG: Final = -6.0  # the sun's middle at either end of civil twilight: [USNO-RST]_


class Located(Protocol):
    """Anything with a position."""

    @property
    def lat_deg(self) -> float:
        """Latitude."""

    @property
    def lon_deg(self) -> float:
        """Longitude."""


def is_night(place: Located, when_utc: datetime) -> bool:
    """Whether it is night there at that time [14CFR1.1]_."""
    _, elevation_deg = sun_position(place.lat_deg, place.lon_deg, when_utc)
    return float(elevation_deg) < CIVIL_TWILIGHT_DEG
