"""Recordings that nobody here made: what is in them was found by looking, not by our reader.

Counts come from counting records, points and rows in the files; days and boxes from their first
and last lines and their extreme coordinates.
"""

from collections import Counter
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from samples import SAMPLES, sample, sample_map

from lubberline.errors import BadFile
from lubberline.recording import Recording, motion, read_recording


def recording(name: str) -> Recording:
    return read_recording(sample(name), column_map=sample_map(name))


def at(recording: Recording, clock: str) -> int:
    """The sample nearest to a clock time on the day of the first."""
    start = datetime.fromtimestamp(recording.track.time_s[0], UTC)
    hour, minute, second = (int(part) for part in clock.split(":"))
    wanted = start.replace(hour=hour, minute=minute, second=second, microsecond=0)
    return int(np.argmin(np.abs(recording.track.time_s - wanted.timestamp())))


# Name, format, samples in the file, samples in the track, first and last second.
COUNTS = [
    ("paraglider", "IGC", 883, 883, "2022-06-26 16:17:31", "2022-06-26 16:32:19"),
    ("airliner", "CSV", 14_708, 13_916, "2024-07-06 06:43:10", "2024-07-06 08:02:47"),
    ("navaid check", "CSV", 1_246, 1_246, "2019-12-11 12:46:40", "2019-12-11 16:14:10"),
    ("light airplane", "CSV", 951, 951, "2017-09-17 21:38:21", "2017-09-18 00:16:44"),
    ("glider", "CSV", 1_602, 1_602, "2019-05-23 10:34:28", "2019-05-23 17:52:37"),
    ("lake walk", "GPX 1.0", 296, 296, "2010-08-05 14:23:59", "2010-08-05 16:23:49"),
    ("hill walk", "GPX 1.0", 871, 513, "2010-10-03 09:36:30", "2010-10-03 13:19:31"),
    ("drive", "GPX 1.1", 104, 104, "2020-12-18 06:15:50", "2020-12-18 06:24:24"),
]
# South, north, west, east, to the digits of the files' extremes.
BOXES_DEG = [
    ("paraglider", (47.6220, 47.6468, 15.8546, 15.8736)),
    ("airliner", (43.4761, 49.0100, 1.3658, 2.5967)),
    ("navaid check", (43.3092, 43.6764, 6.7646, 7.2971)),
    ("light airplane", (29.3017, 30.0667, -96.5751, -95.6200)),
    ("glider", (43.7226, 44.1546, 4.8930, 6.2304)),
    ("lake walk", (45.7442, 45.7918, 14.3043, 14.3671)),
    ("hill walk", (45.4510, 45.4631, 14.0040, 14.0327)),
    ("drive", (45.2725, 45.2809, 13.7115, 13.7224)),
]


@pytest.mark.parametrize(("name", "kind", "in_file", "in_track", "first", "last"), COUNTS)
def test_a_real_recording_is_read_whole(
    name: str, kind: str, in_file: int, in_track: int, first: str, last: str
) -> None:
    found = recording(name)
    assert found.format_name == kind
    assert len(found.track) == in_track
    assert found.account[0] == (
        f"Read as {kind}: {in_file:,} samples in the file, {in_track:,} in the track,"
        f" every {np.median(np.diff(found.track.time_s)):.3g} s from {first} UTC to {last} UTC."
    )


@pytest.mark.parametrize(("name", "box_deg"), BOXES_DEG)
def test_a_real_recording_lies_where_it_was_made(
    name: str, box_deg: tuple[float, float, float, float]
) -> None:
    track = recording(name).track
    found = (
        *(np.nanmin(track.lat_deg), np.nanmax(track.lat_deg)),
        *(np.nanmin(track.lon_deg), np.nanmax(track.lon_deg)),
    )
    assert found == pytest.approx(box_deg, abs=1e-4)


def test_the_fixes_of_the_paraglider_are_its_b_records() -> None:
    lines = sample("paraglider").read_text(encoding="latin-1").splitlines()
    assert sum(line.startswith("B") for line in lines) == len(recording("paraglider").track)


def test_the_paraglider_says_that_its_heights_are_above_the_sea() -> None:
    found = recording("paraglider")
    assert found.gnss_reference == "msl"
    start = at(found, "16:17:40")  # first fix 1406 m by pressure, 1488 m by satellite
    assert found.track.pressure_ft[start] * 0.3048 == pytest.approx(1406.0)
    assert found.track.gnss_ft[start] * 0.3048 == pytest.approx(1488.0)


