"""What a pilot has flown and taught: take-offs and landings of the logbook and of recordings.

Values only; which of them count on a given day is for the rules in ``fit``.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Literal

# Who one was aboard: in command, alone aboard, under instruction, giving it.
FlownAs = Literal["command", "solo", "dual", "instruction"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Landings:
    """Take-offs and landings of one day in one category and class, as sole manipulator.

    ``landing_count`` counts all of them, ``full_stop_count`` those to a full stop. The night
    counts are those between 1 h after sunset and 1 h before sunrise, landings to a full stop.
    ``type_name`` is that of the airplane's file, ``crosswind_kt`` the most that was landed in;
    None where the logbook does not say.
    """

    on: date
    category_class: str
    tailwheel: bool
    takeoff_count: int
    landing_count: int
    full_stop_count: int = 0
    night_takeoff_count: int = 0
    night_full_stop_count: int = 0
    type_name: str | None = None
    crosswind_kt: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """One "take-off", "landing" or "touch-and-go" of a recording; ``on`` is its civil day there.

    A "landing" is one to a full stop. What the airplane counts as is None where its file did not
    say when it was recorded.
    """

    kind: str
    on: date
    at_utc: datetime
    lat_deg: float
    lon_deg: float
    category_class: str | None
    tailwheel: bool | None
    type_name: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """Flight training given or planned: when it begins and how long it flies."""

    from_utc: datetime
    flight_h: float

    @property
    def until_utc(self) -> datetime:
        """When it ends."""
        return self.from_utc + timedelta(hours=self.flight_h)
