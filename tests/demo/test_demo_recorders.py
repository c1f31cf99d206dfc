"""What the invented recorders keep: near the truth, with their own errors, always the same."""

from pathlib import Path

import numpy as np
import pytest
from demo_cases import Case, flown_case

from lubberline.air import indicated_altitude_ft
from lubberline.demo import FLIGHTS
from lubberline.units import M_PER_NM


def test_a_recording_says_that_it_is_invented(case: Case) -> None:
    head = case.path.read_text(encoding="utf-8").splitlines()[:2]
    assert any("invented" in row for row in head)


def test_all_three_formats_occur(cases: dict[str, Case]) -> None:
    formats = {case.recording.format_name for case in cases.values()}
    assert formats == {"GPX 1.1", "IGC", "CSV"}


def test_every_second_is_kept_and_read_back(case: Case) -> None:
    track = case.recording.track
    start_s = case.plan.flight.off_block_utc.timestamp()
    assert np.array_equal(track.time_s - start_s, case.truth.time_s)
    assert case.recording.gaps == ()


def test_positions_wander_by_meters(case: Case) -> None:
    north_m = (case.recording.track.lat_deg - case.truth.lat_deg) * 60.0 * M_PER_NM
    assert 0.5 < north_m.std() < 4.0
    assert np.abs(north_m).max() < 15.0
    assert np.abs(np.diff(north_m)).max() < 2.5  # smoothly; 1.9 m are a thousandth of a minute


def test_only_gpx_has_no_pressure(case: Case) -> None:
    has_pressure = bool(np.isfinite(case.recording.track.pressure_ft).all())
    assert has_pressure == (case.recording.format_name != "GPX 1.1")


def test_a_pressure_sensor_is_right_within_feet(pressure_case: Case) -> None:
    case = pressure_case
    pressure_ft = case.recording.track.pressure_ft
    settings_inhg = [end.altimeter_inhg for end in case.ends]
    ends_s = [case.truth.liftoff_s, case.truth.touchdown_s]
    setting_inhg = np.interp(case.truth.time_s, ends_s, np.array(settings_inhg, dtype=float))
    off_ft = indicated_altitude_ft(pressure_ft, setting_inhg) - case.truth.msl_ft
    assert np.abs(off_ft).max() < 20.0
    assert off_ft.std() < 2.5  # the offset does not change; a meter or a foot is the last digit


def test_the_altimeter_settings_are_those_of_the_weather(case: Case) -> None:
    departure, destination = (end.altimeter_inhg for end in case.ends)
    assert departure is not None
    assert destination is not None
    assert 0.0 < departure - destination < 0.1
    assert departure == pytest.approx(case.flight.altimeter_inhg)


def test_the_same_flight_is_recorded_the_same_again(home: Path, cases: dict[str, Case]) -> None:
    flight = FLIGHTS[2]
    before = cases[flight.fault].path.read_bytes()
    again = flown_case(home, home / "flights" / flight.folder_name, flight)
    assert again.path.read_bytes() == before


def test_flights_of_the_same_way_differ(cases: dict[str, Case]) -> None:
    hashes = {case.recording.sha256 for case in cases.values()}
    assert len(hashes) == len(FLIGHTS)
