"""Ratings, endorsements and recency against 14 CFR 61.31 and 61.57, on both sides."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

import lubberline
from lubberline.aircraft import Aircraft, read_aircraft
from lubberline.aircraft._schema import AircraftForm
from lubberline.earth import sun_times
from lubberline.fit import us
from lubberline.fit.us.recency import Carriage, is_recent, recency_findings
from lubberline.line import Finding, Verdict
from lubberline.pilot import Landings, OwnMinimums, Pilot
from lubberline.pilot._logbook_schema import CategoryClass
from lubberline.places import Aerodrome

FILES = Path(lubberline.__file__).parent / "demo" / "files"
HERON = read_aircraft(FILES / "aircraft" / "heron.toml")
LAND = "airplane single-engine land"
PILOT = Pilot(
    name="A. Example",
    born_on=date(1985, 11, 11),
    certificate="private",
    medical_class=None,
    medical_on=None,
    flight_review_on=None,
    weight_lb=170.0,
    own=OwnMinimums(),
    ratings=(LAND,),
    endorsements=(),
)
WREN = Aerodrome(
    id="QWRN",
    name="Wren Island",
    lat_deg=41.0,
    lon_deg=-131.0,
    elev_msl_ft=12.0,
    pattern_agl_ft=1_000.0,
    runways=(),
)
DAY = date(2026, 4, 1)
THREE = Landings(
    on=date(2026, 1, 1),
    category_class=LAND,
    tailwheel=False,
    takeoff_count=3,
    landing_count=3,
    full_stop_count=3,
    night_takeoff_count=3,
    night_full_stop_count=3,
)


def certified(aircraft: Aircraft, pilot: Pilot) -> dict[str, Finding]:
    return {one.limit.key: one for one in us.certificate_findings(aircraft, pilot)}


def recency(
    *landings: Landings, aircraft: Aircraft = HERON, day: date = DAY, carries: bool = True
) -> list[Finding]:
    pilot = replace(PILOT, landings=landings)
    carriage = us.Carriage(day=day, carries_persons=carries, in_night=True)
    return list(us.recency_findings(aircraft, pilot, carriage))


def verdicts(*landings: Landings, aircraft: Aircraft = HERON) -> list[Verdict]:
    return [one.verdict for one in recency(*landings, aircraft=aircraft)]


@pytest.mark.parametrize(("horsepower_hp", "asked"), [(200.0, False), (200.1, True)])
def test_exactly_two_hundred_horsepower_is_not_high_performance(
    horsepower_hp: float, asked: bool
) -> None:
    # 14 CFR 61.31(f): an engine of more than 200 horsepower.
    found = certified(replace(HERON, horsepower_hp=horsepower_hp), PILOT)
    assert ("pilot.high_performance" in found) is asked


@pytest.mark.parametrize(
    ("retractable", "controllable", "category_class", "asked"),
    [
        # 14 CFR 61.31(e)(1): retractable gear, flaps and controllable propeller, all of them.
        (True, True, LAND, True),
        (False, True, LAND, False),
        (True, False, LAND, False),
        # 14 CFR 61.1, from memory: a seaplane without wheels to retract.
        (False, True, "airplane single-engine sea", True),
    ],
)
def test_complex_asks_for_all_three(
    retractable: bool, controllable: bool, category_class: str, asked: bool
) -> None:
    airplane = replace(
        HERON,
        retractable=retractable,
        controllable_propeller=controllable,
        category_class=category_class,
    )
    assert ("pilot.complex" in certified(airplane, PILOT)) is asked


@pytest.mark.parametrize("name", ["complex", "high performance", "tailwheel"])
def test_each_endorsement_is_its_own(name: str) -> None:
    airplane = replace(HERON, horsepower_hp=230.0, tailwheel=True)
    held = certified(airplane, replace(PILOT, endorsements=(name,)))
    for other in ("complex", "high performance", "tailwheel"):
        wanted = Verdict.INSIDE if other == name else Verdict.OUTSIDE
        assert held[f"pilot.{other.replace(' ', '_')}"].verdict is wanted


def test_a_rating_for_another_class_does_not_serve() -> None:
    for rating, verdict in ((LAND, Verdict.INSIDE), (f"{LAND[:-4]}sea", Verdict.OUTSIDE)):
        assert (
            certified(HERON, replace(PILOT, ratings=(rating,)))["pilot.rating"].verdict is verdict
        )


@pytest.mark.parametrize(
    ("max_lb", "asks_for", "held", "verdict"),
    [
        (12_500.0, "", (), None),
        (12_501.0, "", (), Verdict.UNKNOWN),
        (12_501.0, "HERON 900", ("HERON 900",), Verdict.INSIDE),
        (2_900.0, "HERON 900", ("HERON 800",), Verdict.OUTSIDE),
        (2_900.0, "HERON 900", None, Verdict.UNKNOWN),
    ],
)
def test_a_type_rating_is_asked_for_by_weight_or_by_the_file(
    max_lb: float, asks_for: str, held: tuple[str, ...] | None, verdict: Verdict | None
) -> None:
    loading = replace(HERON.loading, max_takeoff_lb=max_lb)
    airplane = replace(HERON, loading=loading, type_rating=asks_for)
    found = certified(airplane, replace(PILOT, type_ratings=held)).get("pilot.type_rating")
    assert (found.verdict if found else None) is verdict


@pytest.mark.parametrize(("type_name", "lacking"), [("Heron 200", 0.0), ("Gull 90", 3.0)])
def test_a_type_rating_asks_for_landings_in_the_type(type_name: str, lacking: float) -> None:
    airplane = replace(HERON, type_rating="HERON 200")
    pilot = replace(PILOT, landings=(replace(THREE, type_name=type_name),))
    carriage = Carriage(day=DAY, carries_persons=True, in_night=False)
    (finding,) = recency_findings(airplane, pilot, carriage)
    assert finding.value == lacking


def test_what_a_file_does_not_say_is_unknown() -> None:
    silent = certified(HERON, replace(PILOT, ratings=None, endorsements=None))
    assert {one.verdict for one in silent.values()} == {Verdict.UNKNOWN}
    bare = certified(replace(HERON, category_class=None, tailwheel=None), PILOT)
    assert "aircraft file" in bare["pilot.rating"].missing
    assert "aircraft file" in bare["pilot.tailwheel"].missing


@pytest.mark.parametrize("certificate", ["student", "sport", "recreational"])
def test_a_certificate_without_ratings_is_never_silently_inside(certificate: str) -> None:
    found = certified(HERON, replace(PILOT, certificate=certificate))["pilot.rating"]
    assert found.verdict is Verdict.UNKNOWN
    assert "memory" in found.missing


def test_airplane_and_pilot_speak_of_the_same_classes() -> None:
    annotation = str(AircraftForm.model_fields["category_class"].annotation)
    assert all(repr(one) in annotation for one in get_args(CategoryClass))


@pytest.mark.parametrize(
    ("day", "verdict"), [(DAY, Verdict.INSIDE), (DAY + timedelta(days=1), Verdict.OUTSIDE)]
)
def test_landings_count_for_ninety_days(day: date, verdict: Verdict) -> None:
    # 14 CFR 61.57(a)(1), (b)(1): preceding 90 days; events of 2026-01-01 serve to 2026-04-01.
    for finding in recency(THREE, day=day):
        assert finding.verdict is verdict


def test_the_last_good_day_is_told() -> None:
    newer = replace(THREE, on=date(2026, 2, 1), takeoff_count=2, landing_count=2)
    day, night = recency(THREE, newer)
    assert day.where == "good through 2026-04-01"  # the third newest is of 1 January
    assert night.where == "good through 2026-05-02"


def test_flying_alone_never_asks() -> None:
    for finding in recency(carries=False):
        assert finding.verdict is Verdict.INSIDE
        assert "not asked for" in finding.note


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"takeoff_count": 2}, [Verdict.OUTSIDE, Verdict.INSIDE]),
        ({"landing_count": 2}, [Verdict.OUTSIDE, Verdict.INSIDE]),
        ({"full_stop_count": 2}, [Verdict.INSIDE, Verdict.INSIDE]),
        ({"night_takeoff_count": 2}, [Verdict.INSIDE, Verdict.OUTSIDE]),
        ({"night_full_stop_count": 2}, [Verdict.INSIDE, Verdict.OUTSIDE]),
        ({"category_class": "airplane multiengine land"}, [Verdict.OUTSIDE, Verdict.OUTSIDE]),
        ({"on": date(2026, 4, 2)}, [Verdict.OUTSIDE, Verdict.OUTSIDE]),
    ],
)
def test_each_count_is_asked_where_the_rule_asks(
    change: dict[str, object], expected: list[Verdict]
) -> None:
    assert verdicts(replace(THREE, **change)) == expected  # type: ignore[arg-type]


def test_a_tailwheel_airplane_asks_for_full_stops_in_one() -> None:
    taildragger = replace(HERON, tailwheel=True)
    assert verdicts(THREE, aircraft=taildragger) == [Verdict.OUTSIDE, Verdict.INSIDE]
    tail = replace(THREE, tailwheel=True)
    assert verdicts(tail, aircraft=taildragger)[0] is Verdict.INSIDE
    touched = replace(tail, full_stop_count=2)
    assert verdicts(touched, aircraft=taildragger)[0] is Verdict.OUTSIDE


def test_no_landings_on_file_is_unknown_and_none_flown_is_outside() -> None:
    carriage = us.Carriage(day=DAY, carries_persons=True, in_night=False)
    (finding,) = us.recency_findings(HERON, PILOT, carriage)
    assert "[[landing]] in pilot.toml" in finding.missing
    assert verdicts() == [Verdict.OUTSIDE, Verdict.OUTSIDE]


@given(st.dates(date(2020, 1, 1), date(2030, 12, 31)), st.integers(-200, 200))
def test_ninety_days_are_those_counted_one_by_one(flight_day: date, before_count: int) -> None:
    on = flight_day - timedelta(days=before_count)
    window = {flight_day - timedelta(days=number) for number in range(91)}
    assert is_recent(on, flight_day) is (on in window)


@pytest.mark.parametrize(
    ("from_sunset_min", "until_sunset_min", "night"),
    [(0, 59, False), (0, 60, True), (60, 90, True), (-90, -30, False)],
)
def test_night_of_recency_begins_an_hour_after_sunset(
    from_sunset_min: int, until_sunset_min: int, night: bool
) -> None:
    # 14 CFR 61.57(b)(1).
    sunset_utc = sun_times(41.0, -131.0, DAY).sunset_utc
    assert sunset_utc is not None
    times = (sunset_utc + timedelta(minutes=m) for m in (from_sunset_min, until_sunset_min))
    assert us.in_recency_night(WREN, *times) is night


@pytest.mark.parametrize(("before_sunrise_min", "night"), [(61, True), (60, False), (59, False)])
def test_night_of_recency_ends_an_hour_before_sunrise(before_sunrise_min: int, night: bool) -> None:
    sunrise_utc = sun_times(41.0, -131.0, DAY).sunrise_utc
    assert sunrise_utc is not None
    takeoff_utc = sunrise_utc - timedelta(minutes=before_sunrise_min)
    assert us.in_recency_night(WREN, takeoff_utc, takeoff_utc + timedelta(hours=2)) is night


def test_where_the_sun_does_not_set_its_height_decides() -> None:
    for month, night in ((6, False), (12, True)):
        noon_utc = datetime(2026, month, 21, 12, tzinfo=UTC)
        far_north = replace(WREN, lat_deg=80.0, lon_deg=0.0)
        assert us.in_recency_night(far_north, noon_utc, noon_utc + timedelta(hours=1)) is night
