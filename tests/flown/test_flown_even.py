"""Even steps and derived motion: right speed, direction and climb from any recorder."""

from dataclasses import replace

import numpy as np
import pytest
from flown_flights import LAT_DEG, START_S, Trace, recorded

from lubberline.arrays import wrap_180_deg
from lubberline.flown.even import even_track, gradient_fraction, local_line, lowest_of, runs
from lubberline.recording import Gap, Track


def straight(kt: float, true_deg: float, fpm: float, seconds: float = 300.0) -> Trace:
    since_s = np.arange(0.0, seconds, 0.1)
    along_nm = kt * since_s / 3600.0
    course_rad = np.radians(true_deg)
    return Trace(
        START_S + since_s,
        along_nm * np.sin(course_rad),
        along_nm * np.cos(course_rad),
        1000.0 + fpm / 60.0 * since_s,
        {},
    )


@pytest.mark.parametrize("every_s", [0.02, 0.1, 0.7, 1.0, 5.0])
@pytest.mark.parametrize("true_deg", [0.0, 57.0, 180.0, 301.0])
def test_speed_direction_and_climb_are_those_flown(every_s: float, true_deg: float) -> None:
    trace = straight(100.0, true_deg, 500.0)
    even = even_track(recorded(trace, every_s=every_s, fix_noise_m=0.0, height_noise_ft=0.0).track)
    inner = slice(20, -20)
    assert even.ground_kt[inner] == pytest.approx(100.0, abs=0.3)
    assert even.steady_kt[inner] == pytest.approx(100.0, abs=0.1)
    assert np.abs(wrap_180_deg(even.track_true_deg[inner] - true_deg)).max() < 0.15
    assert even.climb_fpm[inner] == pytest.approx(500.0, abs=1.0)


def test_steps_are_one_second_whatever_the_rate() -> None:
    for every_s in (0.05, 1.0, 5.0):
        even = even_track(recorded(straight(90.0, 90.0, 0.0), every_s=every_s).track)
        assert np.diff(even.time_s) == pytest.approx(1.0)


def test_a_slow_recorder_gets_five_steps_per_sample() -> None:
    even = even_track(recorded(straight(90.0, 90.0, 0.0, 3000.0), every_s=60.0).track)
    assert even.step_s == pytest.approx(12.0)


def test_a_gap_cuts_the_track_and_nothing_is_made_up_in_it() -> None:
    even = even_track(recorded(straight(90.0, 90.0, 0.0), gaps_s=[(100.0, 160.0)]).track)
    assert set(even.segment_index.tolist()) == {0, 1}
    since_s = even.time_s - START_S
    assert not ((since_s > 101.0) & (since_s < 159.0)).any()


def test_three_lost_samples_are_bridged() -> None:
    even = even_track(recorded(straight(90.0, 90.0, 0.0), gaps_s=[(100.0, 110.0)]).track)
    assert set(even.segment_index.tolist()) == {0}
    assert np.isfinite(even.lat_deg).all()


def test_the_date_line_is_crossed_without_a_jump() -> None:
    count = 200
    lon_deg = 179.98 + np.arange(count) * 0.0005
    track = Track(
        time_s=START_S + np.arange(float(count)),
        lat_deg=np.full(count, LAT_DEG),
        lon_deg=np.where(lon_deg > 180.0, lon_deg - 360.0, lon_deg),
        gnss_ft=np.full(count, 100.0),
        pressure_ft=np.full(count, np.nan),
        channels={},
    )
    even = even_track(track)
    assert even.ground_kt == pytest.approx(even.ground_kt[0], rel=1e-3)
    assert np.abs(even.lon_deg).max() <= 180.0
    assert np.abs(wrap_180_deg(even.track_true_deg - 90.0)).max() < 0.1


