"""Indicated height: what the altimeter showed, as well as the recording can tell."""

import numpy as np
import pytest
from flown_flights import (
    NO_PLACES,
    START_S,
    Trace,
    aerodrome,
    cross_country,
    places_with,
    pledge_of,
    recorded,
)

from lubberline.air import pressure_altitude_ft
from lubberline.flight import Pledge
from lubberline.flown.even import even_track
from lubberline.flown.height import FlownHeight, contacts, flown_height
from lubberline.flown.movements import airborne
from lubberline.places import Places
from lubberline.recording import Recording


@pytest.fixture(scope="module")
def trace() -> Trace:
    return cross_country(cruise_s=600.0).trace()


def ends(trace: Trace, elev_ft: float = 400.0) -> Places:
    found = []
    for id_, mark in (("QAAA", "take-off"), ("QBBB", "landing")):
        k = int(np.argmin(np.abs(trace.time_s - trace.marks[mark][0])))
        found.append(
            aerodrome(id_, float(trace.east_nm[k]), float(trace.north_nm[k]), elev_ft=elev_ft)
        )
    return places_with(*found)


def height(
    recording: Recording, places: Places = NO_PLACES, pledge: Pledge | None = None
) -> FlownHeight:
    even = even_track(recording.track)
    flights = airborne(even, recording.track, places)
    return flown_height(
        even,
        contacts(even, flights, places),
        gnss_above_sea=recording.gnss_reference == "msl",
        pledge=pledge,
    )


def error_ft(found: FlownHeight, recording: Recording, trace: Trace) -> np.ndarray:
    even = even_track(recording.track)
    return found.indicated_ft - np.interp(even.time_s, trace.time_s, trace.msl_ft)


@pytest.mark.parametrize("setting_inhg", [28.9, 29.92, 30.4])
def test_pressure_height_becomes_indicated_height_with_the_pledged_setting(
    trace: Trace, setting_inhg: float
) -> None:
    shift_ft = float(pressure_altitude_ft(0.0, setting_inhg))
    recording = recorded(trace, pressure_shift_ft=shift_ft, height_noise_ft=0.0)
    pledge = pledge_of(trace, settings_inhg=(setting_inhg, setting_inhg))
    found = height(recording, pledge=pledge)
    assert found.missing == ""
    assert np.nanmax(np.abs(error_ft(found, recording, trace))) < 3.0


def test_two_settings_are_passed_between_and_widen_the_doubt(trace: Trace) -> None:
    recording = recorded(trace)
    same = height(recording, pledge=pledge_of(trace, settings_inhg=(29.92, 29.92)))
    other = height(recording, pledge=pledge_of(trace, settings_inhg=(29.92, 30.12)))
    assert other.sigma_ft[0] > same.sigma_ft[0] + 20.0
    assert other.indicated_ft[0] == pytest.approx(same.indicated_ft[0], abs=1.0)
    assert other.indicated_ft[-1] - same.indicated_ft[-1] == pytest.approx(184.0, abs=3.0)


def test_one_setting_alone_serves_both_ends(trace: Trace) -> None:
    found = height(recorded(trace), pledge=pledge_of(trace, settings_inhg=(None, 29.92)))
    assert found.missing == ""


def test_without_setting_and_ground_the_height_is_not_known_and_says_what_would_help(
    trace: Trace,
) -> None:
    found = height(recorded(trace), pledge=pledge_of(trace, settings_inhg=(None, None)))
    assert "altimeter setting in the pledge" in found.missing
    assert np.isnan(found.indicated_ft).all()


def test_the_ground_at_known_aerodromes_replaces_a_setting(trace: Trace) -> None:
    recording = recorded(trace, pressure_shift_ft=-310.0)
    found = height(recording, ends(trace))
    assert np.nanmax(np.abs(error_ft(found, recording, trace)[30:-30])) < 15.0
    assert any("QAAA" in sentence for sentence in found.account)


