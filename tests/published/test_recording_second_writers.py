"""KML and NMEA 0183 against general-purpose libraries, and the published sentences.

KML: the writer simplekml. NMEA 0183: the reader pynmea2; the two sentences of the dossier on
open track formats (sentences from memory, checksums computed there).
"""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pynmea2
import pytest
import simplekml

from lubberline.recording.kml import read_kml
from lubberline.recording.nmea import read_nmea
from lubberline.recording.xml import xml_root

NOWHERE = Path("nowhere")
GGA = "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47"
RMC = "$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A"


def test_the_published_sentences_are_read() -> None:
    raw = read_nmea(NOWHERE, f"{GGA}\r\n{RMC}\r\n".encode())
    assert raw.time_s.tolist() == [datetime(1994, 3, 23, 12, 35, 19, tzinfo=UTC).timestamp()]
    assert raw.lat_deg[0] == pytest.approx(48.117300, abs=5e-7)
    assert raw.lon_deg[0] == pytest.approx(11.516667, abs=5e-7)
    assert raw.gnss_ft[0] * 0.3048 == pytest.approx(545.4)
    assert raw.channels["satellites_count"].tolist() == [8.0]
    assert raw.channels["hdop_ratio"].tolist() == [0.9]
    assert raw.channels["ground_kt"].tolist() == [22.4]
    assert raw.channels["track_true_deg"].tolist() == [84.4]


def test_another_reader_reads_the_same() -> None:
    rng = np.random.default_rng(7)
    lines = []
    for n in range(300):
        lat, lon = rng.uniform(0.0, 90.0), rng.uniform(0.0, 180.0)
        north, east = rng.choice(["N", "S"]), rng.choice(["E", "W"])
        place = (
            f"{int(lat):02d}{lat % 1 * 60:07.4f},{north},{int(lon):03d}{lon % 1 * 60:07.4f},{east}"
        )
        clock = f"{14 + n // 60:02d}{n % 60:02d}{rng.uniform(0, 60):05.2f}"
        fields = (
            "A",
            *place.split(","),
            f"{rng.uniform(0, 300):.1f}",
            f"{rng.uniform(0, 360):.1f}",
        )
        lines.append(str(pynmea2.RMC("GP", "RMC", (clock, *fields, "010626", "", ""))))
    raw = read_nmea(NOWHERE, "\n".join(lines).encode())
    second = [pynmea2.parse(line) for line in lines]
    np.testing.assert_allclose(raw.lat_deg, [one.latitude for one in second], atol=1e-9)
    np.testing.assert_allclose(raw.lon_deg, [one.longitude for one in second], atol=1e-9)
    np.testing.assert_allclose(raw.channels["ground_kt"], [one.spd_over_grnd for one in second])
    np.testing.assert_allclose(
        raw.time_s,
        [datetime.combine(one.datestamp, one.timestamp, UTC).timestamp() for one in second],
        atol=1e-6,
    )


def test_what_another_library_writes_as_kml_is_read() -> None:
    rng = np.random.default_rng(3)
    start = datetime(2026, 6, 1, 14, tzinfo=UTC)
    moments = [start + timedelta(seconds=0.5 * n) for n in range(400)]
    places = rng.uniform((-180.0, -80.0, -50.0), (180.0, 80.0, 4_000.0), (400, 3))
    kml = simplekml.Kml()
    track = kml.newgxtrack(altitudemode=simplekml.AltitudeMode.absolute)
    track.newwhen([f"{one:%Y-%m-%dT%H:%M:%S.%fZ}" for one in moments])
    track.newgxcoord([tuple(map(float, one)) for one in places])
    raw = read_kml(NOWHERE, xml_root(NOWHERE, kml.kml().encode(), "KML")[0])
    np.testing.assert_allclose(raw.time_s, [one.timestamp() for one in moments], atol=1e-6)
    np.testing.assert_allclose(raw.lon_deg, places[:, 0], atol=1e-9)
    np.testing.assert_allclose(raw.lat_deg, places[:, 1], atol=1e-9)
    np.testing.assert_allclose(raw.gnss_ft * 0.3048, places[:, 2], atol=1e-6)
