"""Instructor recency, hours of training, commercial medical and BasicMed, on both sides."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import lubberline
from lubberline.aircraft import Aircraft, read_aircraft
from lubberline.fit import us
from lubberline.fit.due import pilot_due
from lubberline.fit.us.instructor import (
    instruction_hours,
    instructor_recency,
    most_hours_h,
    recency_last_day,
)
from lubberline.fit.us.medical import medical_commercial
from lubberline.line import Finding, Verdict
from lubberline.pilot import BasicMed, Lesson, OwnMinimums, Pilot

FILES = Path(lubberline.__file__).parent / "demo" / "files"
HERON = replace(
    read_aircraft(FILES / "aircraft" / "heron.toml"), occupants_max_count=7, ceiling_ft=20_000.0
)
PILOT = Pilot(
    name="A. Example",
    born_on=date(1985, 11, 11),
    certificate="commercial",
    medical_class=2,
    medical_on=date(2025, 11, 10),
    flight_review_on=None,
    weight_lb=170.0,
    own=OwnMinimums(),
    instructor=True,
)
START = datetime(2026, 11, 25, 20, tzinfo=UTC)


def lesson(start_min: int, duration_min: int) -> Lesson:
    return Lesson(from_utc=START + timedelta(minutes=start_min), flight_h=duration_min / 60.0)


@pytest.mark.parametrize(
    ("met_on", "before_on", "last_day"),
    [
        # 14 CFR 61.197(a): 24 calendar months after the month.
        (date(2025, 8, 20), None, date(2027, 8, 31)),
        # (b): the period from 2023-10 ends 2025-10-31; met from August on, the next follows it.
        (date(2025, 8, 1), date(2023, 10, 2), date(2027, 10, 31)),
        (date(2025, 7, 31), date(2023, 10, 2), date(2027, 7, 31)),
        (date(2025, 10, 31), date(2023, 10, 2), date(2027, 10, 31)),
        (date(2025, 11, 1), date(2023, 10, 2), date(2027, 11, 30)),
    ],
)
def test_instructor_recency_ends_with_its_month(
    met_on: date, before_on: date | None, last_day: date
) -> None:
    assert recency_last_day(met_on, before_on) == last_day


def test_instructor_recency_on_its_last_day_and_after() -> None:
    recent = replace(PILOT, instructor_recent_on=date(2024, 11, 2))
    assert instructor_recency(recent, date(2026, 11, 30)).verdict is Verdict.INSIDE
    assert instructor_recency(recent, date(2026, 12, 1)).verdict is Verdict.OUTSIDE


@pytest.mark.parametrize("met_on", [None, date(2026, 12, 1)])
def test_instructor_recency_not_on_file_or_still_to_come_is_unknown(met_on: date | None) -> None:
    finding = instructor_recency(replace(PILOT, instructor_recent_on=met_on), START.date())
    assert finding.verdict is Verdict.UNKNOWN


def test_instruction_without_the_certificate_is_outside() -> None:
    found = us.instructor_findings(replace(PILOT, instructor=False), START.date(), lesson(0, 60))
    assert next(iter(found)).verdict is Verdict.OUTSIDE


@pytest.mark.parametrize(
    ("others", "verdict"),
    [
        # 14 CFR 61.195(a): 1 h now and 7 h before come to 8 h; a minute more does not.
        ((lesson(-600, 420),), Verdict.INSIDE),
        ((lesson(-600, 421),), Verdict.OUTSIDE),
        # 24 consecutive hours, not a calendar day: of the day before, what lies within 24 h
        # of the landing counts: 7 h of 8 h, and a minute more.
        ((lesson(-1_440, 480),), Verdict.INSIDE),
        ((lesson(-1_439, 480),), Verdict.OUTSIDE),
        # Planned for the next morning.
        ((lesson(600, 421),), Verdict.OUTSIDE),
        ((), Verdict.INSIDE),
    ],
)
def test_eight_hours_in_any_twenty_four(others: tuple[Lesson, ...], verdict: Verdict) -> None:
    finding = instruction_hours(replace(PILOT, lessons=others), lesson(0, 60))
    assert finding.verdict is verdict


def test_lessons_not_on_file_are_unknown() -> None:
    assert "[[lesson]]" in instruction_hours(PILOT, lesson(0, 60)).missing


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(-300, 300), st.integers(1, 30)).map(
            lambda pair: lesson(10 * pair[0], 10 * pair[1])
        ),
        max_size=4,
    )
)
def test_the_most_hours_are_those_of_every_window_tried(others: list[Lesson]) -> None:
    flight = lesson(0, 90)
    lessons = [*others, flight]

    def within_min(begin_min: int) -> int:
        """Minutes of training in the window, ten at a time: all edges lie on tens."""
        ticks = (START + timedelta(minutes=begin_min + 10 * n) for n in range(144))
        return 10 * sum(one.from_utc <= tick < one.until_utc for tick in ticks for one in lessons)

    most_min = max(within_min(begin_min) for begin_min in range(-1_440, 91, 10))
    assert most_hours_h(lessons, touching=flight) == pytest.approx(most_min / 60.0)


@pytest.mark.parametrize(
    ("medical_class", "day", "verdict"),
    [
        # 14 CFR 61.23(d): second-class privileges to the end of the 12th month, from 1 or 2.
        (2, date(2026, 11, 30), Verdict.INSIDE),
        (2, date(2026, 12, 1), Verdict.OUTSIDE),
        (1, date(2026, 11, 30), Verdict.INSIDE),
        (3, date(2025, 11, 11), Verdict.OUTSIDE),
    ],
)
def test_commercial_privileges_last_twelve_months(
    medical_class: int, day: date, verdict: Verdict
) -> None:
    assert medical_commercial(replace(PILOT, medical_class=medical_class), day).verdict is verdict


BASIC = replace(
    PILOT,
    medical_class=3,
    medical_on=date(2015, 1, 5),
    basicmed=BasicMed(exam_on=date(2022, 11, 25), course_on=date(2024, 11, 1)),
)


def medicals(
    pilot: Pilot = BASIC,
    *,
    aircraft: Aircraft = HERON,
    day: date = date(2026, 11, 25),
    hire: str | None = "rental",
    top_msl_ft: float = 18_000.0,
) -> dict[str, Finding]:
    scene = us.MedicalScene(day=day, hire=hire, top_msl_ft=top_msl_ft)
    return {one.limit.key: one for one in us.medical_findings(aircraft, pilot, scene)}


def test_a_commercial_medical_is_asked_for_only_with_persons_for_hire() -> None:
    for hire, asked in (("persons", True), ("instruction", False), ("rental", False)):
        assert ("pilot.medical_commercial" in medicals(PILOT, hire=hire)) is asked


def test_basicmed_stands_in_only_when_the_medical_is_not_good() -> None:
    assert set(medicals(replace(BASIC, medical_on=date(2026, 1, 5)))) == {"pilot.medical"}
    found = medicals()
    assert {one.verdict for one in found.values()} == {Verdict.INSIDE}
    assert set(found) == {"pilot.basicmed_exam", "pilot.basicmed_course", "pilot.basicmed_limits"}


def test_basicmed_examination_ends_on_the_day_and_the_course_with_its_month() -> None:
    # Part 68 and 61.23(c)(3): 48 months (memory: to the day) and 24 calendar months.
    after = medicals(day=date(2026, 11, 26))
    assert after["pilot.basicmed_exam"].verdict is Verdict.OUTSIDE
    assert after["pilot.basicmed_course"].verdict is Verdict.INSIDE
    assert medicals(day=date(2026, 12, 1))["pilot.basicmed_course"].verdict is Verdict.OUTSIDE
    assert "memory" in after["pilot.basicmed_exam"].note


@pytest.mark.parametrize(
    ("change", "verdict"),
    [
        # 14 CFR 61.113(i) as amended November 2024.
        ({"occupants_max_count": 8}, Verdict.OUTSIDE),
        ({"occupants_max_count": None}, Verdict.UNKNOWN),
        ({"descent_ias_kt": 250.1}, Verdict.OUTSIDE),
        ({"speeds": replace(HERON.speeds, never_exceed_kt=250.0)}, Verdict.INSIDE),
        ({"speeds": replace(HERON.speeds, never_exceed_kt=251.0)}, Verdict.UNKNOWN),
        ({"loading": replace(HERON.loading, max_takeoff_lb=12_500.0)}, Verdict.INSIDE),
        ({"loading": replace(HERON.loading, max_takeoff_lb=12_501.0)}, Verdict.OUTSIDE),
    ],
)
def test_basicmed_keeps_the_airplane_within_limits(
    change: dict[str, object], verdict: Verdict
) -> None:
    airplane = replace(HERON, **change)  # type: ignore[arg-type]
    assert medicals(aircraft=airplane)["pilot.basicmed_limits"].verdict is verdict


def test_basicmed_keeps_the_flight_within_limits() -> None:
    key = "pilot.basicmed_limits"
    assert medicals(top_msl_ft=18_001.0)[key].verdict is Verdict.OUTSIDE
    assert medicals(hire="persons")[key].verdict is Verdict.OUTSIDE
    assert medicals(hire=None)[key].verdict is Verdict.UNKNOWN
    never = replace(BASIC, medical_on=None, medical_class=None)
    assert "medical_on" in medicals(never)[key].missing


def test_what_comes_due_follows_what_serves() -> None:
    day = date(2026, 11, 25)
    recent = replace(BASIC, instructor_recent_on=date(2025, 8, 20))
    rows = {row.finding.limit.key: row.on for row in pilot_due(recent, day)}
    assert rows == {
        "pilot.basicmed_exam": date(2026, 11, 25),
        "pilot.basicmed_course": date(2026, 11, 30),
        "pilot.instructor_recency": date(2027, 8, 31),
        "pilot.flight_review": None,
    }
    assert {row.finding.limit.key for row in pilot_due(replace(PILOT, instructor=False), day)} == {
        "pilot.medical",
        "pilot.flight_review",
    }
