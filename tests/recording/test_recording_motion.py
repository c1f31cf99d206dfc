"""Derived motion: right in the middle, honest about its doubt, and blind across gaps."""

from dataclasses import fields

import numpy as np
import pytest

from lubberline.arrays import BoolArray, FloatArray, wrap_180_deg
from lubberline.errors import RangeError
from lubberline.recording import Gap, Motion, Track, motion
from lubberline.units import KT_PER_MPS

EQUATOR_M = 6_378_137.0
FLATTENING = 1.0 / 298.257223563
START_S = 1_780_000_000.0
COLUMNS = [field.name for field in fields(Motion) if field.name not in ("time_s", "height_kind")]


class Flown:
    """A truth: 107 kt give or take 10, two minutes straight, two in a turn at 3 deg/s."""

    def __init__(self, hz: float, duration_s: float, *, lat_deg: float = 41.0) -> None:
        every = max(1, round(20.0 / hz))
        step_s = 1.0 / (hz * every)
        since_s = np.arange(round(duration_s * hz) * every) * step_s
        mps = 55.0 + 5.0 * np.sin(since_s / 60.0)
        turn_degps = np.where((since_s // 120.0) % 2.0 == 0.0, 0.0, 3.0)
        true_deg = 40.0 + _before(turn_degps * step_s)
        halfway_rad = np.radians(true_deg + turn_degps * step_s / 2.0)
        lat, lon = _places(lat_deg, mps * step_s, halfway_rad)
        fpm = 500.0 * np.sin(since_s / 100.0)
        kept = slice(None, None, every)
        self.since_s: FloatArray = since_s[kept].astype(np.float64)
        self.lat_deg, self.lon_deg = lat[kept], lon[kept]
        self.kt, self.true_deg = mps[kept] * KT_PER_MPS, true_deg[kept]
        self.turn_degps, self.fpm = turn_degps[kept], fpm[kept]
        self.height_ft = (2000.0 + _before(fpm / 60.0 * step_s))[kept]

    def track(self, fix_m: float = 0.0, height_ft: float = 0.0, step_ft: float = 0.0) -> Track:
        """What a recorder with white noise and rounded heights makes of it."""
        rng = np.random.default_rng(5)
        north, east, up = rng.normal(0.0, 1.0, (3, self.since_s.size))
        noisy_ft = self.height_ft + height_ft * up
        return Track(
            time_s=START_S + self.since_s,
            lat_deg=self.lat_deg + fix_m * north / 111_000.0,
            lon_deg=self.lon_deg + fix_m * east / 111_000.0 / np.cos(np.radians(self.lat_deg)),
            gnss_ft=np.full(self.since_s.shape, np.nan),
            pressure_ft=np.round(noisy_ft / step_ft) * step_ft if step_ft else noisy_ft,
            channels={},
        )

    def steady(self, half_s: float, *, turning: bool) -> BoolArray:
        """Samples whose window holds no beginning or end of a turn."""
        phase_s = self.since_s % 120.0
        inside = (phase_s > half_s) & (phase_s < 120.0 - half_s)
        return np.asarray(inside & ((self.turn_degps > 0.0) == turning))


def _before(steps: FloatArray) -> FloatArray:
    return np.concatenate([[0.0], np.cumsum(steps)[:-1]])


def _places(
    lat_deg: float, steps_m: FloatArray, true_rad: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Latitude and longitude after so many steps on the ellipsoid, small enough to be straight."""
    squared = FLATTENING * (2.0 - FLATTENING)
    lat = np.full(steps_m.shape, lat_deg)
    for _ in range(6):
        root = np.sqrt(1.0 - squared * np.sin(np.radians(lat)) ** 2)
        meridian_m = EQUATOR_M * (1.0 - squared) / root**3
        lat = lat_deg + _before(np.degrees(steps_m * np.cos(true_rad) / meridian_m))
    parallel_m = EQUATOR_M / root * np.cos(np.radians(lat))
    return lat, -131.0 + _before(np.degrees(steps_m * np.sin(true_rad) / parallel_m))


@pytest.mark.parametrize("lat_deg", [-70.0, 0.0, 41.0])
def test_without_noise_the_truth_comes_back(lat_deg: float) -> None:
    flown = Flown(5.0, 480.0, lat_deg=lat_deg)
    found = motion(flown.track())
    straight = flown.steady(6.0, turning=False)
    np.testing.assert_allclose(found.ground_kt[straight], flown.kt[straight], atol=0.01)
    assert np.abs(wrap_180_deg(found.track_true_deg - flown.true_deg))[straight].max() < 0.01
    both = straight | flown.steady(6.0, turning=True)
    np.testing.assert_allclose(found.turn_degps[both], flown.turn_degps[both], atol=0.06)
    inside = (flown.since_s > 9.0) & (flown.since_s < 471.0)
    np.testing.assert_allclose(found.climb_fpm[inside], flown.fpm[inside], atol=0.5)
    np.testing.assert_allclose(found.height_ft[inside], flown.height_ft[inside], atol=0.1)


@pytest.mark.parametrize("step_ft", [0.0, 25.0])
@pytest.mark.parametrize("hz", [0.2, 1.0, 5.0, 50.0])
def test_the_sigmas_are_those_of_the_errors(hz: float, step_ft: float) -> None:
    """Errors over sigmas scatter like 1; with few samples or coarse steps a little less surely."""
    flown = Flown(hz, 3600.0 if hz < 10.0 else 600.0)
    found = motion(flown.track(fix_m=1.5, height_ft=3.0, step_ft=step_ft))
    half_s = max(6.0, 2.6 / hz)
    straight, turning = flown.steady(half_s, turning=False), flown.steady(half_s, turning=True)

    def scatter(error: FloatArray, sigma: FloatArray, where: BoolArray) -> float:
        return float(np.sqrt(np.mean((error[where] / sigma[where]) ** 2)))

    speed = found.ground_kt - flown.kt
    direction = wrap_180_deg(found.track_true_deg - flown.true_deg)
    turn = found.turn_degps - flown.turn_degps
    both = straight | turning
    assert 0.5 < scatter(speed, found.ground_sigma_kt, straight) < 1.25
    assert 0.8 < scatter(speed, found.ground_sigma_kt, turning) < 1.25
    assert 0.5 < scatter(direction, found.track_sigma_deg, both) < 1.25
    assert 0.5 < scatter(turn, found.turn_sigma_degps, both) < 1.25
    assert 0.8 < scatter(found.climb_fpm - flown.fpm, found.climb_sigma_fpm, both) < 1.3


def test_more_samples_leave_less_doubt() -> None:
    medians = [
        float(np.nanmedian(motion(Flown(hz, 600.0).track(fix_m=1.5)).ground_sigma_kt))
        for hz in (1.0, 5.0, 50.0)
    ]
    assert medians[0] > 1.8 * medians[1] > 1.8 * 2.5 * medians[2]


def test_uneven_steps_change_little() -> None:
    flown = Flown(5.0, 480.0)
    full = flown.track()
    rows = np.sort(np.random.default_rng(2).permutation(full.time_s.size)[:800])
    thinned = Track(
        **{n: getattr(full, n)[rows] for n in ("time_s", "lat_deg", "lon_deg", "gnss_ft")},
        pressure_ft=full.pressure_ft[rows],
        channels={},
    )
    straight = flown.steady(6.0, turning=False)[rows]
    error_kt = motion(thinned).ground_kt[straight] - flown.kt[rows][straight]
    assert np.abs(error_kt).max() < 0.1


def test_nothing_reaches_across_a_gap() -> None:
    flown = Flown(1.0, 480.0)
    full = flown.track()
    rows = np.r_[0:100, 140:480]
    column = {n: getattr(full, n)[rows].copy() for n in ("time_s", "lat_deg", "lon_deg")}
    column["lat_deg"][100:] += 0.1  # as if the other side were another flight
    found = motion(
        Track(**column, gnss_ft=full.gnss_ft[rows], pressure_ft=full.pressure_ft[rows], channels={})
    )
    alone = motion(
        Track(
            **{name: values[:100] for name, values in column.items()},
            gnss_ft=full.gnss_ft[:100],
            pressure_ft=full.pressure_ft[:100],
            channels={},
        )
    )
    np.testing.assert_allclose(found.ground_kt[:100], alone.ground_kt, rtol=1e-6)


def test_a_named_gap_is_one_however_short() -> None:
    track = Flown(1.0, 240.0).track()
    jump = np.where(np.arange(240) >= 120, 0.01, 0.0)
    shifted = Track(
        time_s=track.time_s,
        lat_deg=track.lat_deg + jump,
        lon_deg=track.lon_deg,
        gnss_ft=track.gnss_ft,
        pressure_ft=track.pressure_ft,
        channels={},
    )
    gap = Gap(start_s=track.time_s[119], end_s=track.time_s[120], reason="jump")
    assert np.nanmax(motion(shifted).ground_kt) > 200.0
    assert np.nanmax(motion(shifted, gaps=[gap]).ground_kt) < 120.0


def test_a_sample_without_a_position_gets_the_motion_around_it() -> None:
    flown = Flown(1.0, 240.0)
    track = flown.track()
    lat_deg = track.lat_deg.copy()
    lat_deg[50] = np.nan
    holed = Track(
        time_s=track.time_s,
        lat_deg=lat_deg,
        lon_deg=track.lon_deg,
        gnss_ft=track.gnss_ft,
        pressure_ft=track.pressure_ft,
        channels={},
    )
    assert motion(holed).ground_kt[50] == pytest.approx(flown.kt[50], abs=0.1)


def test_the_date_line_makes_no_difference() -> None:
    track = Flown(1.0, 240.0).track()
    across = Track(
        time_s=track.time_s,
        lat_deg=track.lat_deg,
        lon_deg=wrap_180_deg(track.lon_deg - track.lon_deg[120] + 180.0),
        gnss_ft=track.gnss_ft,
        pressure_ft=track.pressure_ft,
        channels={},
    )
    assert (np.abs(np.diff(across.lon_deg)) > 300.0).any()
    np.testing.assert_allclose(motion(across).ground_kt, motion(track).ground_kt, rtol=1e-6)


def parked(count: int, noise_m: float = 0.0) -> Track:
    noise = np.random.default_rng(3).normal(0.0, noise_m / 111_000.0, (2, count))
    return Track(
        time_s=START_S + np.arange(float(count)),
        lat_deg=41.0 + noise[0],
        lon_deg=-131.0 + noise[1],
        gnss_ft=np.full(count, 400.0),
        pressure_ft=np.full(count, np.nan),
        channels={},
    )


def test_a_parked_aircraft_has_no_direction() -> None:
    still, noisy = motion(parked(100)), motion(parked(100, noise_m=2.0))
    assert (still.ground_kt == 0.0).all()
    assert np.isnan(still.track_true_deg).all()
    assert np.median(noisy.ground_kt) < 1.5
    assert np.isnan(noisy.track_true_deg).mean() > 0.6


def test_the_height_used_is_named() -> None:
    assert motion(Flown(1.0, 60.0).track()).height_kind == "pressure"
    assert motion(parked(60)).height_kind == "gnss"


@pytest.mark.parametrize("count", [0, 1, 2, 3, 4])
def test_a_few_samples_are_no_error(count: int) -> None:
    found = motion(parked(count))
    assert all(getattr(found, name).shape == (count,) for name in COLUMNS)
    assert np.isfinite(found.ground_kt).all() == (count in (0, 3, 4))


def test_a_track_without_heights_has_no_climb() -> None:
    track = parked(60)
    blind = Track(
        time_s=track.time_s,
        lat_deg=track.lat_deg,
        lon_deg=track.lon_deg,
        gnss_ft=np.full(60, np.nan),
        pressure_ft=np.full(60, np.nan),
        channels={},
    )
    found = motion(blind)
    assert found.height_kind == "none"
    assert np.isnan(found.climb_fpm).all()


def test_a_window_of_no_length_is_refused() -> None:
    with pytest.raises(RangeError, match="height_half_s is 0 s; expected more than 0 s"):
        motion(parked(9), height_half_s=0.0)
