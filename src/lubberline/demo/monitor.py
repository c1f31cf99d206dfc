"""What an engine monitor keeps of an invented flight: its own file, by its own clock, no position.

Power follows the flight: a run-up at the hold, full power to the top of the climb, the cruise
setting, two inches a minute off on the way down. Temperatures follow power with a delay. All of it
is invented, as the airplane is.
"""

from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.demo.recorders import SAID, ground_kt
from lubberline.demo.truth import Truth
from lubberline.units import S_PER_MIN

CLOCK_FAST_S: Final = 37.0  # nobody sets a monitor's clock
EVERY_COUNT: Final = 2  # of the seconds, one is kept
CLIMBING_FPM: Final = 200.0
IDLE, FULL, CRUISE, DESCENT, APPROACH = range(5)
# rpm, inHg at sea level, gph rich, cylinder head and exhaust gas in degrees Celsius
POWER: Final = np.array(
    [
        (950.0, 11.5, 2.4, 110.0, 480.0),
        (2640.0, 28.5, 17.0, 208.0, 690.0),
        (2350.0, 23.0, 12.6, 184.0, 745.0),
        (2350.0, 19.0, 9.6, 160.0, 715.0),
        (2350.0, 15.5, 7.6, 145.0, 690.0),
    ]
)
RUN_UP_RPM, RUN_UP_S, BEFORE_S = 1_750.0, 45.0, 150.0
LEANED_GPH, LEANED_AFTER_S = 10.2, 180.0
OFF_INHG_PER_MIN: Final = 1.6  # power is taken off no faster
HEATS_S: Final = 140.0  # how slowly a cylinder follows
OIL_HEATS_S: Final = 420.0
HEADER: Final = (
    "Time (UTC),Ground Speed (kt),RPM,MAP (inHg),Fuel Flow (gph),"
    "CHT 1 (F),CHT 2 (F),CHT 3 (F),CHT 4 (F),EGT 1 (F),EGT 2 (F),EGT 3 (F),EGT 4 (F),"
    "Oil Temp (F),Oil Press (psi)"
)


def write_monitor(truth: Truth, path: Path, *, off_block_utc: datetime, seed: int) -> None:
    """The monitor's CSV, every other second."""
    random = np.random.default_rng(seed)
    columns = _columns(truth, random)
    rows = [f"# {SAID}", HEADER]
    for k in range(0, truth.time_s.size, EVERY_COUNT):
        moment = off_block_utc + timedelta(seconds=float(truth.time_s[k]) + CLOCK_FAST_S)
        values = ",".join(f"{column[k]:.{digits}f}" for column, digits in columns)
        rows.append(f"{moment:%Y-%m-%dT%H:%M:%SZ},{values}")
    path.write_text("\n".join(rows) + "\n", encoding="utf-8", newline="")


def _columns(truth: Truth, random: np.random.Generator) -> list[tuple[FloatArray, int]]:
    count = truth.time_s.size
    phase = _phase(truth)
    rpm, manifold_inhg, flow_gph, head_degc, gas_degc = POWER[phase].T.copy()
    run_up = np.abs(truth.time_s - (truth.liftoff_s - BEFORE_S)) <= RUN_UP_S / 2.0
    rpm[run_up], flow_gph[run_up] = RUN_UP_RPM, 5.0
    manifold_inhg = _taken_off(manifold_inhg - np.where(phase == FULL, truth.msl_ft / 1_000.0, 0.0))
    cruising = np.flatnonzero(phase == CRUISE)
    lean = np.zeros(count, dtype=bool)
    lean[cruising[truth.time_s[cruising] > truth.time_s[cruising[0]] + LEANED_AFTER_S]] = True
    flow_gph = np.where(lean, LEANED_GPH, flow_gph)
    cylinders = [_follows(head_degc + off, HEATS_S, 55.0) for off in (-4.0, 0.0, 7.0, -2.0)]
    gases = [_follows(gas_degc + off, 4.0, 60.0) for off in (-8.0, 3.0, 10.0, 0.0)]
    oil_degc = _follows(np.where(phase == IDLE, 62.0, 88.0), OIL_HEATS_S, 35.0)
    oil_psi = np.where(phase == IDLE, 42.0, 68.0) - (oil_degc - 60.0) * 0.15
    noisy = [
        (rpm, 6.0, 0),
        (manifold_inhg, 0.08, 1),
        (_follows(flow_gph, 3.0, 2.4), 0.08, 1),
        *((_fahrenheit(one), 0.6, 0) for one in (*cylinders, *gases, oil_degc)),
        (oil_psi, 0.5, 0),
    ]
    speed = [(ground_kt(truth) + random.normal(0.0, 0.4, count), 1)]
    return speed + [(one + random.normal(0.0, size, count), digits) for one, size, digits in noisy]


def _phase(truth: Truth) -> np.ndarray:
    """Which setting of power each second has."""
    climb_fpm = np.convolve(np.gradient(truth.msl_ft) * S_PER_MIN, np.full(31, 1.0 / 31.0), "same")
    aloft = (truth.time_s >= truth.liftoff_s - 18.0) & (truth.time_s <= truth.touchdown_s)
    level = np.flatnonzero(aloft & (np.abs(climb_fpm) < CLIMBING_FPM))
    level = level[truth.msl_ft[level] > truth.msl_ft.max() - 400.0]
    top_s, down_s = truth.time_s[level[0]], truth.time_s[level[-1]]
    phase = np.where(aloft & (truth.time_s < top_s), FULL, np.where(aloft, CRUISE, IDLE))
    phase = np.where(aloft & (truth.time_s > down_s), DESCENT, phase)
    low = truth.msl_ft < truth.msl_ft[-1] + 1_300.0
    return np.where((phase == DESCENT) & low, APPROACH, phase)


def _taken_off(wanted_inhg: FloatArray) -> FloatArray:
    """Power goes up at once in climb, and down at a rate once the throttle is drawn in the air."""
    step_inhg = OFF_INHG_PER_MIN / S_PER_MIN
    held = wanted_inhg.copy()
    for k in range(1, held.size):
        if wanted_inhg[k] > 14.0:  # on the ground the throttle is closed at once
            held[k] = max(wanted_inhg[k], held[k - 1] - step_inhg)
    return held


def _follows(values: FloatArray, delay_s: float, level: float) -> FloatArray:
    """First order from a level at the start, one row a second."""
    found = np.empty_like(values)
    for k, value in enumerate(values):
        level += (value - level) / delay_s
        found[k] = level
    return found


def _fahrenheit(column: FloatArray) -> FloatArray:
    return column * 1.8 + 32.0
