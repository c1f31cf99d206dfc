"""Reading GPX."""

from datetime import UTC, datetime
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from recording_files import START_S, gpx_flight, gpx_point, gpx_text, written

from lubberline.errors import BadFile
from lubberline.recording import Clock, read_recording
from lubberline.recording.gpx import read_gpx
from lubberline.recording.raw import RawTrack
from lubberline.recording.xml import xml_root

NOWHERE = Path("flight.gpx")
BOMB = (
    '<!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">'
    '<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]>'
)


def read(*segments: str, version: str = "1.1", before: str = "") -> RawTrack:
    data = gpx_text(*segments, version=version, before=before).encode()
    return read_gpx(NOWHERE, xml_root(NOWHERE, data, "GPX")[0])


def test_points_keep_time_place_and_height() -> None:
    track = read(gpx_point(0.0) + gpx_point(1.25, -130.9))
    np.testing.assert_allclose(track.time_s, [START_S, START_S + 1.25], atol=1e-6)
    np.testing.assert_allclose(track.lon_deg, [-131.0, -130.9])
    np.testing.assert_allclose(track.gnss_ft, 2600.0)
    assert np.isnan(track.pressure_ft).all()


def test_the_reference_of_heights_is_unknown_and_the_account_says_so() -> None:
    track = read(gpx_flight(0, 3))
    assert track.gnss_reference == "unknown"
    assert any("does not say above what" in line for line in track.account)


def test_segments_are_told_apart() -> None:
    assert read(gpx_flight(0, 2), "", gpx_flight(2, 4)).segment_index.tolist() == [0, 0, 2, 2]


def test_speed_and_course_of_version_1_0_become_channels() -> None:
    more = "<course>90.5</course><speed>51.4444</speed><hdop>0.9</hdop>"
    track = read(gpx_point(0.0, more=more), version="1.0")
    assert track.channels["ground_kt"][0] == pytest.approx(100.0, abs=1e-3)
    assert track.channels["track_true_deg"][0] == 90.5
    assert track.channels["hdop_ratio"][0] == 0.9


def test_a_time_with_an_offset_is_converted_and_one_without_is_utc() -> None:
    offset = gpx_point(0.0, time="2026-06-01T16:00:00+02:00")
    bare = gpx_point(1.0, time="2026-06-01T14:00:01")
    track = read(offset + bare)
    np.testing.assert_allclose(track.time_s, [START_S, START_S + 1.0])
    assert any("1 time without a zone" in line for line in track.account)


def test_points_marked_flat_or_without_a_fix_lose_what_they_do_not_have() -> None:
    points = [gpx_point(s, more=f"<fix>{fix}</fix>") for s, fix in enumerate(("3d", "2d", "none"))]
    track = read("".join(points))
    assert np.isnan(track.gnss_ft).tolist() == [False, True, True]
    assert np.isnan(track.lat_deg).tolist() == [False, False, True]


def test_elements_of_other_namespaces_are_not_taken_for_gpx() -> None:
    more = '<extensions><speed xmlns="urn:other">9</speed></extensions><x:ele xmlns:x="u">1</x:ele>'
    track = read(gpx_point(0.0, more=more))
    assert track.gnss_ft[0] == pytest.approx(2600.0)
    assert not track.channels


def test_points_without_a_time_are_not_timed_and_a_track_without_times_is_refused() -> None:
    track = read(gpx_flight(0, 3) + gpx_point(9.0, time="none"))
    assert np.isnan(track.time_s).tolist() == [False, False, False, True]
    with pytest.raises(BadFile, match="1 of 3 track points with a time"):
        read(gpx_point(0.0) + gpx_point(1.0, time="none") * 2)


@pytest.mark.parametrize("declared", [BOMB, "<!DOCTYPE gpx>", '<!DOCTYPE gpx SYSTEM "file:///x">'])
def test_a_document_type_is_refused_before_anything_is_expanded(declared: str) -> None:
    with pytest.raises(BadFile, match="document type: found a DOCTYPE"):
        read(gpx_point(0.0), before=declared)


def test_a_broken_file_says_the_line() -> None:
    with pytest.raises(BadFile, match="line 3, XML: found mismatched tag"):
        xml_root(NOWHERE, gpx_text(gpx_point(0.0)).replace("</trkpt>", "").encode(), "GPX")


def test_a_route_is_not_a_recording() -> None:
    text = '<gpx version="1.1"><rte><rtept lat="1" lon="2"/></rte><wpt lat="1" lon="2"/></gpx>'
    with pytest.raises(BadFile, match="no track point, but 1 route and 1 waypoint"):
        read_gpx(NOWHERE, xml_root(NOWHERE, text.encode(), "GPX")[0])


def test_another_kind_of_xml_is_named(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="document element is 'svg'"):
        read_recording(written(tmp_path, "flight.gpx", '<svg xmlns="urn:x"/>'))


def test_an_undefined_entity_is_a_broken_file() -> None:
    with pytest.raises(BadFile, match="undefined entity"):
        read(gpx_point(0.0, more="&a;"))


@pytest.mark.parametrize("part", [0.3, 0.5, 0.71, 0.999])
def test_a_file_that_ends_in_the_middle_gives_its_whole_points_and_says_so(
    tmp_path: Path, part: float
) -> None:
    """Wherever it is cut, every point that was closed before is there, and no half of one."""
    text = gpx_text(gpx_flight(0, 200), gpx_flight(300, 200))
    cut = text[: int(part * len(text))]
    path = tmp_path / "cut.gpx"
    path.write_text(cut, encoding="utf-8")
    recording = read_recording(path)
    assert len(recording.track) == cut.count("</trkpt>")
    assert any("The file ends in the middle, in line 3:" in one for one in recording.account)


def test_a_file_cut_before_its_first_whole_point_is_refused() -> None:
    text = gpx_text(gpx_point(0.0))
    with pytest.raises(BadFile, match="well-formed"):
        xml_root(NOWHERE, text[: text.index("</trkpt>")].encode(), "GPX")


def test_a_track_without_times_takes_those_that_the_pilot_says() -> None:
    points = "".join(gpx_point(float(second), time="none") for second in range(3))
    root = ElementTree.fromstring(gpx_text(points).split("?>", 1)[1])
    clock = Clock(start_utc=datetime.fromtimestamp(START_S, UTC), every_s=2.0)
    track = read_gpx(Path("flight.gpx"), root, clock)
    np.testing.assert_allclose(track.time_s, START_S + np.array([0.0, 2.0, 4.0]))
    with pytest.raises(BadFile, match="--start"):
        read_gpx(Path("flight.gpx"), root)
