"""GPX against the schema's own statements and against another library's writer and reader.

GPX 1.1 schema documentation, TopoGrafix: coordinates are WGS-84 degrees, ele is in meters, time
is UTC by ISO 8601 with fractional seconds allowed, and a new trkseg begins where reception was
lost or the receiver was turned off (read).
"""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import gpxpy.gpx
import numpy as np
import pytest

from lubberline.recording import read_recording
from lubberline.recording.gpx import read_gpx
from lubberline.recording.xml import xml_root
from lubberline.units import FT_PER_M

NOWHERE = Path("written.gpx")
START = datetime(2026, 6, 1, 12, 0, 0, tzinfo=UTC)


def by_another_writer(points: list[tuple[float, float, float, float]], version: str) -> bytes:
    """Two segments of points (seconds, latitude, longitude, meters) as gpxpy writes them."""
    gpx = gpxpy.gpx.GPX()
    track = gpxpy.gpx.GPXTrack()
    gpx.tracks.append(track)
    for half in (points[: len(points) // 2], points[len(points) // 2 :]):
        segment = gpxpy.gpx.GPXTrackSegment()
        track.segments.append(segment)
        for seconds, lat_deg, lon_deg, meters in half:
            when = START + timedelta(seconds=seconds)
            segment.points.append(gpxpy.gpx.GPXTrackPoint(lat_deg, lon_deg, meters, when))
    return gpx.to_xml(version=version).encode()


@pytest.mark.parametrize("version", ["1.0", "1.1"])
def test_what_another_library_writes_is_read(version: str) -> None:
    rng = np.random.default_rng(3)
    rows = [
        (0.25 * n, float(a), float(b), float(c))
        for n, (a, b, c) in enumerate(zip(*rng.uniform(-80.0, 80.0, (3, 500)), strict=True))
    ]
    track = read_gpx(NOWHERE, xml_root(NOWHERE, by_another_writer(rows, version), "GPX")[0])
    seconds, lat_deg, lon_deg, meters = np.array(rows).T
    np.testing.assert_allclose(track.time_s - START.timestamp(), seconds, atol=1e-6)
    np.testing.assert_allclose(track.lat_deg, lat_deg, rtol=0.0, atol=1e-9)
    np.testing.assert_allclose(track.lon_deg, lon_deg, rtol=0.0, atol=1e-9)
    np.testing.assert_allclose(track.gnss_ft, meters * FT_PER_M, rtol=0.0, atol=1e-6)
    assert np.flatnonzero(np.diff(track.segment_index)).tolist() == [249]


def test_a_new_segment_is_a_gap_in_the_recording(tmp_path: Path) -> None:
    rows = [(1.0 * n, 41.0, -131.0 + 0.0006 * n, 800.0) for n in range(120)]
    path = tmp_path / "two.gpx"
    path.write_bytes(by_another_writer(rows, "1.1"))
    (gap,) = read_recording(path).gaps
    assert (gap.start_s - START.timestamp(), gap.end_s - START.timestamp()) == (59.0, 60.0)
    assert gap.reason == "new segment"
