"""Alternates and who looks for the flight, as the flight file says them."""

from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from lubberline.demo import write_folder
from lubberline.errors import BadFile
from lubberline.flight import Beacon, read_plan


@pytest.fixture(scope="module")
def flight_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_folder(tmp_path_factory.mktemp("watch") / "pilot") / "flight.toml"


def test_the_starter_says_who_looks_for_it(flight_path: Path) -> None:
    flight = read_plan(flight_path).flight
    assert flight.alternate_ids == ("QSDG",)
    assert flight.watch is not None
    assert (flight.watch.overdue_min, flight.watch.persons_count) == (30.0, 1)
    beacon = Beacon(kind="ELT 406 MHz", registered=True, battery_until=date(2029, 6, 30))
    assert flight.watch.beacons == (beacon,)


def test_a_file_without_them_has_no_alternates_and_nobody_who_knows(flight_path: Path) -> None:
    text = flight_path.read_text(encoding="utf-8")
    start, end = text.index("[watch]"), text.index("# Winds aloft")
    bare = text[:start] + text[end:]
    path = flight_path.with_name("bare.toml")
    path.write_text(bare.replace("alternates", "# alternates"), encoding="utf-8")
    flight = read_plan(path).flight
    assert (flight.alternate_ids, flight.watch) == ((), None)


def test_a_time_of_being_overdue_is_told_in_utc(flight_path: Path) -> None:
    text = flight_path.read_text(encoding="utf-8")
    path = flight_path.with_name("overdue.toml")
    path.write_text(
        text.replace("overdue_min = 30 ", "overdue_utc = 2031-01-01T00:00:00-08:00 "),
        encoding="utf-8",
    )
    watch = read_plan(path).flight.watch
    assert watch is not None
    assert watch.overdue_utc == datetime(2031, 1, 1, 8, tzinfo=UTC)
    assert replace(watch, overdue_utc=None).overdue_min is None


@pytest.mark.parametrize(
    ("old", "new", "key", "expected"),
    [
        ('["QSDG"]', '["QMRL"]', "alternates.0", "neither the destination nor named above"),
        ('["QSDG"]', '["QSDG", "QSDG"]', "alternates.1", "neither the destination nor named above"),
        ('["QSDG"]', '["QSGD"]', "alternates.0", "one of: QSDG"),
        ("overdue_min = 30 ", "overdue_utc = 2020-01-01T00:00:00Z ", "watch.overdue_utc", "after"),
        ("ELT 406 MHz", "ELT 999 MHz", "watch.beacon.0.kind", "406"),
        ("persons_count = 1", "persons_count = 0", "watch.persons_count", "1"),
        ('phone = "000 0100"', "", "watch.phone", "a value"),
    ],
)
def test_what_cannot_be_is_refused_with_its_key(
    flight_path: Path, old: str, new: str, key: str, expected: str
) -> None:
    text = flight_path.read_text(encoding="utf-8")
    assert old in text
    path = flight_path.with_name("wrong.toml")
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(BadFile) as refused:
        read_plan(path)
    (problem,) = refused.value.problems
    assert problem.key == key
    assert expected in problem.expected
