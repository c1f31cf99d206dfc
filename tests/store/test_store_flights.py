"""Flights in and out: complete, once, in order, as our own types."""

import hashlib
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import numpy as np
import pytest
from sqlalchemy import text
from sqlalchemy.orm import Session

from lubberline.drift import DriftWord, Measure, judge
from lubberline.errors import NoSolution, RangeError
from lubberline.line import Finding, Limit, unknown
from lubberline.store import (
    Added,
    AlreadyThere,
    MeasuredFlight,
    MeasureKey,
    NewFlight,
    StoredMovement,
    add_flight,
    find_flight,
    findings_of,
    flights_between,
    list_flights,
    measure_keys,
    measures,
    open_store,
    pledge_of,
    recording_of,
    remove_flight,
)

FLOWN_UTC = datetime(2026, 5, 2, 15, 4, 5, 250_000, tzinfo=UTC)
HEIGHT = Limit(
    key="task.cruise_height_ft",
    label="height held in cruise",
    unit="ft",
    basis="standard",
    source="a standard, task 1",
    low=-100.0,
    high=100.0,
    target=0.0,
    buffer=20.0,
)
DUE = Limit(
    key="upkeep.due_days",
    label="inspection due",
    unit="days",
    basis="law",
    source="a rule, section 1",
    low=0.0,
    tolerance=30.0,
)
FINDINGS = (
    Finding(limit=HEIGHT, value=42.125, sigma=3.0, where="leg 1", note="gusty"),
    Finding(limit=HEIGHT, value=-61.0, sigma=0.1, where="leg 2"),
    Finding(limit=DUE, value=0.1 + 0.2),
    unknown(replace(DUE, key="upkeep.oil_h", low=None), "an oil record", where="hangar"),
)


def flight(number: int = 1, **changed: object) -> NewFlight:
    base = NewFlight(
        flown_utc=FLOWN_UTC + timedelta(days=number),
        title=f"flight {number}",
        departure_id="QAAA",
        destination_id="QBBB",
        aircraft="Blue Heron",
        pilot="A. Pilot",
        movement_count=2,
        recording_name=f"track-{number}.gpx",
        recording=f"recording {number} ".encode() * 500,
        findings=FINDINGS,
        pledge=b'{"title":"x"}',
        type_name="Q-2",
        category_class="airplane single-engine land",
        tailwheel=False,
        movements=tuple(
            StoredMovement(
                kind=kind,
                at_utc=FLOWN_UTC + timedelta(days=number, hours=n),
                lat_deg=41.0,
                lon_deg=-131.0,
            )
            for n, kind in enumerate(("take-off", "touch-and-go", "landing"))
        ),
    )
    return replace(base, **changed)  # type: ignore[arg-type]


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    with open_store(tmp_path / "flights.db") as store, store.writing() as writing:
        yield writing


def added(session: Session, new: NewFlight) -> int:
    result = add_flight(session, new)
    assert isinstance(result, Added)
    session.expire_all()
    return result.flight_id


def rows(session: Session, table: str) -> int:
    return int(session.execute(text(f"SELECT count(*) FROM {table}")).scalar_one())


def test_findings_come_back_as_they_went_in(session: Session) -> None:
    assert tuple(findings_of(session, added(session, flight()))) == FINDINGS


def test_the_recording_comes_back_byte_for_byte(session: Session) -> None:
    content = bytes(range(256)) * 7
    assert recording_of(session, added(session, flight(recording=content))) == content


def test_the_recording_is_kept_small(session: Session) -> None:
    new = flight()
    added(session, new)
    size = session.execute(text("SELECT length(packed) FROM recording")).scalar_one()
    assert size < len(new.recording) / 10


@pytest.mark.parametrize("pledge", [b'{"a":1}', None])
def test_the_pledge_comes_back_or_is_none(session: Session, pledge: bytes | None) -> None:
    flight_id = added(session, flight(pledge=pledge))
    assert pledge_of(session, flight_id) == pledge
    expected = None if pledge is None else hashlib.sha256(pledge).hexdigest()
    assert find_flight(session, flight_id).pledge_sha256 == expected


