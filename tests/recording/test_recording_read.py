"""One door for all formats: what it takes, what it refuses, and how fast."""

import gzip
import hashlib
import time
from pathlib import Path

import numpy as np
import pytest
from recording_files import (
    csv_flight,
    eastward,
    gpx_flight,
    gpx_point,
    gpx_text,
    igc_fix,
    igc_flight,
    igc_text,
    written,
)

from lubberline.errors import BadFile
from lubberline.recording import read_recording
from lubberline.recording.column_map import EXAMPLE

FLIGHTS = {"IGC": igc_flight(), "GPX 1.1": gpx_text(gpx_flight(0, 60)), "CSV": csv_flight()}


@pytest.mark.parametrize("name", ["flight.txt", "flight.gpx", "flight"])
@pytest.mark.parametrize("kind", FLIGHTS)
def test_content_decides_and_the_suffix_does_not(kind: str, name: str, tmp_path: Path) -> None:
    recording = read_recording(written(tmp_path, name, FLIGHTS[kind]))
    assert recording.format_name == kind
    np.testing.assert_allclose(recording.track.time_s, eastward(60)["time_s"])
    np.testing.assert_allclose(recording.track.lon_deg, eastward(60)["lon_deg"], atol=1e-5)
    np.testing.assert_allclose(recording.track.gnss_ft, 2600.0, atol=2.0)


@pytest.mark.parametrize("kind", FLIGHTS)
def test_the_hash_is_that_of_the_bytes(kind: str, tmp_path: Path) -> None:
    path = written(tmp_path, "flight", FLIGHTS[kind])
    assert read_recording(path).sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.mark.parametrize("kind", FLIGHTS)
def test_a_byte_order_mark_and_other_line_ends_change_nothing(kind: str, tmp_path: Path) -> None:
    plain = read_recording(written(tmp_path, "plain", FLIGHTS[kind])).track
    text = FLIGHTS[kind].replace("\r\n", "\n").replace("\n", "\r")
    marked = read_recording(written(tmp_path, "marked", "\ufeff" + text)).track
    np.testing.assert_array_equal(marked.lon_deg, plain.lon_deg)


def test_the_account_begins_with_what_there_is(tmp_path: Path) -> None:
    account = read_recording(written(tmp_path, "flight", FLIGHTS["IGC"])).account
    assert account[0] == (
        "Read as IGC: 60 samples in the file, 60 in the track, every 1 s from"
        " 2026-06-01 14:00:00 UTC to 2026-06-01 14:00:59 UTC."
    )


def test_a_map_that_is_not_needed_is_said(tmp_path: Path) -> None:
    column_map = written(tmp_path, "map.toml", EXAMPLE)
    recording = read_recording(written(tmp_path, "f", FLIGHTS["IGC"]), column_map=column_map)
    assert recording.account[-1].startswith("The column map was not needed")


def test_a_recorder_that_never_moves_is_a_recording(tmp_path: Path) -> None:
    fixes = [igc_fix(f"1400{second:02d}") for second in range(60)]
    recording = read_recording(written(tmp_path, "parked", igc_text(*fixes)))
    assert len(recording.track) == 60
    assert np.isfinite(recording.track.lat_deg).all()


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "an empty file"),
        (b" \r\n\r\n", "an empty file"),
        (bytes(range(256)) * 40, "binary data"),
        (gzip.compress(igc_flight().encode()), "a gzip archive"),
        (b"PK\x03\x04" + bytes(50), "a zip archive"),
        (igc_flight().encode("utf-16"), "UTF-16 text"),
        (b"Dear diary, today I flew.\nIt was fine.\n", "text that begins 'Dear diary"),
        (b"<html><body>not found</body></html>", "document element is 'html'"),
        (gpx_text("").encode(), "no track point"),
        (gpx_text(gpx_point(0.0)).encode(), "only one time"),
        (gpx_text(gpx_point(0.0) * 5).encode(), "only one time"),
        (igc_text(igc_fix("140000")).encode(), "only one time"),
        (gpx_text(gpx_point(0.0) + gpx_point(0.25)).encode(), "2 samples within 0.25 s"),
        (b"time,lat,lon\n2026-06-01T14:00:00Z,,\n2026-06-01T14:00:09Z,,\n", "nothing but times"),
        (b"time_s,lat_deg,lon_deg\n1780322400,0,0\n1780322409,0,0\n", "no possible position"),
        (b"time_s,lat_deg,lon_deg\n1780322400,41,-131\n1780322409,nan,nan\n", "1 position"),
        (b"time_s,lat_deg,lon_deg\n1780322400,41,-131\nnan,41,-131\n", "only one time"),
    ],
)
def test_what_is_no_recording_is_refused_once_and_clearly(
    data: bytes, message: str, tmp_path: Path
) -> None:
    path = tmp_path / "flight.igc"
    path.write_bytes(data)
    with pytest.raises(BadFile) as refusal:
        read_recording(path)
    assert message in str(refusal.value)
    assert str(refusal.value).startswith(f"{path}: 1 problem")


def test_a_missing_file_and_a_directory_are_refused(tmp_path: Path) -> None:
    with pytest.raises(
        BadFile, match="found nothing, expected an IGC, GPX, KML, NMEA, CSV or JSON"
    ):
        read_recording(tmp_path / "nowhere.igc")
    with pytest.raises(BadFile, match="found a directory"):
        read_recording(tmp_path)


def test_an_hour_at_fifty_samples_a_second_is_read_quickly(tmp_path: Path) -> None:
    columns = eastward(180_000, 0.02)
    heading = ",".join(columns)
    rows = np.column_stack(list(columns.values()))
    path = tmp_path / "long.csv"
    np.savetxt(path, rows, fmt="%.8f", delimiter=",", header=heading, comments="")
    begun = time.perf_counter()
    recording = read_recording(path)
    assert len(recording.track) == 180_000
    assert time.perf_counter() - begun < 5.0  # own: it takes well under one second alone
