"""One pilot: certificates, dates that make them current, and their own minimums.

Values only; the rules that turn dates into findings are in ``fit``.
"""

from dataclasses import dataclass
from datetime import date

from lubberline.pilot.fitness import Fitness
from lubberline.pilot.logbook import Landings, Lesson


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnMinimums:
    """What the pilot asks of a flight beyond the law; None where the pilot set nothing.

    ``runway_factor`` multiplies a table distance before it is held against the runway.
    """

    crosswind_kt: float | None = None
    tailwind_kt: float | None = None
    ceiling_agl_ft: float | None = None
    visibility_sm: float | None = None
    night_ceiling_agl_ft: float | None = None
    night_visibility_sm: float | None = None
    fuel_reserve_min: float | None = None
    density_altitude_ft: float | None = None
    terrain_clearance_ft: float | None = None
    airspace_lateral_nm: float = 0.0
    airspace_vertical_ft: float = 0.0
    runway_factor: float = 1.0
    due_buffer_days: int = 0
    due_buffer_h: float = 0.0
    sleep_h: float | None = None
    awake_h: float | None = None
    eaten_h: float | None = None
    stress_index: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BasicMed:
    """Examination and course that stand in place of a medical certificate."""

    exam_on: date
    course_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Pilot:
    """One pilot. ``medical_class`` is 1, 2 or 3; dates are None where not on file.

    ``certificate`` is the highest grade in the rules' words; ``instructor`` whether a flight
    instructor certificate goes with it. ``ratings``, ``endorsements``, ``landings`` and
    ``lessons`` are None where the file does not say; empty says that there are none.
    ``instructor_recent_on`` is the day a requirement of instructor recency was last met, and
    ``instructor_recent_before_on`` the one before that. ``own_after_pause`` are the minimums that
    hold in place of ``own`` when the last landing is more than ``pause_days`` ago.
    """

    name: str
    born_on: date
    certificate: str
    medical_class: int | None
    medical_on: date | None
    flight_review_on: date | None
    weight_lb: float
    own: OwnMinimums
    instructor: bool = False
    ratings: tuple[str, ...] | None = None
    endorsements: tuple[str, ...] | None = None
    landings: tuple[Landings, ...] | None = None
    lessons: tuple[Lesson, ...] | None = None
    instructor_recent_on: date | None = None
    instructor_recent_before_on: date | None = None
    basicmed: BasicMed | None = None
    fitness: Fitness | None = None
    own_after_pause: OwnMinimums | None = None
    pause_days: int | None = None

    def days_since_landing(self, day: date) -> int | None:
        """Days from the last landing up to a day; None where none is on file."""
        done = [one.on for one in self.landings or () if one.landing_count and one.on <= day]
        return (day - max(done)).days if done else None

    def own_on(self, day: date) -> OwnMinimums:
        """The minimums that hold on a day: the tighter ones after a pause, or without a landing."""
        if self.own_after_pause is None or self.pause_days is None:
            return self.own
        days = self.days_since_landing(day)
        return self.own if days is not None and days <= self.pause_days else self.own_after_pause
