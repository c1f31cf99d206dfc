"""One pilot: certificates, dates that make them current, and their own minimums.

Values only; the rules that turn dates into findings are in ``fit``.
"""

from dataclasses import dataclass
from datetime import date

from lubberline.pilot.fitness import Fitness
from lubberline.pilot.logbook import FlownAs, Landings, Lesson, Recorded
from lubberline.pilot.minimums import AfterPause, OwnMinimums


@dataclass(frozen=True, slots=True, kw_only=True)
class BasicMed:
    """Examination and course that stand in place of a medical certificate."""

    exam_on: date
    course_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Pilot:
    """One pilot. ``medical_class`` is 1, 2 or 3; dates are None where not on file.

    ``certificate`` is the highest grade in the rules' words; ``instructor`` whether a flight
    instructor certificate goes with it. ``ratings``, ``type_ratings``, ``endorsements``,
    ``landings`` and ``lessons`` are None where the file does not say; empty: there are none.
    ``instructor_recent_on`` is the day a requirement of instructor recency was last met, and
    ``instructor_recent_before_on`` the one before that. ``recorded`` are take-offs and landings
    that recordings show, whether or not they are in the logbook too. Within ``height_keeping_ft``
    of the planned height the pilot stays nine times in ten; None: not known. ``usual_role`` is who
    the pilot is aboard where a flight does not say; None where the file does not either.
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
    after_pause: AfterPause | None = None
    recorded: tuple[Recorded, ...] = ()
    height_keeping_ft: float | None = None
    type_ratings: tuple[str, ...] | None = None
    usual_role: FlownAs | None = None

    def days_since_landing(self, day: date, *, type_name: str | None = None) -> int | None:
        """Days from the last landing up to a day, in one type or any; None: none on file."""
        landed = [(one.on, one.type_name) for one in self.landings or () if one.landing_count]
        landed += [(one.on, one.type_name) for one in self.recorded if one.kind != "take-off"]
        days = [on for on, flown in landed if on <= day and type_name in (None, flown)]
        return (day - max(days)).days if days else None

    def own_on(self, day: date) -> OwnMinimums:
        """The minimums that hold on a day: the tighter ones after a pause, or without a landing."""
        if self.after_pause is None:
            return self.own
        return self.after_pause.on(self.own, self.days_since_landing(day))
