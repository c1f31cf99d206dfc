"""Reading NMEA 0183 logs."""

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from recording_files import written

from lubberline.errors import BadFile
from lubberline.recording import read_recording
from lubberline.recording.nmea import read_nmea
from lubberline.recording.raw import RawTrack

NOWHERE = Path("flight.nmea")


def sentence(body: str) -> str:
    total = 0
    for character in body:
        total ^= ord(character)
    return f"${body}*{total:02X}"


def gga(clock: str, *, quality: int = 1, height: str = "545.4,M") -> str:
    place = "4100.600,N,13100.000,W"
    return sentence(f"GPGGA,{clock},{place},{quality},08,0.9,{height},46.9,M,,")


def rmc(clock: str, *, day: str = "010626", status: str = "A") -> str:
    return sentence(f"GNRMC,{clock},{status},4100.600,N,13100.000,W,022.4,084.4,{day},003.1,W")


def read(*sentences: str) -> RawTrack:
    return read_nmea(NOWHERE, "\r\n".join(sentences).encode())


def seconds(*clock: int) -> float:
    return datetime(*clock, tzinfo=UTC).timestamp()  # type: ignore[arg-type, misc]


def test_sentences_of_one_moment_make_one_sample() -> None:
    raw = read(gga("140000.20"), rmc("140000.20"), rmc("140000.40"), gga("140000.40"))
    assert raw.time_s.tolist() == pytest.approx(
        [seconds(2026, 6, 1, 14) + 0.2, seconds(2026, 6, 1, 14) + 0.4]
    )
    np.testing.assert_allclose(raw.lat_deg, 41.01)
    np.testing.assert_allclose(raw.lon_deg, -131.0)
    np.testing.assert_allclose(raw.gnss_ft, 545.4 / 0.3048)
    np.testing.assert_allclose(raw.channels["ground_kt"], 22.4)
    assert raw.gnss_reference == "msl"


def test_a_wrong_checksum_is_left_out_and_none_is_taken() -> None:
    wrong, bare = rmc("140001")[:-2] + "00", rmc("140002").partition("*")[0]
    raw = read(rmc("140000"), wrong, bare)
    assert raw.time_s.tolist() == [seconds(2026, 6, 1, 14), seconds(2026, 6, 1, 14, 0, 2)]
    assert "1 sentence with a wrong checksum: left out." in raw.account


def test_without_a_fix_there_is_no_position() -> None:
    raw = read(rmc("140000"), rmc("140001", status="V"), gga("140002", quality=0))
    assert np.isnan(raw.lat_deg).tolist() == [False, True, True]
    assert np.isnan(raw.gnss_ft).all()


def test_a_height_in_another_unit_is_not_taken() -> None:
    assert np.isnan(read(rmc("140000"), gga("140000", height="545.4,")).gnss_ft).all()


def test_midnight_is_passed() -> None:
    raw = read(gga("235959"), rmc("235959"), gga("000000"), rmc("000000", day="020626"))
    assert np.diff(raw.time_s).tolist() == [1.0]


def test_a_date_that_comes_after_midnight_dates_what_was_before() -> None:
    raw = read(gga("235959"), gga("000000"), rmc("000001", day="020626"))
    assert raw.time_s[0] == seconds(2026, 6, 1, 23, 59, 59)


def test_a_date_sentence_serves_too() -> None:
    raw = read(gga("140000"), sentence("GPZDA,140000,01,06,2026,00,00"))
    assert raw.time_s.tolist() == [seconds(2026, 6, 1, 14)]


@pytest.mark.parametrize(
    ("sentences", "reason"),
    [
        ([gga("140000")], "no sentence with a date"),
        ([rmc("140000")[:-2] + "00"], "none that can be read; 1 damaged one"),
        ([rmc("")], "none that can be read"),
        ([rmc("256161")], "none that can be read"),
    ],
)
def test_what_cannot_be_dated_is_refused(sentences: list[str], reason: str) -> None:
    with pytest.raises(BadFile, match=reason):
        read(*sentences)


@pytest.mark.parametrize("place", ["4160.000,N,13100.000,W", "9100.0,N,13100.0,W", "41.0,,131,W"])
def test_a_place_that_cannot_be_is_none(place: str) -> None:
    body = f"GPRMC,140000,A,{place},022.4,084.4,010626,,"
    assert np.isnan(read(sentence(body)).lat_deg).all()


@settings(max_examples=200, deadline=None)
@given(st.lists(st.text(alphabet="$GPRMCGGA,.*0123456789NEWS\r\n", max_size=90), max_size=8))
def test_whatever_is_logged_is_read_or_refused(lines: list[str]) -> None:
    try:
        raw = read(*lines, rmc("140000"))
    except BadFile:
        return
    assert raw.time_s.size >= 1


def test_the_door_knows_it_by_its_content(tmp_path: Path) -> None:
    lines = [
        sentence(
            f"GPRMC,1400{n:02d},A,4100.600,N,{13059.9 - 0.05 * n:09.4f},W,100.0,090.0,010626,,"
        )
        for n in range(60)
    ]
    text = "$PXYZ,started\n" + "\n".join(lines)
    recording = read_recording(written(tmp_path, "flight.txt", text))
    assert recording.format_name == "NMEA 0183"
    assert len(recording.track) == 60