def test_a_wrong_setting_is_corrected_by_the_ground_and_told(trace: Trace) -> None:
    recording = recorded(trace, pressure_shift_ft=140.0)
    found = height(recording, ends(trace), pledge_of(trace))
    assert np.nanmax(np.abs(error_ft(found, recording, trace)[30:-30])) < 15.0
    assert any("140 ft above the elevation; corrected" in one for one in found.account)


def test_a_small_difference_on_the_ground_is_left_alone(trace: Trace) -> None:
    recording = recorded(trace, height_noise_ft=0.0)
    found = height(recording, ends(trace, elev_ft=415.0), pledge_of(trace))
    assert np.nanmax(np.abs(error_ft(found, recording, trace))) < 3.0
    assert any("15 ft below the elevation; left as it is" in one for one in found.account)


@pytest.mark.parametrize("reference", ["ellipsoid", "unknown"])
def test_height_above_the_ellipsoid_needs_the_ground(trace: Trace, reference: str) -> None:
    recording = recorded(trace, pressure_shift_ft=None, gnss_shift_ft=-97.0, reference=reference)
    unknown = height(recording, pledge=pledge_of(trace))
    assert "known aerodrome" in unknown.missing
    found = height(recording, ends(trace), pledge_of(trace))
    assert found.missing == ""
    assert np.nanmax(np.abs(error_ft(found, recording, trace)[30:-30])) < 20.0
    assert any("97 ft below the elevation; corrected" in one for one in found.account)


def test_satellite_height_above_the_sea_is_used_with_the_doubt_of_the_temperature(
    trace: Trace,
) -> None:
    recording = recorded(trace, pressure_shift_ft=None, gnss_shift_ft=0.0)
    found = height(recording, pledge=pledge_of(trace))
    top = int(np.nanargmax(found.indicated_ft))
    assert found.sigma_ft[top] == pytest.approx(np.hypot(25.0, 0.04 * 4100.0), rel=0.02)


def test_pressure_is_preferred_to_satellites(trace: Trace) -> None:
    recording = recorded(trace, gnss_shift_ft=300.0)
    found = height(recording, pledge=pledge_of(trace))
    assert np.nanmax(np.abs(error_ft(found, recording, trace))) < 20.0


def test_satellites_help_out_where_pressure_has_no_setting(trace: Trace) -> None:
    recording = recorded(trace, pressure_shift_ft=500.0, gnss_shift_ft=0.0)
    found = height(recording, pledge=pledge_of(trace, settings_inhg=(None, None)))
    assert np.nanmax(np.abs(error_ft(found, recording, trace))) < 20.0


def test_no_heights_at_all_ask_for_another_recorder(trace: Trace) -> None:
    recording = recorded(trace, pressure_shift_ft=None, gnss_shift_ft=None)
    assert height(recording, pledge=pledge_of(trace)).missing == "a recorder that keeps heights"


def test_steps_of_25_ft_widen_the_doubt_by_their_rounding(trace: Trace) -> None:
    # JCGM 100:2008: a digit of 25 ft is worth 25 / sqrt(12) = 7.217 ft.
    fine = height(recorded(trace), pledge=pledge_of(trace))
    coarse = height(recorded(trace, height_step_ft=25.0), pledge=pledge_of(trace))
    added_ft = np.sqrt(coarse.sigma_ft[0] ** 2 - fine.sigma_ft[0] ** 2)
    assert added_ft == pytest.approx(7.217, abs=0.01)


def test_contacts_say_when_and_on_which_elevation(trace: Trace) -> None:
    recording = recorded(trace)
    even, places = even_track(recording.track), ends(trace)
    found = contacts(even, airborne(even, recording.track, places), places)
    assert [(one.aerodrome_id, one.elev_msl_ft) for one in found] == [
        ("QAAA", 400.0),
        ("QBBB", 400.0),
    ]
    assert found[0].time_s - START_S < found[1].time_s - START_S
