"""Who looks for a flight that does not arrive, and what of it searchers need to know."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

BeaconKind = Literal["ELT 406 MHz", "ELT 121.5 MHz", "personal 406 MHz"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Beacon:
    """A transmitter that helps to be found; None where the file does not say."""

    kind: BeaconKind
    registered: bool | None = None
    battery_until: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """Somebody who knows of the flight, and whom they call when it is overdue.

    Overdue is it at ``overdue_utc`` where that is given, else ``overdue_min`` after the planned
    arrival. ``zone`` is the time zone of who watches, "" for UTC. ``beacons`` are None where the
    file does not say; empty says that there are none.
    """

    who: str
    phone: str
    call: str
    overdue_min: float | None = None
    overdue_utc: datetime | None = None
    persons_count: int | None = None
    survival: tuple[str, ...] = ()
    beacons: tuple[Beacon, ...] | None = None
    zone: str = ""
