"""Two clocks of one flight are put on one time, with a doubt that holds, or not at all."""

from dataclasses import replace

import numpy as np
import pytest

from lubberline.arrays import FloatArray
from lubberline.errors import NoSolution
from lubberline.recording.align import find_lag, joined
from lubberline.recording.model import Recording, Track

T0_S = 1_780_322_400.0


def track(time_s: FloatArray, **columns: FloatArray) -> Track:
    unknown = np.full(time_s.shape, np.nan)
    fixed = {
        name: columns.pop(name, unknown)
        for name in ("lat_deg", "lon_deg", "gnss_ft", "pressure_ft")
    }
    return Track(time_s=time_s, channels=columns, **fixed)


def speed_kt(time_s: FloatArray, phase: float = 0.0) -> FloatArray:
    """Like a flight: slow and quick changes, and two long ones."""
    t = time_s - T0_S
    slow = 20.0 * np.sin(t / 91.0 + phase) + 25.0 * np.sin(t / 531.0 + 2.0 * phase)
    steps = 30.0 * np.tanh((t - 700.0) / 15.0) + 20.0 * np.tanh((t - 1_500.0) / 9.0)
    return np.asarray(100.0 + slow + steps + 15.0 * np.sin(t / 37.0 + 3.0 * phase))


def two(lag_s: float, rng: np.random.Generator, noise: float = 2.0) -> tuple[Track, Track]:
    """An hour at 1 Hz, and half of it at 2 Hz by a clock that is ``lag_s`` slow."""
    first_s, second_s = T0_S + np.arange(0.0, 3_600.0), T0_S + 200.0 + np.arange(0.0, 1_800.0, 0.5)
    phase = rng.uniform(0.0, 6.0)
    return (
        track(first_s, ground_kt=speed_kt(first_s, phase) + rng.normal(0.0, noise, 3_600)),
        track(
            second_s - lag_s,
            ground_kt=speed_kt(second_s, phase) + rng.normal(0.0, noise, 3_600),
        ),
    )


@pytest.mark.parametrize("lag_s", [0.0, 37.4, -912.25, 3_600.3, -21_000.0])
def test_the_lag_is_found(lag_s: float) -> None:
    found = find_lag(*two(lag_s, np.random.default_rng(1)))
    assert found.lag_s == pytest.approx(lag_s, abs=4.0 * found.sigma_s)
    assert found.sigma_s < 0.5
    assert found.shared == "ground_kt"


def test_nine_in_ten_lags_lie_within_the_stated_interval() -> None:
    rng = np.random.default_rng(2)
    inside = []
    for _ in range(150):
        lag_s = rng.uniform(-2_000.0, 2_000.0)
        found = find_lag(*two(lag_s, rng))
        inside.append(abs(found.lag_s - lag_s) <= 1.645 * found.sigma_s)
    assert 0.84 <= np.mean(inside) <= 0.97


def test_heights_of_two_kinds_serve() -> None:
    time_s = T0_S + np.arange(0.0, 1_200.0)
    height_ft = 30.0 * speed_kt(time_s)
    first, second = track(time_s, gnss_ft=height_ft), track(time_s - 60.0, pressure_ft=height_ft)
    assert find_lag(first, second).lag_s == pytest.approx(60.0, abs=0.3)


def test_what_never_agrees_is_not_joined() -> None:
    rng = np.random.default_rng(3)
    first, _ = two(0.0, rng)
    other = track(first.time_s, ground_kt=rng.normal(100.0, 10.0, 3_600))
    with pytest.raises(NoSolution, match="never agrees"):
        find_lag(first, other)


def test_what_agrees_at_two_times_is_not_joined() -> None:
    """Two rounds flown alike: the second recording holds one of them."""
    round_kt = speed_kt(T0_S + np.arange(0.0, 900.0))
    first = track(T0_S + np.arange(0.0, 1_800.0), ground_kt=np.tile(round_kt, 2))
    second = track(T0_S + np.arange(0.0, 900.0), ground_kt=round_kt)
    with pytest.raises(NoSolution, match="agrees as well at another time"):
        find_lag(first, second)


@pytest.mark.parametrize("column", [np.full(300, 90.0), np.full(300, np.nan)])
def test_what_never_changes_says_nothing(column: FloatArray) -> None:
    time_s = T0_S + np.arange(300.0)
    still = track(time_s, ground_kt=column)
    with pytest.raises(NoSolution):
        find_lag(still, still)


def test_without_anything_shared_there_is_no_lag() -> None:
    time_s = T0_S + np.arange(300.0)
    with pytest.raises(NoSolution, match="share no speed, height or heading"):
        find_lag(track(time_s, ground_kt=time_s), track(time_s, oil_degc=time_s))


def recording(one: Track) -> Recording:
    return Recording(
        track=one, gnss_reference="msl", format_name="CSV", sha256="ab" * 32, account=("read",)
    )


def test_the_second_lends_what_the_first_has_not() -> None:
    first, second = two(40.0, np.random.default_rng(4), noise=0.1)
    oil_degc = second.time_s - second.time_s[0]
    second = replace(second, channels={**second.channels, "oil_degc": oil_degc})
    whole = joined(recording(first), recording(second))
    oil = whole.track.channels["oil_degc"]
    at_s = T0_S + 700.0
    assert oil[700] == pytest.approx(at_s - 40.0 - second.time_s[0], abs=0.5)
    assert np.isnan(oil[:200]).all()  # the second began later
    assert np.isnan(oil[2_010:]).all()
    np.testing.assert_array_equal(whole.track.channels["ground_kt"], first.channels["ground_kt"])
    assert "its clock is -40.0 s off" in whole.account[-1]
    assert "From it: oil_degc." in whole.account[-1]


def test_nothing_is_taken_from_a_silence() -> None:
    first, second = two(0.0, np.random.default_rng(5), noise=0.1)
    oil_degc = np.where((np.arange(3_600) > 1_000) & (np.arange(3_600) < 1_060), np.nan, 80.0)
    second = replace(second, channels={**second.channels, "oil_degc": oil_degc})
    oil = joined(recording(first), recording(second)).track.channels["oil_degc"]
    assert np.isnan(oil[705:728]).all()
    assert np.isfinite(oil[600:698]).all()


def test_directions_are_not_averaged_through_south() -> None:
    first, second = two(0.0, np.random.default_rng(6), noise=0.1)
    heading = np.where(np.arange(3_600) % 2, 359.0, 1.0)
    second = replace(second, channels={**second.channels, "heading_mag_deg": heading})
    whole = joined(recording(first), recording(second)).track.channels["heading_mag_deg"]
    known = whole[np.isfinite(whole)]
    assert ((known >= 358.9) | (known <= 1.1)).all()


def test_positions_serve_as_ground_speed() -> None:
    first, second = two(40.0, np.random.default_rng(7), noise=0.1)
    kt = first.channels["ground_kt"]
    east_deg = (np.cumsum(kt) - kt / 2.0) / 3_600.0 / 60.0
    placed = track(first.time_s, lat_deg=np.zeros(3_600), lon_deg=east_deg)
    assert find_lag(placed, second).lag_s == pytest.approx(40.0, abs=0.1)


def test_clocks_may_be_taken_as_they_are() -> None:
    time_s = T0_S + np.arange(300.0)
    first, second = track(time_s, ground_kt=time_s), track(time_s, oil_degc=time_s - T0_S)
    whole = joined(recording(first), recording(second), by_clock=True)
    assert whole.track.channels["oil_degc"][100] == pytest.approx(100.0)
    assert "its times are taken as they are" in whole.account[-1]
