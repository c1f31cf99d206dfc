"""How sure the beginnings of phases are: one sigma, held to simulated flights in the tests.

A roll has a plain beginning, a climb that eases into a cruise has none: what each kind of boundary
leaves open is a choice of ours, widened by what the heights scatter where a height decides.
"""

from dataclasses import replace
from itertools import pairwise
from typing import Final

import numpy as np

from lubberline.flown.even import EvenTrack
from lubberline.flown.model import ON_GROUND, PATTERN_LEGS, Phase

GROUND_S: Final = 2.5  # own: from a creep to a roll
ROLL_S: Final = 1.5
SCREEN_S: Final = 1.0
TOUCH_S: Final = 2.0  # own: a touch of the wheels, in heights that scatter
CLIMB_FPS: Final = 8.0  # own: about the sink and the climb at 50 ft
TURN_S: Final = 2.5  # own: a turn is rolled into
LEVEL_S: Final = 12.0  # own: leveling off
BROKEN_OFF_S: Final = 2.5
HOLD_S: Final = 8.0


def with_doubt(found: list[Phase], even: EvenTrack) -> tuple[Phase, ...]:
    """The phases, each with the doubt of its beginning; that of the recording has none."""
    by_pressure = even.by_pressure
    noise_ft = even.sensors.pressure_noise_ft if by_pressure else 3.0 * even.sensors.gnss_noise_ft
    height_s = float(np.hypot(SCREEN_S, 0.0 if np.isnan(noise_ft) else noise_ft / CLIMB_FPS))
    step_s = even.step_s / float(np.sqrt(12.0))
    doubted = [
        replace(after, start_sigma_s=float(np.hypot(_sigma_s(before, after, height_s), step_s)))
        for before, after in pairwise(found)
    ]
    return (*found[:1], *doubted)


def _sigma_s(before: Phase, after: Phase, height_s: float) -> float:
    names = {before.name, after.name}
    if "gap" in names:
        return 0.0
    if names <= set(ON_GROUND):
        return GROUND_S
    if names & set(ON_GROUND):
        return ROLL_S
    if names == {"take-off", "landing"}:
        return float(np.hypot(height_s, TOUCH_S))
    if names & {"take-off", "landing"}:
        return height_s
    if "go-around" in names:
        return BROKEN_OFF_S
    if "holding" in names:
        return HOLD_S
    both_legs = names <= set(PATTERN_LEGS)
    return TURN_S if both_legs else LEVEL_S
