"""Reading state vectors as JSON: three published forms, one result."""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from recording_files import START_S, written

from lubberline.errors import BadFile
from lubberline.recording import read_recording
from lubberline.recording.raw import RawTrack
from lubberline.recording.states import read_states

NOWHERE = Path("states.json")
SECONDS = range(0, 50, 10)


def state(second: int, icao24: str = "abcdef") -> list[Any]:
    """A row as the network's interface documents it: class StateVector."""
    return [
        *(icao24, "QTEST   ", "Nowhere", START_S + second, START_S + second),
        *(-131.0 + 0.0006 * second, 41.0, 762.0, False, 51.4, 90.0, 0.0, None, 792.48),
        *("1200", False, 0),
    ]


def answers(*icao24: str) -> list[dict[str, Any]]:
    return [
        {"time": START_S + second, "states": [state(second, one) for one in icao24]}
        for second in SECONDS
    ]


def named(second: int) -> dict[str, Any]:
    row = state(second)
    names = "icao24 callsign - lastposupdate lastcontact lon lat baroaltitude onground velocity"
    names += " heading vertrate - geoaltitude squawk spi -"
    return {"time": START_S + second} | dict(zip(names.split(), row, strict=True))


def read(document: Any) -> RawTrack:
    text = document if isinstance(document, str) else json.dumps(document)
    return read_states(NOWHERE, text.encode())


FORMS = {
    "answers": answers("abcdef"),
    "answers, line by line": "\n".join(json.dumps(one) for one in answers("abcdef")),
    "objects": [named(second) for second in SECONDS],
    "objects, line by line": "\n".join(json.dumps(named(second)) for second in SECONDS),
}


@pytest.mark.parametrize("form", FORMS)
def test_every_form_gives_the_same_track(form: str) -> None:
    raw = read(FORMS[form])
    np.testing.assert_allclose(raw.time_s, [START_S + second for second in SECONDS])
    np.testing.assert_allclose(raw.lon_deg, [-131.0 + 0.0006 * second for second in SECONDS])
    np.testing.assert_allclose(raw.pressure_ft, 762.0 / 0.3048)
    np.testing.assert_allclose(raw.gnss_ft, 792.48 / 0.3048)
    np.testing.assert_allclose(raw.channels["ground_kt"], 51.4 * 3600 / 1852)
    np.testing.assert_allclose(raw.channels["on_ground_fraction"], 0.0)


def test_a_path_gives_place_and_pressure_height() -> None:
    path = [[START_S + n, 41.0, -131.0 + 0.01 * n, 762.0, 90.0, False] for n in range(4)]
    raw = read({"icao24": "abcdef", "startTime": START_S, "path": path})
    np.testing.assert_allclose(raw.pressure_ft, 762.0 / 0.3048)
    assert raw.lat_deg.tolist() == [41.0] * 4


def test_a_position_that_was_not_received_anew_is_not_repeated() -> None:
    rows = answers("abcdef")
    rows[1]["states"][0][3] = rows[0]["states"][0][3]
    assert np.isnan(read(rows).lat_deg).tolist() == [False, True, False, False, False]


def test_several_aircraft_are_refused_until_one_is_named(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="2 aircraft"):
        read(answers("abcdef", "123456"))


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("[]", "no state vector"),
        ("{}", "no state vector"),
        ('{"time": 1, "states": null}', "time"),
        ('[{"lat": 1}]', "no state vector"),
        ('{"time": 1', "JSON: found"),
        ('[1, 2, "x", null]', "no state vector"),
        ('{"time": 1, "states": [[], 3, null]}', "lat"),
        ('{"time": [1], "lat": {}, "lon": true}', "."),
        ("[" * 100_000, "JSON"),
    ],
)
def test_what_is_not_a_recording_is_refused(text: str, reason: str) -> None:
    with pytest.raises(BadFile, match=reason):
        read(text)


def test_the_door_knows_it_by_its_content(tmp_path: Path) -> None:
    path = written(tmp_path, "flight", json.dumps(FORMS["objects"]))
    assert read_recording(path).format_name == "JSON state vectors"


def test_a_file_cut_off_is_read_to_its_last_whole_sample() -> None:
    rows = [{"time": 1780322400 + k, "lat": 41.0, "lon": -131.0 + k / 1e3} for k in range(5)]
    for text, count in (
        (json.dumps(rows)[:-20], 4),
        ("\n".join(json.dumps(row) for row in rows)[:-20], 4),
        ("\n".join(json.dumps(row) for row in rows), 5),
    ):
        track = read_states(Path("x.json"), text.encode())
        assert track.time_s.size == count
        assert any("ends in the middle" in one for one in track.account) is (count == 4)


def test_a_file_broken_before_its_end_is_refused() -> None:
    rows = [json.dumps({"time": 1780322400 + k, "lat": 41.0, "lon": -131.0}) for k in range(5)]
    rows[2] = rows[2][:-6]
    with pytest.raises(BadFile, match="JSON"):
        read_states(Path("x.json"), "\n".join(rows).encode())
