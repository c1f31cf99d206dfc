"""From raw columns to a track that keeps its promises, nothing in silence."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from recording_files import START_S, eastward, raw

from lubberline.arrays import FloatArray, IntArray
from lubberline.errors import BadFile
from lubberline.recording import Gap, Track
from lubberline.recording.clean import clean

NOWHERE = Path("flight")
SETTLED = "Read as made in code"


def cleaned(
    columns: dict[str, FloatArray], *, segments: FloatArray | None = None
) -> tuple[Track, tuple[Gap, ...], str]:
    track, gaps, account = clean(NOWHERE, raw(columns, segments=segments))
    assert account[0].startswith(SETTLED)
    return track, gaps, "\n".join(account[1:])


def taken(columns: dict[str, FloatArray], rows: IntArray) -> dict[str, FloatArray]:
    return {name: column[rows] for name, column in columns.items()}


def test_a_good_recording_is_not_touched_and_nothing_is_said() -> None:
    columns = eastward()
    track, gaps, account = cleaned(columns)
    for name, column in columns.items():
        np.testing.assert_array_equal(getattr(track, name), column)
    assert (gaps, account) == ((), "")


def test_a_few_samples_out_of_order_are_sorted() -> None:
    order = np.arange(120)
    order[[10, 11, 50, 51]] = [11, 10, 51, 50]
    track, _, account = cleaned(taken(eastward(), order))
    np.testing.assert_array_equal(track.time_s, eastward()["time_s"])
    np.testing.assert_array_equal(track.lon_deg, eastward()["lon_deg"])
    assert account == "Time goes backward in 2 places: sorted by time."


def test_a_file_that_runs_backward_is_turned_around() -> None:
    track, _, account = cleaned(taken(eastward(), np.arange(120)[::-1]))
    np.testing.assert_array_equal(track.lon_deg, eastward()["lon_deg"])
    assert "runs backward" in account


def test_a_file_without_order_is_refused() -> None:
    order = np.random.default_rng(1).permutation(120)
    with pytest.raises(BadFile, match=r"time going backward in \d+ of 119 steps"):
        cleaned(taken(eastward(), order))


def test_samples_of_one_time_are_one_sample_with_what_each_knows() -> None:
    columns = taken(eastward(), np.repeat(np.arange(120), [2, 3, *[1] * 118]))
    columns["pressure_ft"][0] = np.nan
    columns["gnss_ft"][3:5] = [np.nan, 9.0]
    track, _, account = cleaned(columns)
    assert len(track) == 120
    assert track.pressure_ft[0] == 2500.0
    assert track.gnss_ft[1] == 2600.0
    assert account.startswith("3 samples with a time that was there before: the first is kept")


def test_two_tracks_in_one_file_are_refused() -> None:
    columns = taken(eastward(), np.repeat(np.arange(120), 2))
    columns["lat_deg"][1::2] += 1.0
    with pytest.raises(BadFile, match="120 samples in another place at the same time"):
        cleaned(columns)


@pytest.mark.parametrize(
    ("lat_deg", "lon_deg", "words"),
    [
        (0.0, 0.0, "exactly at 0, 0"),
        (91.0, -131.0, "outside 90 degrees"),
        (41.0, -181.0, "outside 90 degrees"),
        (41.0, np.nan, "only a latitude or only a longitude"),
    ],
)
def test_an_impossible_position_is_not_known(lat_deg: float, lon_deg: float, words: str) -> None:
    columns = eastward()
    columns["lat_deg"][7], columns["lon_deg"][7] = lat_deg, lon_deg
    track, _, account = cleaned(columns)
    assert np.flatnonzero(np.isnan(track.lat_deg)).tolist() == [7]
    assert np.flatnonzero(np.isnan(track.lon_deg)).tolist() == [7]
    assert track.pressure_ft[7] == 2500.0
    assert account.startswith("1 position ")
    assert words in account


def test_longitudes_up_to_360_are_taken_as_all_east() -> None:
    columns = eastward()
    columns["lon_deg"] = columns["lon_deg"] + 360.0
    track, _, account = cleaned(columns)
    np.testing.assert_allclose(track.lon_deg, eastward()["lon_deg"])
    assert "from 0 to 360" in account


@pytest.mark.parametrize("count", [1, 2, 5, 20])
def test_a_teleport_and_return_is_not_known(count: int) -> None:
    columns = eastward()
    columns["lat_deg"][40 : 40 + count] += 0.02  # 1.2 NM
    track, _, account = cleaned(columns)
    assert np.flatnonzero(np.isnan(track.lat_deg)).tolist() == list(range(40, 40 + count))
    assert np.isnan(track.gnss_ft[40])
    assert f"{count} position{'s' if count > 1 else ''} jumped away" in account


def test_a_small_spike_that_no_turn_explains_is_not_known() -> None:
    columns = eastward()
    columns["lat_deg"][60] += 0.0008  # 290 ft sideways within a second
    track, _, _ = cleaned(columns)
    assert np.flatnonzero(np.isnan(track.lat_deg)).tolist() == [60]


def test_spikes_next_to_each_other_and_at_both_ends_go_too() -> None:
    columns = eastward()
    columns["lat_deg"][[0, 30, 32, 119]] += 0.5
    track, _, _ = cleaned(columns)
    assert np.flatnonzero(np.isnan(track.lat_deg)).tolist() == [0, 30, 32, 119]


def test_a_tight_turn_is_not_a_spike() -> None:
    columns = eastward(600)
    angle = np.radians(30.0) * (columns["time_s"] - START_S)  # a circle in 12 s
    columns["lat_deg"] = 41.0 + 0.0008 * np.sin(angle)
    columns["lon_deg"] = -131.0 + 0.0011 * np.cos(angle)
    assert np.isfinite(cleaned(columns)[0].lat_deg).all()


def test_two_long_stretches_with_an_impossible_step_between_are_kept_and_told() -> None:
    columns = eastward(600)
    columns["lat_deg"][300:] += 1.0
    track, gaps, account = cleaned(columns)
    assert np.isfinite(track.lat_deg).all()
    assert gaps == (Gap(start_s=START_S + 299.0, end_s=START_S + 300.0, reason="jump"),)
    assert "jumps in 1 place by more than can be flown" in account


def test_positions_that_contradict_each_other_are_refused() -> None:
    columns = eastward(600)
    columns["lat_deg"] += np.random.default_rng(1).uniform(-5.0, 5.0, 600)
    with pytest.raises(BadFile, match="out of reach of the others"):
        cleaned(columns)


def test_a_flight_between_two_switched_off_times_is_not_a_jump() -> None:
    columns = taken(eastward(3600), np.r_[0:60, 3500:3600])
    track, gaps, _ = cleaned(columns)
    assert np.isfinite(track.lat_deg).all()
    assert [gap.reason for gap in gaps] == ["nothing recorded"]


def test_a_position_that_stands_still_in_flight_is_stale() -> None:
    columns = eastward()
    columns["lon_deg"][51:55] = columns["lon_deg"][50]
    track, _, account = cleaned(columns)
    assert np.flatnonzero(np.isnan(track.lon_deg)).tolist() == [51, 52, 53, 54]
    assert track.gnss_ft[52] == 2600.0 or "its satellite height" in account
    assert "4 samples repeat an old position" in account


def test_a_parked_aircraft_is_not_stale() -> None:
    columns = eastward(240)
    moved = np.maximum(0.0, columns["time_s"] - START_S - 120.0) ** 2  # brakes off, then 2 m/s2
    columns["lon_deg"] = -131.0 + moved * 1.2e-5
    columns["lon_deg"][:120] = -131.0
    assert np.isfinite(cleaned(columns)[0].lon_deg).all()


def test_coarse_digits_are_not_stale_positions() -> None:
    columns = eastward(1_000, 0.1)
    columns["lon_deg"] = np.round(columns["lon_deg"] * 6e4) / 6e4  # thousandths of a minute
    assert np.isfinite(cleaned(columns)[0].lon_deg).all()


@pytest.mark.parametrize("count", [1, 8])
def test_a_height_that_cannot_be_climbed_is_not_known(count: int) -> None:
    columns = eastward()
    columns["pressure_ft"] += np.arange(120) * 10.0
    columns["pressure_ft"][60 : 60 + count] += 20_000.0
    track, _, account = cleaned(columns)
    bad = np.flatnonzero(np.isnan(track.pressure_ft)).tolist()
    assert bad == list(range(60, 60 + count))
    assert np.isfinite(track.lat_deg).all()
    assert "jumped by more than can be climbed" in account


def test_a_clock_not_yet_set_is_left_out() -> None:
    columns = eastward()
    columns["time_s"][:3] -= 20.0 * 365.0 * 86_400.0
    columns["time_s"][3] = 12.0
    track, _, account = cleaned(columns)
    assert len(track) == 116
    assert "3 samples more than 30 days from the others" in account
    assert "1 sample dated before 1980 or after 2100: left out." in account


def test_two_recordings_in_one_file_are_refused() -> None:
    columns = eastward()
    columns["time_s"][:60] -= 365.0 * 86_400.0
    with pytest.raises(BadFile, match="2 recordings more than 30 days apart"):
        cleaned(columns)


def test_samples_without_a_time_or_without_anything_are_left_out() -> None:
    columns = eastward()
    columns["time_s"][5] = np.nan
    for name in ("lat_deg", "lon_deg", "gnss_ft", "pressure_ft"):
        columns[name][9] = np.nan
    track, _, account = cleaned(columns)
    assert len(track) == 118
    assert "1 sample without a time: left out.\n1 sample with nothing known: left out." in account


def test_a_sensor_that_gave_nothing_is_nan_in_its_own_column_only() -> None:
    columns = eastward() | {"ias_kt": np.full(120, np.nan)}
    track, _, _ = cleaned(columns)
    assert np.isnan(track.channels["ias_kt"]).all()
    assert np.isfinite(track.lat_deg).all()


@pytest.mark.parametrize(
    ("every_s", "missing", "expected"), [(1.0, 9, 0), (1.0, 10, 1), (4.0, 4, 0), (4.0, 5, 1)]
)
def test_a_gap_is_longer_than_ten_seconds_and_five_steps(
    every_s: float, missing: int, expected: int
) -> None:
    columns = taken(eastward(200, every_s), np.r_[0:50, 50 + missing : 200])
    _, gaps, account = cleaned(columns)
    assert len(gaps) == expected
    assert account.startswith("1 gap without samples" if expected else "")


def test_a_new_segment_is_a_gap_however_short() -> None:
    _, gaps, account = cleaned(eastward(), segments=np.repeat([0.0, 1.0], 60))
    assert gaps == (Gap(start_s=START_S + 59.0, end_s=START_S + 60.0, reason="new segment"),)
    assert account.startswith("1 break between segments, 1 s together")


def test_a_span_without_positions_is_a_gap_of_its_own() -> None:
    columns = eastward()
    columns["lat_deg"][20:40] = columns["lon_deg"][20:40] = np.nan
    track, gaps, _ = cleaned(columns)
    assert gaps == (Gap(start_s=START_S + 19.0, end_s=START_S + 40.0, reason="no position"),)
    assert len(track) == 120


@given(st.integers(0, 119), st.integers(0, 119), st.floats(-60.0, 60.0), st.floats(-179.0, 179.0))
def test_where_on_earth_makes_no_difference(
    first: int, second: int, lat_deg: float, lon_deg: float
) -> None:
    assume(abs(lat_deg) + abs(lon_deg) > 1e-6)  # the place that recorders write without a fix
    columns = eastward()
    columns["lat_deg"] = columns["lat_deg"] - 41.0 + lat_deg
    away_deg = (columns["lon_deg"] + 131.0) * np.cos(np.radians(41.0)) / np.cos(np.radians(lat_deg))
    columns["lon_deg"] = (away_deg + lon_deg + 180.0) % 360.0 - 180.0
    columns["lat_deg"][[first, second]] += 0.5
    track, _, _ = cleaned(columns)
    assert set(np.flatnonzero(np.isnan(track.lat_deg)).tolist()) == {first, second}
