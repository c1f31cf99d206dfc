"""A pledge is read back exactly, or refused."""

import os
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from lubberline.errors import BadFile
from lubberline.flight import Pledge, PledgedGate, PledgedPoint, latest_pledge, read_pledge

OFF_UTC = datetime(2026, 11, 25, 20, 40, tzinfo=UTC)


def point(name: str, minute_count: int) -> PledgedPoint:
    return PledgedPoint(
        name=name,
        lat_deg=41.0,
        lon_deg=-131.5,
        msl_ft=60.0,
        over_utc=OFF_UTC + timedelta(minutes=minute_count),
        fuel_left_gal=40.0,
    )


PLEDGE = Pledge(
    title="Ægir to Żuraw, 5 °C",
    way_name="by hand",
    departure_id="QWRN",
    destination_id="QMRL",
    departure_runway="25",
    destination_runway="30",
    permissions=("marl-tower",),
    cruise_msl_ft=2500.0,
    off_block_utc=OFF_UTC,
    on_block_utc=OFF_UTC + timedelta(minutes=35),
    points=(point("QWRN", 8), point("QMRL", 32)),
    departure_altimeter_inhg=30.02,
    destination_altimeter_inhg=None,
    findings=({"key": "flight.fuel_legal", "value": 224.5},),
    inputs_sha256={"flight.toml": "ff00"},
    printed_utc=OFF_UTC - timedelta(minutes=35),
    program_version="0.1.0",
)


def written(folder: Path, pledge: Pledge) -> Path:
    path = folder / pledge.file_name
    path.write_bytes(pledge.canonical())
    return path


def test_a_pledge_reads_back_as_it_was_written(tmp_path: Path) -> None:
    read = read_pledge(written(tmp_path, PLEDGE))
    assert read == PLEDGE
    assert read.canonical() == PLEDGE.canonical()


def test_a_pledge_of_the_first_version_still_reads(tmp_path: Path) -> None:
    old = replace(PLEDGE, schema_version=1)
    path = written(tmp_path, old)
    assert b"gates" not in path.read_bytes()
    assert read_pledge(path) == old


def test_gates_and_practice_read_back(tmp_path: Path) -> None:
    gates = (PledgedGate(label="on speed", by="610 ft", text="75 kt"),)
    full = replace(PLEDGE, gates=gates, practice=("hold 75 kt on final",))
    assert read_pledge(written(tmp_path, full)) == full


def test_the_name_of_the_file_carries_the_hash() -> None:
    assert PLEDGE.file_name == f"pledge-{PLEDGE.sha256[:12]}.json"


def test_any_changed_byte_is_refused(tmp_path: Path) -> None:
    path = written(tmp_path, PLEDGE)
    good = path.read_bytes()
    for place in range(0, len(good), 7):
        path.write_bytes(good[:place] + bytes([good[place] ^ 1]) + good[place + 1 :])
        with pytest.raises(BadFile):
            read_pledge(path)


def test_a_changed_number_is_refused_though_it_reads_well(tmp_path: Path) -> None:
    path = written(tmp_path, PLEDGE)
    path.write_bytes(replace(PLEDGE, cruise_msl_ft=3500.0).canonical())
    with pytest.raises(BadFile, match="a changed pledge"):
        read_pledge(path)


@pytest.mark.parametrize("added", [b" ", b"\n", b"{}"])
def test_something_added_is_refused(tmp_path: Path, added: bytes) -> None:
    path = written(tmp_path, PLEDGE)
    path.write_bytes(path.read_bytes() + added)
    with pytest.raises(BadFile):
        read_pledge(path)


@pytest.mark.parametrize(
    "content",
    [
        *(b"", b"{}", b"[1]", b"null", b"\xff\xfe", b'{"schema_version":99}'),
        *(b'{"schema_version":1}', b"[" * 100_000),
        PLEDGE.canonical().replace(b"2026-11-25T20:40:00Z", b"yesterday"),
        PLEDGE.canonical().replace(b'"points":[', b'"points":[1,'),
        PLEDGE.canonical().replace(b'"title"', b'"heading"'),
    ],
    ids=range(11),
)
def test_what_is_no_pledge_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / PLEDGE.file_name
    path.write_bytes(content)
    with pytest.raises(BadFile):
        read_pledge(path)


def test_the_latest_is_the_one_printed_last_whatever_its_name(tmp_path: Path) -> None:
    pledges = [
        replace(PLEDGE, printed_utc=OFF_UTC + timedelta(minutes=minutes))
        for minutes in (3, 9, 1, 5, 7)
    ]
    for one in pledges:
        written(tmp_path, one)
    latest = latest_pledge(tmp_path)
    assert latest is not None
    assert latest == (tmp_path / pledges[1].file_name, pledges[1])


@pytest.mark.parametrize("newer", [0, 1])
def test_of_two_in_the_same_second_the_newer_file_is_taken(tmp_path: Path, newer: int) -> None:
    pledges = [PLEDGE, replace(PLEDGE, way_name="another")]
    for number, one in enumerate(pledges):
        when_s = 2_000_000_000 if number == newer else 1_900_000_000
        os.utime(written(tmp_path, one), (when_s, when_s))
    latest = latest_pledge(tmp_path)
    assert latest is not None
    assert latest[1] == pledges[newer]


def test_one_changed_pledge_is_told_though_another_is_later(tmp_path: Path) -> None:
    path = written(tmp_path, PLEDGE)
    path.write_bytes(path.read_bytes() + b" ")
    written(tmp_path, replace(PLEDGE, printed_utc=OFF_UTC + timedelta(minutes=9)))
    with pytest.raises(BadFile, match="a changed pledge"):
        latest_pledge(tmp_path)


def test_a_flight_without_a_card_has_no_pledge(tmp_path: Path) -> None:
    assert latest_pledge(tmp_path) is None