def test_the_list_shows_what_was_added(session: Session) -> None:
    new = flight()
    flight_id = added(session, new)
    (shown,) = list_flights(session, limit=10)
    assert shown == find_flight(session, flight_id)
    for name in (
        *("flown_utc", "title", "departure_id", "destination_id", "aircraft", "pilot"),
        *("type_name", "category_class", "tailwheel", "movements"),
    ):
        assert getattr(shown, name) == getattr(new, name)
    assert (shown.movement_count, shown.recording_name) == (2, "track-1.gpx")
    assert shown.recording_sha256 == hashlib.sha256(new.recording).hexdigest()


def test_movements_go_with_their_flight(session: Session) -> None:
    remove_flight(session, added(session, flight()))
    assert rows(session, "movement") == 0


def test_flights_of_a_pilot_in_a_time_are_found(session: Session) -> None:
    for number in (2, 1, 3):
        added(session, flight(number))
    added(session, flight(4, pilot="B. Pilot"))
    first_utc, last_utc = FLOWN_UTC + timedelta(days=1), FLOWN_UTC + timedelta(days=3)
    found = flights_between(session, "A. Pilot", first_utc, last_utc)
    assert [one.title for one in found] == ["flight 1", "flight 2"]
    assert [one.kind for one in found[0].movements] == ["take-off", "touch-and-go", "landing"]
    assert not flights_between(session, "B. Pilot", first_utc, last_utc)


def test_the_list_is_newest_first_and_limited(session: Session) -> None:
    for number in (2, 5, 1, 4, 3):
        added(session, flight(number))
    assert [each.title for each in list_flights(session, limit=3)] == [
        *("flight 5", "flight 4", "flight 3")
    ]


def test_the_same_recording_twice_changes_nothing(session: Session) -> None:
    flight_id = added(session, flight())
    again = add_flight(session, flight(title="another name", findings=(), pledge=b"new"))
    assert again == AlreadyThere(
        flight_id=flight_id, title="flight 1", flown_utc=flight().flown_utc
    )
    assert [rows(session, table) for table in ("flight", "recording", "pledge")] == [1, 1, 1]
    assert rows(session, "finding") == len(FINDINGS)


def test_two_flights_may_be_held_to_one_pledge(session: Session) -> None:
    first, second = added(session, flight(1)), added(session, flight(2))
    assert rows(session, "pledge") == 1
    remove_flight(session, first)
    assert pledge_of(session, second) == flight().pledge
    remove_flight(session, second)
    assert rows(session, "pledge") == 0


def test_a_removed_flight_leaves_nothing_and_may_come_back(session: Session) -> None:
    remove_flight(session, added(session, flight()))
    tables = ("flight", "finding", "recording", "pledge")
    assert [rows(session, table) for table in tables] == [0, 0, 0, 0]
    assert isinstance(add_flight(session, flight()), Added)


def test_times_are_utc_whatever_zone_they_came_in(session: Session) -> None:
    west = timezone(timedelta(hours=-9))
    new = flight(flown_utc=FLOWN_UTC.astimezone(west))
    back = find_flight(session, added(session, new)).flown_utc
    assert back == FLOWN_UTC
    assert back.tzinfo is UTC


def test_a_time_without_a_zone_is_refused() -> None:
    with pytest.raises(RangeError, match="flown_utc of 'flight 1' has no time zone; give UTC"):
        flight(flown_utc=FLOWN_UTC.replace(tzinfo=None))


def test_an_empty_recording_is_refused() -> None:
    with pytest.raises(RangeError, match=r"track-1\.gpx has 0 bytes; expected 1 to"):
        flight(recording=b"")


@pytest.mark.parametrize("ask", [findings_of, recording_of, pledge_of, find_flight, remove_flight])
def test_a_flight_that_is_not_there_is_said_so(session: Session, ask: object) -> None:
    assert callable(ask)
    with pytest.raises(NoSolution, match="no flight 99 in the store"):
        ask(session, 99)


@pytest.mark.parametrize("damage", ["x'00'", "substr(packed, 1, 20)"])
def test_a_damaged_recording_is_never_handed_out(session: Session, damage: str) -> None:
    flight_id = added(session, flight())
    session.execute(text(f"UPDATE recording SET packed = {damage}"))
    with pytest.raises(NoSolution, match=r"flight 1 \(track-1.gpx\) is damaged"):
        recording_of(session, flight_id)


