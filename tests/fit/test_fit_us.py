"""United States rules, both sides of each boundary; sections as cited in each rule."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from lubberline.fit import us
from lubberline.line import Finding, Verdict
from lubberline.pilot import OwnMinimums, Pilot
from lubberline.weather import Conditions

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


def test_reserve_is_thirty_minutes_by_day_and_forty_five_by_night() -> None:
    # 14 CFR 91.151(a).
    assert us.fuel_reserve_min(night=False)[0] == 30.0
    assert us.fuel_reserve_min(night=True)[0] == 45.0


def weather(visibility_sm: float | None, ceiling_agl_ft: float | None) -> Conditions:
    return Conditions(
        from_utc=NOON,
        until_utc=NOON + timedelta(hours=1),
        wind=None,
        visibility_sm=visibility_sm,
        ceiling_agl_ft=ceiling_agl_ft,
        text="made for the test",
    )


def verdicts(surface_class: str, conditions: Conditions | None, *, night: bool) -> list[Verdict]:
    found = us.weather_findings("destination", "QMRL", surface_class, conditions, night=night)
    return [finding.verdict for finding in found]


@pytest.mark.parametrize(
    ("surface_class", "night", "visibility_sm", "verdict"),
    [
        # 14 CFR 91.155(a) table.
        ("D", False, 3.0, Verdict.INSIDE),
        ("D", False, 2.75, Verdict.OUTSIDE),
        ("C", True, 3.0, Verdict.INSIDE),
        ("B", False, 2.9, Verdict.OUTSIDE),
        ("E", False, 3.0, Verdict.INSIDE),
        ("G", False, 1.0, Verdict.INSIDE),
        ("G", False, 0.75, Verdict.OUTSIDE),
        ("G", True, 3.0, Verdict.INSIDE),
        ("G", True, 2.9, Verdict.OUTSIDE),
    ],
)
def test_visibility_minimum_by_class_and_light(
    surface_class: str, night: bool, visibility_sm: float, verdict: Verdict
) -> None:
    assert verdicts(surface_class, weather(visibility_sm, 5_000.0), night=night)[0] is verdict


@pytest.mark.parametrize(
    ("ceiling_agl_ft", "verdict"), [(1_000.0, Verdict.INSIDE), (900.0, Verdict.OUTSIDE)]
)
def test_a_surface_area_wants_a_thousand_foot_ceiling(
    ceiling_agl_ft: float, verdict: Verdict
) -> None:
    # 14 CFR 91.155(c), from memory.
    assert verdicts("D", weather(10.0, ceiling_agl_ft), night=False)[1] is verdict


def test_class_g_has_no_ceiling_minimum() -> None:
    assert len(verdicts("G", weather(10.0, 500.0), night=False)) == 1


def test_no_weather_is_unknown_never_inside() -> None:
    assert verdicts("D", None, night=False) == [Verdict.UNKNOWN] * 2
    assert verdicts("D", weather(None, None), night=False) == [Verdict.UNKNOWN] * 2


def cloud(cruise_msl_ft: float, ceilings: dict[str, float | None]) -> Finding:
    return us.cloud_finding(cruise_msl_ft, ceilings)


def test_cruise_stays_five_hundred_feet_below_the_lowest_ceiling() -> None:
    # 14 CFR 91.155(a) table, class E: 500 ft below.
    ceilings: dict[str, float | None] = {"QWRN": 4_000.0, "QMRL": 6_000.0}
    assert cloud(3_500.0, ceilings).verdict is Verdict.INSIDE
    assert cloud(3_501.0, ceilings).verdict is Verdict.OUTSIDE
    assert cloud(3_000.0, {**ceilings, "QMRL": None}).verdict is Verdict.UNKNOWN
