"""What a pilot's logbook says for recency: take-offs and landings of a day, lessons given.

Values only; which of them count on a given day is for the rules in ``fit``.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta


@dataclass(frozen=True, slots=True, kw_only=True)
class Landings:
    """Take-offs and landings of one day in one category and class, as sole manipulator.

    ``landing_count`` counts all of them, ``full_stop_count`` those to a full stop. The night
    counts are those between 1 h after sunset and 1 h before sunrise, landings to a full stop.
    """

    on: date
    category_class: str
    tailwheel: bool
    takeoff_count: int
    landing_count: int
    full_stop_count: int = 0
    night_takeoff_count: int = 0
    night_full_stop_count: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """Flight training given or planned: when it begins and how long it flies."""

    from_utc: datetime
    flight_h: float

    @property
    def until_utc(self) -> datetime:
        """When it ends."""
        return self.from_utc + timedelta(hours=self.flight_h)
