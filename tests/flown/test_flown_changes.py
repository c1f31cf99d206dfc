"""What was set in flight is told from the channels that show it, with its moment."""

import numpy as np
import pytest

from lubberline.arrays import FloatArray
from lubberline.flown.changes import changes
from lubberline.recording import Track

START_S = 1_780_000_000.0
T_S = np.arange(0.0, 600.0, 0.2)  # 5 Hz


def told(name: str, column: FloatArray, time_s: FloatArray = T_S) -> list[tuple[float, str]]:
    nothing = np.full(time_s.shape, np.nan)
    track = Track(
        time_s=START_S + time_s, lat_deg=nothing, lon_deg=nothing, gnss_ft=nothing,
        pressure_ft=nothing, channels={name: column},
    )  # fmt: skip
    return [(one.time_s - START_S, one.what) for one in changes(track)]


def step(at_s: float, before: float, after: float) -> FloatArray:
    return np.where(at_s > T_S, before, after)


@pytest.mark.parametrize(
    ("name", "before", "after", "what"),
    [
        ("gear_fraction", 0.0, 1.0, "gear down"),
        ("flaps_deg", 10.0, 25.0, "flaps 10° to 25°"),
        ("boost_pump_fraction", 1.0, 0.0, "pump off"),
        ("tank_index", 1.0, 2.0, "tank 1 to 2"),
        ("altimeter_inhg", 29.92, 30.02, "altimeter 29.92 inHg to 30.02 inHg"),
        ("com1_mhz", 119.55, 118.6, "com1 119.550 to 118.600"),
        ("manifold_inhg", 26.0, 23.0, "manifold pressure 26 inHg to 23 inHg"),
        ("engine_rpm", 2650.0, 2400.0, "engine speed 2,650 rpm to 2,400 rpm"),
    ],
)
def test_each_kind_is_told_with_its_moment(
    name: str, before: float, after: float, what: str
) -> None:
    ((at_s, words),) = told(name, step(200.0, before, after))
    assert at_s == pytest.approx(200.0, abs=3.0)
    assert words == what


def test_what_moves_slowly_is_one_change_from_when_it_began() -> None:
    moving = np.clip((T_S - 100.0) / 12.0, 0.0, 1.0) * 40.0
    ((at_s, words),) = told("flaps_deg", moving)
    assert at_s == pytest.approx(101.0, abs=3.0)
    assert words == "flaps 0° to 40°"


def test_noise_a_wrong_sample_and_a_passing_value_are_no_change() -> None:
    rng = np.random.default_rng(1)
    rpm = 2400.0 + rng.normal(0.0, 15.0, T_S.size)
    rpm[1000:1003] = 0.0
    rpm[2000:2010] += 400.0  # two seconds
    assert told("engine_rpm", rpm) == []


def test_what_never_rests_is_not_set_by_hand() -> None:
    swinging = 25.0 + 5.0 * np.sign(np.sin(T_S / 5.0))
    assert told("manifold_inhg", swinging) == []


def test_other_channels_and_slow_recorders_are_read_alike() -> None:
    assert told("oil_pressure_psi", step(200.0, 60.0, 90.0)) == []
    slow_s = np.arange(0.0, 600.0, 5.0)
    ((at_s, _),) = told("flaps_deg", np.where(slow_s < 200.0, 0.0, 10.0), slow_s)
    assert at_s == pytest.approx(200.0, abs=5.0)
