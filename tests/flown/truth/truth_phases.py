"""The phases of a simulated flight, from what the hands were about to do and where the wheels were.

The legs are the hands' own: one begins where they begin to turn onto it. What the docs define by a
number (50 ft, 15 kt, 300 ft of the runway, the pattern's height) is taken from the truth itself.
"""

import numpy as np
from truth_airplane import ELEV_FT, LEGS, along_across_ft
from truth_make import CRUISE_FT, Truth

from lubberline.arrays import FloatArray

FT_PER_NM = 6076.115
HALF_RUNWAY_FT = 65.0
GROUND = ("parked", "taxi", "run-up", "line-up")


def true_phases(truth: Truth) -> list[str]:
    """The phase of every row."""
    columns = truth.columns
    names = [LEGS[int(leg)] for leg in columns["leg_index"]]
    place_ft = np.array([
        along_across_ft(*one) for one in zip(columns["lat_deg"], columns["lon_deg"], strict=True)
    ])  # fmt: skip
    velocity = np.gradient(place_ft, columns["time_s"], axis=0) / 1.68781
    ground_kt = np.hypot(*velocity.T)
    _cruise(names, columns, place_ft)
    _movements(names, truth, ground_kt)
    _ground(names, truth, place_ft, velocity)
    return names


def _cruise(names: list[str], columns: dict[str, FloatArray], place_ft: FloatArray) -> None:
    """Climb until within 60 ft of the level; downwind when low and near, beside the runway."""
    level = np.flatnonzero(np.abs(columns["wheel_ft"] + ELEV_FT - CRUISE_FT) <= 60.0)
    away_nm = np.hypot(*place_ft.T) / FT_PER_NM
    near = (columns["wheel_ft"] <= 1_500.0) & (away_nm <= 5.0)
    for k, name in enumerate(names):
        if name in ("climb", "cruise", "descent") and level.size:
            names[k] = "climb" if k < level[0] else "cruise" if k <= level[-1] else "descent"
            if k > level[-1] and near[k]:
                names[k] = "downwind"


def _movements(names: list[str], truth: Truth, ground_kt: FloatArray) -> None:
    """Landing from 50 ft to 15 kt, take-off from 15 kt (or the touch) to 50 ft."""
    time_s, wheel_ft = truth.columns["time_s"], truth.columns["wheel_ft"]
    for one in truth.events:
        at = int(np.searchsorted(time_s, one.time_s))
        slow = np.flatnonzero(ground_kt < 15.0)
        if one.kind == "touch":
            high = np.flatnonzero(wheel_ft[:at] >= 50.0)
            after = slow[slow > at]
            up = np.flatnonzero((wheel_ft >= 50.0) & (np.arange(time_s.size) > at))
            end = int(after[0]) if after.size else len(names)
            if up.size and up[0] < end:  # it never slowed: the wheels only touched
                names[at : int(up[0])] = ["take-off"] * (int(up[0]) - at)
                end = at
            names[int(high[-1]) : end] = ["landing"] * (end - int(high[-1]))
            while end < len(names) and names[end] == "landing":  # the hands still brake
                names[end] = "taxi"
                end += 1
        elif one.kind == "leave":
            above = at + int(np.flatnonzero(wheel_ft[at:] >= 50.0)[0])
            before = slow[slow < at]
            roll = int(before[-1]) + 1
            if not any(roll < np.searchsorted(time_s, e.time_s) < at for e in truth.of("touch")):
                names[roll:above] = ["take-off"] * (above - roll)
                for k in range(
                    roll - 1, -1, -1
                ):  # the hands have set power, the roll has not begun
                    if names[k] != "take-off":
                        break
                    names[k] = "taxi"


def _ground(names: list[str], truth: Truth, place_ft: FloatArray, velocity: FloatArray) -> None:
    """Parked or taxi; lined up on the runway for 300 ft before a roll; taxi-in after a landing."""
    ground_kt = np.hypot(*velocity.T)
    for k, name in enumerate(names):
        if name in ("parked", "taxi"):
            names[k] = "parked" if ground_kt[k] < 2.0 else "taxi"
    for roll in [k for k in range(1, len(names)) if names[k] == "take-off" != names[k - 1]]:
        for k in range(roll - 1, -1, -1):
            back = velocity[k, 0] < -0.2 * ground_kt[k] and ground_kt[k] > 3.0
            near = place_ft[k, 0] >= place_ft[roll, 0] - 300.0
            if names[k] not in GROUND or back or not near or abs(place_ft[k, 1]) > HALF_RUNWAY_FT:
                break
            if names[k] != "run-up":
                names[k] = "line-up"
    last = max(k for k, name in enumerate(names) if name == "landing")
    for k in range(last, len(names)):
        names[k] = "taxi-in" if names[k] == "taxi" else names[k]


def named_at(phases: tuple, time_s: FloatArray) -> list[str]:  # type: ignore[type-arg]
    """The phase that was found at every moment."""
    starts_s = np.array([one.start_s for one in phases])
    return [phases[max(k, 0)].name for k in np.searchsorted(starts_s, time_s, side="right") - 1]


def changes(names: list[str], time_s: FloatArray) -> list[tuple[str, float]]:
    """Each phase with when it began."""
    return [
        (name, float(time_s[k])) for k, name in enumerate(names) if k == 0 or names[k - 1] != name
    ]