def test_the_paraglider_stands_flies_and_stands() -> None:
    found = recording("paraglider")
    kt = motion(found.track, gaps=found.gaps).ground_kt
    assert kt[: at(found, "16:17:50")].max() < 1.0
    assert kt[at(found, "16:18:10") : at(found, "16:31:50")].min() > 4.0
    assert kt[at(found, "16:32:08") :].max() < 1.0


def test_the_airliner_sends_its_height_only_while_it_flies() -> None:
    """Surface and airborne position messages differ, which dates both ends to two seconds."""
    found = recording("airliner")
    known = np.flatnonzero(np.isfinite(found.track.pressure_ft))
    first, last = found.track.time_s[known[[0, -1]]]
    assert f"{datetime.fromtimestamp(first, UTC):%H:%M:%S}" == "06:59:21"
    assert f"{datetime.fromtimestamp(last, UTC):%H:%M:%S}" == "07:58:42"


def test_our_ground_speed_agrees_with_what_the_airliner_sends() -> None:
    """Two independent measurements: positions fitted here, velocity measured aboard."""
    found = recording("airliner")
    derived = motion(found.track, gaps=found.gaps)
    sent_kt = found.track.channels["ground_kt"]
    both = np.isfinite(sent_kt) & (sent_kt > 50.0) & np.isfinite(derived.ground_kt)
    difference_kt = (derived.ground_kt - sent_kt)[both]
    assert both.sum() > 5_000
    assert abs(np.median(difference_kt)) < 1.0
    typical_kt = float(np.median(derived.ground_sigma_kt[both]))
    assert 1.4826 * np.median(np.abs(difference_kt)) == pytest.approx(typical_kt, rel=0.5)


def test_our_climb_agrees_with_what_the_airliner_sends() -> None:
    found = recording("airliner")
    derived = motion(found.track, gaps=found.gaps)
    sent_fpm = found.track.channels["climb_fpm"]
    both = np.isfinite(sent_fpm) & np.isfinite(derived.climb_fpm)
    assert abs(np.median((derived.climb_fpm - sent_fpm)[both])) < 20.0
    assert np.corrcoef(derived.climb_fpm[both], sent_fpm[both])[0, 1] > 0.98


def test_stale_positions_of_the_airliner_are_told() -> None:
    account = "\n".join(recording("airliner").account)
    assert "repeat an old position while the aircraft moved on" in account
    assert "with a time that was there before" in account


def test_the_glider_was_not_recorded_in_order() -> None:
    account = recording("glider").account
    assert "Time goes backward in 1 place: sorted by time." in account
    assert sum("gaps without samples" in line for line in account) == 1


@pytest.mark.parametrize("name", ["lake walk", "hill walk", "drive"])
def test_what_did_not_fly_stays_slow_and_low(name: str) -> None:
    """Nothing here may look like an aircraft: no speed of flight, no climb worth the name."""
    found = recording(name)
    derived = motion(found.track, gaps=found.gaps)
    assert found.gnss_reference == "unknown"
    assert np.nanmax(derived.ground_kt) < {"lake walk": 55.0, "hill walk": 4.0, "drive": 40.0}[name]
    assert np.nanmax(np.abs(derived.climb_fpm)) < 300.0


def test_points_of_the_hill_walk_without_a_time_are_told() -> None:
    assert "358 samples without a time: left out." in recording("hill walk").account


def test_a_sky_full_of_aircraft_is_refused_until_one_is_named(tmp_path: Path) -> None:
    path, general = sample("sky full of aircraft"), sample_map("sky full of aircraft")
    assert general is not None
    with pytest.raises(BadFile, match="213 aircraft"):
        read_recording(path, column_map=general)
    heading, *rows = path.read_text().splitlines()
    place = heading.split(",").index("icao24")
    chosen, count = Counter(row.split(",")[place] for row in rows).most_common(1)[0]
    one = tmp_path / "one.toml"
    only = f'\n[only]\ncolumn = "icao24"\nvalue = "{chosen}"\n'
    one.write_text(general.read_text() + only)
    found = read_recording(path, column_map=one)
    assert found.account[0].startswith(f"Read as CSV: {count:,} samples in the file")
    assert np.nanmax(found.track.pressure_ft) < 60_000.0


@pytest.mark.parametrize("name", [name for name in SAMPLES if name != "sky full of aircraft"])
def test_a_real_recording_read_twice_is_the_same(name: str) -> None:
    first, second = recording(name), recording(name)
    assert first.sha256 == second.sha256
    assert first.account == second.account
    np.testing.assert_array_equal(first.track.lat_deg, second.track.lat_deg)