def of_height(value: float | None, sigma: float = 0.0, where: str = "") -> Finding:
    if value is None:
        return unknown(HEIGHT, "a recording with heights")
    return Finding(limit=HEIGHT, value=value, sigma=sigma, where=where)


def test_measures_are_the_latest_flights_oldest_first(session: Session) -> None:
    ids = {
        number: added(session, flight(number, findings=(of_height(10.0 * number, sigma=number),)))
        for number in (3, 1, 4, 2)
    }
    assert measures(session, HEIGHT.key, limit=3) == [
        MeasuredFlight(
            flight(number).flown_utc, f"flight {number}", 10.0 * number, number, ids[number]
        )
        for number in (2, 3, 4)
    ]


def test_an_unknown_value_neither_counts_nor_appears(session: Session) -> None:
    added(session, flight(1, findings=(of_height(10.0),)))
    added(session, flight(2, findings=(of_height(None),)))
    added(session, flight(3, findings=(of_height(30.0),)))
    values = [each.value for each in measures(session, HEIGHT.key, limit=2)]
    assert values == [10.0, 30.0]


def test_the_worst_of_several_findings_stands_for_the_flight(session: Session) -> None:
    legs = (of_height(40.0), of_height(-90.0, where="leg 2"), of_height(None), of_height(80.0))
    added(session, flight(1, findings=legs))
    assert [each.value for each in measures(session, HEIGHT.key, limit=9)] == [-90.0]


def test_without_a_limit_the_largest_stands_for_the_flight(session: Session) -> None:
    no_limit = replace(HEIGHT, low=None, high=None)
    legs = [
        Finding(limit=no_limit, value=value, where=where, missing="a standard")
        for where, value in (("a", 5.0), ("b", -70.0), ("c", 30.0))
    ]
    added(session, flight(1, findings=tuple(legs)))
    assert [each.value for each in measures(session, HEIGHT.key, limit=9)] == [-70.0]


def test_measures_of_one_pilot(session: Session) -> None:
    added(session, flight(1, findings=(of_height(10.0),)))
    added(session, flight(2, findings=(of_height(20.0),), aircraft="Red Kite"))
    added(session, flight(3, findings=(of_height(30.0),), pilot="B. Pilot"))

    def values(pilot: str | None = None) -> list[float]:
        return [each.value for each in measures(session, HEIGHT.key, limit=9, pilot=pilot)]

    assert values() == [10.0, 20.0, 30.0]
    assert values("A. Pilot") == [10.0, 20.0]


def test_an_unheard_key_has_no_measures(session: Session) -> None:
    added(session, flight())
    assert measures(session, "no.such", limit=9) == []


def test_values_in_different_units_are_not_mixed(session: Session) -> None:
    added(session, flight(1, findings=(of_height(10.0),)))
    meters = Finding(limit=replace(HEIGHT, unit="m"), value=3.0)
    added(session, flight(2, findings=(meters,)))
    with pytest.raises(NoSolution, match=r"cruise_height_ft was stored in different units \(ft, m"):
        measures(session, HEIGHT.key, limit=9)


def test_keys_are_listed_by_how_many_flights_know_them(session: Session) -> None:
    added(session, flight(1))
    added(session, flight(2, findings=(of_height(1.0), of_height(2.0))))
    renamed = Finding(limit=replace(HEIGHT, label="cruise height"), value=1.0)
    added(session, flight(3, findings=(renamed,)))
    assert measure_keys(session) == [
        MeasureKey(key=HEIGHT.key, label="cruise height", unit="ft", flight_count=3),
        MeasureKey(key=DUE.key, label=DUE.label, unit="days", flight_count=1),
    ]


def test_what_is_stored_can_be_judged(session: Session) -> None:
    for number in range(14):
        value = 40.0 + 3.0 * (number % 3) + (60.0 if number > 8 else 0.0)
        added(session, flight(number, findings=(of_height(value, sigma=1.0),)))
    stored = measures(session, HEIGHT.key, limit=40)
    flown_utc, titles, values, sigmas, _ = zip(*stored, strict=True)
    measure = Measure(
        key=HEIGHT.key,
        label=HEIGHT.label,
        unit=HEIGHT.unit,
        better="smaller",
        flown_utc=flown_utc,
        values=np.array(values),
        sigmas=np.array(sigmas),
        titles=titles,
    )
    assert judge(measure).word is DriftWord.SLIPPING
