"""Reading KML tracks."""

from pathlib import Path

import numpy as np
import pytest
from recording_files import START_S, written

from lubberline.errors import BadFile
from lubberline.recording import read_recording
from lubberline.recording.kml import read_kml
from lubberline.recording.raw import RawTrack
from lubberline.recording.xml import xml_root

NOWHERE = Path("flight.kml")
WHEN = "<when>2026-06-01T14:00:{:02d}Z</when>"
COORD = "<gx:coord>-131.0 {} 800</gx:coord>"


def track(*parts: str, mode: str = "absolute") -> str:
    said = f"<altitudeMode>{mode}</altitudeMode>" if mode else ""
    return f"<Placemark><gx:Track>{said}{''.join(parts)}</gx:Track></Placemark>"


def document(*tracks: str) -> bytes:
    spaces = 'xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2"'
    return f"<kml {spaces}><Document>{''.join(tracks)}</Document></kml>".encode()


def read(*tracks: str) -> RawTrack:
    return read_kml(NOWHERE, xml_root(NOWHERE, document(*tracks), "KML")[0])


PARTS = [WHEN.format(n) for n in range(3)] + [COORD.format(f"41.{n}") for n in range(3)]


@pytest.mark.parametrize("parts", [PARTS, [PARTS[n] for n in (0, 3, 1, 4, 2, 5)]])
def test_the_nth_moment_belongs_to_the_nth_place(parts: list[str]) -> None:
    raw = read(track(*parts))
    np.testing.assert_allclose(raw.time_s, START_S + np.arange(3.0))
    np.testing.assert_allclose(raw.lat_deg, [41.0, 41.1, 41.2])
    np.testing.assert_allclose(raw.lon_deg, -131.0)
    np.testing.assert_allclose(raw.gnss_ft, 800.0 / 0.3048)
    assert raw.gnss_reference == "msl"
    assert raw.account == ()


def test_what_has_no_partner_is_left_out_and_told() -> None:
    raw = read(track(*PARTS[:-1]))
    assert raw.time_s.size == 2
    assert raw.account == ("3 moments and 2 places in one track: what has no partner is left out.",)


@pytest.mark.parametrize("mode", ["", "clampToGround", "relativeToGround", "relativeToSeaFloor"])
def test_heights_that_are_not_above_the_sea_are_not_taken(mode: str) -> None:
    raw = read(track(*PARTS, mode=mode))
    assert np.isnan(raw.gnss_ft).all()
    assert "not above sea level: not taken" in raw.account[0]


@pytest.mark.parametrize(
    ("coord", "known"),
    [
        ("-131 41 800", (41.0, -131.0, 800.0)),
        ("-131,41,800", (41.0, -131.0, 800.0)),
        ("-131 41", (41.0, -131.0, np.nan)),
        ("", (np.nan, np.nan, np.nan)),
        ("-131", (np.nan, np.nan, np.nan)),
        ("east 41 800", (np.nan, np.nan, np.nan)),
        ("nan 41 800", (np.nan, np.nan, np.nan)),
    ],
)
def test_a_place_is_read_whole_or_not_at_all(coord: str, known: tuple[float, float, float]) -> None:
    extra = f"<gx:coord>{coord or ' x '}</gx:coord>"
    raw = read(track(WHEN.format(0), extra))
    lat_deg, lon_deg, height_m = known
    np.testing.assert_allclose(raw.lat_deg, lat_deg)
    np.testing.assert_allclose(raw.lon_deg, lon_deg)
    np.testing.assert_allclose(raw.gnss_ft, height_m / 0.3048)


def test_a_moment_that_cannot_be_read_is_counted() -> None:
    raw = read(track("<when>noon</when>", *PARTS[1:]))
    assert np.isnan(raw.time_s).tolist() == [True, False, False]
    assert "1 sample without a readable time." in raw.account


def test_each_track_is_a_segment() -> None:
    raw = read(track(*PARTS), track(*PARTS))
    assert raw.segment_index.tolist() == [0, 0, 0, 1, 1, 1]


def test_a_drawn_line_is_not_a_recording() -> None:
    line = "<Placemark><LineString><coordinates>1,2 3,4</coordinates></LineString></Placemark>"
    with pytest.raises(BadFile, match="no track with moments, but 1 drawn line"):
        read(line)


def test_the_door_knows_it_by_its_content(tmp_path: Path) -> None:
    seconds = range(60)
    moments = [f"<when>2026-06-01T14:00:{n:02d}Z</when>" for n in seconds]
    places = [f"<gx:coord>{-131 + 0.0005 * n} 41 800</gx:coord>" for n in seconds]
    text = document(track(*moments, *places)).decode()
    recording = read_recording(written(tmp_path, "flight.bin", text))
    assert recording.format_name == "KML"
    assert len(recording.track) == 60