def test_a_sensor_that_fails_leaves_nothing_but_its_own_column() -> None:
    recording = recorded(straight(90.0, 90.0, 0.0))
    pressure_ft = recording.track.pressure_ft.copy()
    pressure_ft[100:200] = np.nan
    track = Track(
        time_s=recording.track.time_s,
        lat_deg=recording.track.lat_deg,
        lon_deg=recording.track.lon_deg,
        gnss_ft=recording.track.gnss_ft,
        pressure_ft=pressure_ft,
        channels={},
    )
    even = even_track(track)
    assert np.isnan(even.pressure_ft[101:199]).all()
    assert np.isfinite(even.lat_deg).all()


def test_a_gap_that_the_recording_names_is_not_bridged_however_short() -> None:
    recording = recorded(straight(90.0, 90.0, 0.0), gaps_s=[(100.0, 106.0)])
    start_s, end_s = recording.track.time_s[[99, 100]]
    gap = Gap(start_s=float(start_s), end_s=float(end_s), reason="new segment")
    even = even_track(recording.track, [gap])
    assert set(even.segment_index.tolist()) == {0, 1}
    assert not ((even.time_s > start_s) & (even.time_s < end_s)).any()


def test_a_lost_position_is_a_gap_though_heights_go_on() -> None:
    track = recorded(straight(90.0, 90.0, 0.0)).track
    lat_deg, lon_deg = track.lat_deg.copy(), track.lon_deg.copy()
    lat_deg[100:150] = lon_deg[100:150] = np.nan
    even = even_track(replace(track, lat_deg=lat_deg, lon_deg=lon_deg))
    assert set(even.segment_index.tolist()) == {0, 1}
    assert np.isfinite(even.lat_deg).all()


def test_the_last_digit_of_the_heights_is_seen() -> None:
    trace = straight(90.0, 90.0, 300.0)
    assert even_track(
        recorded(trace, height_step_ft=25.0).track
    ).sensors.pressure_step_ft == pytest.approx(25.0)
    assert even_track(recorded(trace).track).sensors.pressure_step_ft == 0.0


@pytest.mark.parametrize("noise_ft", [2.0, 8.0])
def test_the_noise_of_the_heights_is_estimated(noise_ft: float) -> None:
    even = even_track(recorded(straight(90.0, 90.0, 0.0, 900.0), height_noise_ft=noise_ft).track)
    assert even.sensors.pressure_noise_ft == pytest.approx(noise_ft, rel=0.15)


def test_a_line_through_a_line_is_the_line_to_its_ends() -> None:
    values = 3.0 + 0.5 * np.arange(20.0)
    level, slope = local_line(values, np.zeros(20, dtype=np.int64), 4)
    assert level == pytest.approx(values)
    assert slope == pytest.approx(0.5)


def test_runs_are_cut_at_gaps() -> None:
    mask = np.array([True, True, True, False, True])
    assert runs(mask, np.array([0, 0, 1, 1, 1])) == [(0, 2), (2, 3), (4, 5)]


def test_a_three_degree_path_is_five_percent() -> None:
    # Exact descent rate on 3 degrees at 90 kt: 478 ft/min, computed from tan 3 deg.
    assert gradient_fraction(np.array([-478.0]), np.array([90.0])) == pytest.approx(
        -np.tan(np.radians(3.0)), abs=1e-4
    )


@pytest.mark.parametrize("count", [1, 2, 7, 8, 61])
def test_the_lowest_of_neighbors_is_that_of_every_window(count: int) -> None:
    values = np.random.default_rng(3).normal(0.0, 1.0, 200)
    windows = np.lib.stride_tricks.sliding_window_view(values, count)
    np.testing.assert_array_equal(lowest_of(values, count), windows.min(axis=1))


def test_the_nearest_step_is_the_earlier_of_two_as_near() -> None:
    even = even_track(recorded(straight(100.0, 90.0, 0.0)).track)
    for time_s in (*np.linspace(even.time_s[0] - 3.0, even.time_s[-1] + 3.0, 301), even.time_s[7]):
        assert even.nearest(float(time_s)) == int(np.argmin(np.abs(even.time_s - time_s)))
    assert even.nearest(float(even.time_s[4:6].mean())) == 4
