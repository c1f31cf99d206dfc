"""United States rules, both sides of each boundary; sections as cited in each rule."""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from lubberline.fit import us
from lubberline.line import Verdict
from lubberline.pilot import OwnMinimums, Pilot

PILOT = Pilot(
    name="A. Example",
    born_on=date(1985, 11, 11),
    certificate="commercial",
    medical_class=3,
    medical_on=date(2025, 11, 10),
    flight_review_on=date(2024, 3, 5),
    weight_lb=170.0,
    own=OwnMinimums(),
)
NOON = datetime(2026, 11, 25, 20, tzinfo=UTC)


@pytest.mark.parametrize(
    ("day", "verdict"),
    [(date(2026, 3, 31), Verdict.INSIDE), (date(2026, 4, 1), Verdict.OUTSIDE)],
)
def test_flight_review_ends_with_its_month(day: date, verdict: Verdict) -> None:
    # 14 CFR 61.56(c): review 2024-03-05.
    assert us.flight_review(PILOT, day).verdict is verdict


@pytest.mark.parametrize(
    ("examined", "day", "verdict"),
    [
        # 14 CFR 61.23(d) table, third class: 39 on the day of the examination, 60 months.
        (date(2025, 11, 10), date(2030, 11, 30), Verdict.INSIDE),
        (date(2025, 11, 10), date(2030, 12, 1), Verdict.OUTSIDE),
        # Day of the 40th birthday: 24 months.
        (date(2025, 11, 11), date(2027, 11, 30), Verdict.INSIDE),
        (date(2025, 11, 11), date(2027, 12, 1), Verdict.OUTSIDE),
    ],
)
def test_medical_depends_on_age_at_the_examination(
    examined: date, day: date, verdict: Verdict
) -> None:
    assert us.medical(replace(PILOT, medical_on=examined), day).verdict is verdict


def test_a_missing_date_is_unknown_and_says_where_it_belongs() -> None:
    absent = replace(PILOT, medical_on=None, flight_review_on=None)
    for finding in (us.medical(absent, NOON.date()), us.flight_review(absent, NOON.date())):
        assert finding.verdict is Verdict.UNKNOWN
        assert "pilot.toml" in finding.missing


def test_the_own_buffer_of_days_makes_it_close() -> None:
    careful = replace(PILOT, own=OwnMinimums(due_buffer_days=30))
    assert us.flight_review(careful, date(2026, 3, 2)).verdict is Verdict.CLOSE
    assert us.flight_review(careful, date(2026, 3, 1)).verdict is Verdict.INSIDE


@pytest.mark.parametrize(
    ("night", "soon", "least_min", "buffer_min", "paragraph"),
    [
        # 14 CFR 91.151(a): 30 min by day, 45 min by night.
        (False, False, 30.0, 0.0, "(a)(1)"),
        (False, True, 30.0, 15.0, "(a)(1)"),
        (True, True, 45.0, 0.0, "(a)(2)"),
    ],
)
def test_reserve_by_day_by_night_and_before_dark(
    night: bool, soon: bool, least_min: float, buffer_min: float, paragraph: str
) -> None:
    reserve = us.fuel_reserve(night=night, night_soon=soon)
    assert (reserve.least_min, reserve.buffer_min) == (least_min, buffer_min)
    assert paragraph in reserve.source
