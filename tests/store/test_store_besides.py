"""What is kept beside the findings: conditions, marks, numbers, files, corrections."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.orm import Session

from lubberline.errors import NoSolution, RangeError
from lubberline.store import (
    Added,
    FlightConditions,
    KeptFile,
    NewFlight,
    Observed,
    OwnMark,
    add_flight,
    add_marks,
    check_store,
    conditions_of,
    correct_flight,
    corrections_of,
    export_flights,
    files_of,
    find_flight,
    flights_with_conditions,
    import_flights,
    marks_of,
    observed_flights,
    open_store,
    own_marks,
    remove_flight,
)

FLOWN_UTC = datetime(2026, 5, 2, 15, tzinfo=UTC)
WINDY = FlightConditions(wind_kt=18.0, crosswind_kt=9.5, gust_kt=27.0, weight_lb=3050.0, night=True)
MARK = OwnMark(key="approach", made_utc=FLOWN_UTC, mark="close", note="floated")
CHANCE = OwnMark(key="flown.cruise_height_rms", made_utc=FLOWN_UTC, chance_fraction=0.8)
TAS = Observed(key="cruise_tas_kt", unit="kt", value=141.2, sigma=1.3, target=145.0)
AIRPLANE = KeptFile(role="airplane", name="heron.toml", content=b"name = 'heron'\n" * 50)
PILOT = KeptFile(role="pilot", name="pilot.toml", content=b"name = 'A. Pilot'\n" * 50)


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    with open_store(tmp_path / "flights.db") as store, store.writing() as writing:
        yield writing


def added(session: Session, days: float = 0.0, pilot: str = "A. Pilot") -> int:
    result = add_flight(
        session,
        NewFlight(
            flown_utc=FLOWN_UTC + timedelta(days=days),
            title="flight",
            departure_id="QAAA",
            destination_id="QBBB",
            aircraft="Blue Heron",
            pilot=pilot,
            movement_count=2,
            recording_name="a.gpx",
            recording=f"{pilot} {days}".encode(),
            findings=(),
            conditions=WINDY,
            marks=(MARK, CHANCE),
            observed=(TAS,),
            files=(AIRPLANE, PILOT),
        ),
    )
    assert isinstance(result, Added)
    session.expire_all()
    return result.flight_id


def test_days_since_the_last_flight_are_each_pilots_own(session: Session) -> None:
    for days, pilot in ((0.0, "A. Pilot"), (1.0, "B. Pilot"), (10.5, "A. Pilot")):
        added(session, days, pilot)
    assert [one.since_last_days for one in flights_with_conditions(session)] == [None, None, 10.5]
    (only,) = flights_with_conditions(session, pilot="B. Pilot")
    assert (only.pilot, only.conditions) == ("B. Pilot", WINDY)


def test_flights_in_other_airplanes_count_as_flown(session: Session) -> None:
    added(session, 0.0)
    correct_flight(session, added(session, 3.0), "aircraft", "Red Heron", reason="mistyped")
    _, latest = flights_with_conditions(session)
    assert (latest.aircraft, latest.since_last_days) == ("Red Heron", 3.0)


def test_marks_come_back_with_their_flight(session: Session) -> None:
    flight_id = added(session)
    assert [one.mark for one in own_marks(session)] == [MARK, CHANCE]
    assert {one.flight_id for one in own_marks(session, pilot="A. Pilot")} == {flight_id}
    assert own_marks(session, pilot="nobody") == []


def test_a_mark_once_given_stays(session: Session) -> None:
    flight_id = added(session)
    later = OwnMark(key="approach", made_utc=FLOWN_UTC, mark="inside")
    cruise = OwnMark(key="cruise", made_utc=FLOWN_UTC, mark="inside")
    assert add_marks(session, flight_id, [later, cruise]) == 1
    assert marks_of(session, flight_id) == [MARK, CHANCE, cruise]


@pytest.mark.parametrize(
    "wrong",
    [
        {},
        {"mark": "superb"},
        {"chance_fraction": 1.2},
        {"mark": "inside", "made_utc": FLOWN_UTC.replace(tzinfo=None)},
    ],
)
def test_a_mark_that_says_nothing_usable_is_refused(wrong: dict[str, object]) -> None:
    given: dict[str, object] = {"key": "approach", "made_utc": FLOWN_UTC, **wrong}
    with pytest.raises(RangeError):
        OwnMark(**given)  # type: ignore[arg-type]


def test_observed_numbers_say_who_flew_what(session: Session) -> None:
    added(session)
    (one,) = observed_flights(session)
    assert (one.pilot, one.aircraft, one.observed) == ("A. Pilot", "Blue Heron", TAS)


def test_the_same_file_is_kept_once_for_all_flights(session: Session) -> None:
    first, second = added(session, 0.0), added(session, 1.0)
    assert session.execute(text("SELECT count(*) FROM content")).scalar_one() == 2
    assert files_of(session, first) == files_of(session, second) == [AIRPLANE, PILOT]
    assert files_of(session, first, "pilot") == [PILOT]


def test_a_file_goes_with_the_last_flight_that_had_it(session: Session) -> None:
    first, second = added(session, 0.0), added(session, 1.0)
    remove_flight(session, first)
    assert files_of(session, second) == [AIRPLANE, PILOT]
    remove_flight(session, second)
    assert session.execute(text("SELECT count(*) FROM content")).scalar_one() == 0


def test_a_damaged_file_is_found_and_never_handed_out(tmp_path: Path) -> None:
    path = tmp_path / "flights.db"
    with open_store(path) as store, store.writing() as session:
        flight_id = added(session)
        session.execute(text("UPDATE content SET packed = x'00'"))
        with pytest.raises(NoSolution, match=r"heron\.toml of flight 1 is damaged"):
            files_of(session, flight_id)
    assert len(check_store(path).problems) == 2


def test_a_correction_keeps_what_was(session: Session) -> None:
    flight_id = added(session)
    correct_flight(session, flight_id, "pilot", "B. Pilot", reason="right seat", made_utc=FLOWN_UTC)
    assert find_flight(session, flight_id).pilot == "B. Pilot"
    (one,) = corrections_of(session, flight_id)
    assert (one.field, one.was, one.becomes) == ("pilot", "A. Pilot", "B. Pilot")
    assert (one.reason, one.made_utc) == ("right seat", FLOWN_UTC)


@pytest.mark.parametrize(
    ("field", "becomes", "reason"),
    [
        ("recording_sha256", "x", "why"),
        ("pilot", "B. Pilot", " "),
        ("pilot", "", "why"),
        ("pilot", "A. Pilot", "why"),
    ],
)
def test_what_is_no_correction_is_refused(
    session: Session, field: str, becomes: str, reason: str
) -> None:
    flight_id = added(session)
    with pytest.raises(RangeError):
        correct_flight(session, flight_id, field, becomes, reason=reason)
    assert corrections_of(session, flight_id) == []


def test_an_export_brings_all_of_it_back(session: Session, tmp_path: Path) -> None:
    correct_flight(session, added(session), "title", "other", reason="mistyped")
    export_flights(session, tmp_path / "out")
    with open_store(tmp_path / "new.db") as store, store.writing() as new:
        import_flights(new, tmp_path / "out")
        assert conditions_of(new, 1) == WINDY
        assert marks_of(new, 1) == [MARK, CHANCE]
        assert [one.observed for one in observed_flights(new)] == [TAS]
        assert files_of(new, 1) == [AIRPLANE, PILOT]
        assert corrections_of(new, 1) == corrections_of(session, 1)
