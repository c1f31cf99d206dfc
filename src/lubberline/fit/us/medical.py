"""What a flight asks of the medical: privileges by class, or BasicMed in its place.

The limits of BasicMed are those of the change of November 2024 [14CFR61.113]_. Its examination
is counted in months to the day and not to the month's end, the stricter reading (memory).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from lubberline.aircraft import Aircraft
from lubberline.fit.calendar import due_after_months, due_finding, due_limit
from lubberline.fit.us.certificates import lacking_limit
from lubberline.fit.us.pilot import medical
from lubberline.line import Finding, Verdict, unknown
from lubberline.months import same_day_after
from lubberline.pilot import BasicMed, Pilot

COMMERCIAL_MONTHS: Final = 12  # [14CFR61.23]_ (d), second-class privileges, any age
EXAM_MONTHS: Final = 48  # [14CFR61.23]_ (c)(3), from memory: months, to the day
COURSE_MONTHS: Final = 24  # same: calendar months
HELD_AFTER: Final = date(2006, 7, 14)  # same: a medical certificate held after it
MOST_OCCUPANTS_COUNT: Final = 7  # [14CFR61.113]_ (i), authorized to carry
MOST_WEIGHT_LB: Final = 12_500.0  # same, maximum take-off weight
MOST_MSL_FT: Final = 18_000.0  # same
MOST_IAS_KT: Final = 250.0  # same


@dataclass(frozen=True, slots=True, kw_only=True)
class MedicalScene:
    """What of a flight decides which medical it asks for."""

    day: date
    hire: str | None
    top_msl_ft: float


def medical_findings(aircraft: Aircraft, pilot: Pilot, scene: MedicalScene) -> Iterator[Finding]:
    """The dates of what serves as medical, the limits that it sets, and what hire asks on top."""
    yield from medical_dates(pilot, scene.day)
    if _uses_basicmed(pilot, scene.day):
        yield _basicmed_limits(aircraft, pilot, scene)
    if scene.hire == "persons":
        yield medical_commercial(pilot, scene.day)


def medical_dates(pilot: Pilot, day: date) -> Iterator[Finding]:
    """The medical by its class; BasicMed instead, where it is on file and the other is not good."""
    if pilot.basicmed is not None and _uses_basicmed(pilot, day):
        yield from _basicmed_dates(pilot, pilot.basicmed, day)
    else:
        yield medical(pilot, day)


def medical_commercial(pilot: Pilot, flight_day: date) -> Finding:
    """Days left of second-class privileges, from a first- or second-class certificate."""
    limit = due_limit(
        "pilot.medical_commercial",
        "medical, commercial privileges",
        "14 CFR 61.23(d), table, read 2026-11-25",
        buffer_days=pilot.own.due_buffer_days,
    )
    if pilot.medical_class == 3 and pilot.medical_on is not None:
        lacking = lacking_limit(limit.key, limit.label, limit.source)
        return Finding(limit=lacking, value=1.0, note="a third-class medical never serves for hire")
    return due_after_months(
        limit,
        pilot.medical_on,
        flight_day,
        months_count=COMMERCIAL_MONTHS,
        supplied_by="medical_on and medical_class in pilot.toml",
    )


def _uses_basicmed(pilot: Pilot, day: date) -> bool:
    good = medical(pilot, day).verdict in (Verdict.INSIDE, Verdict.CLOSE)
    return pilot.basicmed is not None and not good


def _basicmed_dates(pilot: Pilot, basicmed: BasicMed, day: date) -> Iterator[Finding]:
    source = "14 CFR 61.23(c)(3) and part 68, read 2026-11-25"
    buffer_days = pilot.own.due_buffer_days
    exam = due_limit("pilot.basicmed_exam", "BasicMed examination", source, buffer_days=buffer_days)
    last_day = same_day_after(basicmed.exam_on, months_count=EXAM_MONTHS)
    note = f"done {basicmed.exam_on}; {EXAM_MONTHS} months to the day, from memory"
    yield due_finding(exam, last_day, day, note=note)
    course = due_limit("pilot.basicmed_course", "BasicMed course", source, buffer_days=buffer_days)
    yield due_after_months(
        course,
        basicmed.course_on,
        day,
        months_count=COURSE_MONTHS,
        supplied_by="course_on under [basicmed] in pilot.toml",
    )


def _basicmed_limits(aircraft: Aircraft, pilot: Pilot, scene: MedicalScene) -> Finding:
    """How many of its limits the flight does not keep."""
    limit = lacking_limit(
        "pilot.basicmed_limits",
        "limits of BasicMed",
        "14 CFR 61.113(i) as amended November 2024, read 2026-11-25",
    )
    asked: dict[str, bool | None] = {
        f"at most {MOST_OCCUPANTS_COUNT} occupants": _at_most(
            aircraft.occupants_max_count, MOST_OCCUPANTS_COUNT
        ),
        f"at most {MOST_WEIGHT_LB:,.0f} lb": aircraft.loading.max_takeoff_lb <= MOST_WEIGHT_LB,
        f"at most {MOST_MSL_FT:,.0f} ft": scene.top_msl_ft <= MOST_MSL_FT,
        f"at most {MOST_IAS_KT:g} kt indicated": _slow_enough(aircraft),
        "not for hire": None if scene.hire is None else scene.hire != "persons",
        f"a medical held after {HELD_AFTER} (memory)": _held(pilot),
    }
    broken = [words for words, kept in asked.items() if kept is False]
    doubts = [words for words, kept in asked.items() if kept is None]
    note = f"not kept: {', '.join(broken)}" if broken else ""
    if doubts and not broken:
        supply = "occupants_max_count in the aircraft file, hire in flight.toml, medical_on"
        return unknown(limit, f"{supply}: {', '.join(doubts)}")
    return Finding(limit=limit, value=float(len(broken)), note=note)


def _at_most(count: int | None, most: int) -> bool | None:
    return None if count is None else count <= most


def _slow_enough(aircraft: Aircraft) -> bool | None:
    """Never faster where the airplane cannot be; not known where only the pilot could see to it."""
    if max(aircraft.climb_ias_kt, aircraft.descent_ias_kt) > MOST_IAS_KT:
        return False
    return True if aircraft.speeds.never_exceed_kt <= MOST_IAS_KT else None


def _held(pilot: Pilot) -> bool | None:
    """An examination after the day proves it; an older one may still have been good then."""
    return True if pilot.medical_on is not None and pilot.medical_on > HELD_AFTER else None
