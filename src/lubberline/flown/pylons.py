"""Eights on pylons: turns one way and the other, each with one point of the ground abeam.

At the pivotal altitude, the square of the ground speed in knots over 11.3 in feet [AFH]_ (from
memory), the wing tip stays on the point by itself. A point is the least-squares crossing of the
lines abeam; that every step of a turn has it abeam, near that height, is asked of both turns.
"""

from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.flown.airwork import Airwork, turned_deg
from lubberline.units import S_PER_H

PIVOTAL_DIVISOR: Final = 11.3
NEAR_FT: Final = 300.0  # own: off the pivotal altitude on average, for a pylon turn
ROUND_DEG: Final = (200.0, 345.0)  # own: half a circle is an S-turn, a whole one another maneuver
BETWEEN_S: Final = 45.0  # own: straight and level between the pylons
ABEAM_DEG: Final = 12.0  # own: root mean square off the wing tip
AWAY_NM: Final = (0.08, 1.2)


def pylon_eights(work: Airwork, turns: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """First and one past the last step of each eight, or of several in a row."""
    found: list[tuple[int, int]] = []
    row: list[tuple[int, int]] = []
    for turn in [*(one for one in turns if _on_a_pylon(work, *one)), (len(work), len(work))]:
        if row and _goes_on(work, row[-1], turn):
            row.append(turn)
            continue
        if len(row) >= 2:
            found.append((row[0][0], row[-1][1]))
        row = [turn]
    return found


def pivotal_off_ft(work: Airwork, start: int, stop: int) -> FloatArray:
    """Height above the ground less the pivotal altitude, at each step."""
    part = slice(start, stop)
    ground_kt = np.hypot(
        *(
            np.gradient(one[part], work.time_s[part]) * S_PER_H
            for one in (work.east_nm, work.north_nm)
        )
    )
    return np.asarray(work.agl_ft[part] - ground_kt**2 / PIVOTAL_DIVISOR)


def _on_a_pylon(work: Airwork, start: int, stop: int) -> bool:
    """Whether a turn has one point abeam all the way, from about the height for it."""
    turned = turned_deg(work, start, stop)
    if not ROUND_DEG[0] <= abs(turned) <= ROUND_DEG[1]:
        return False
    off_ft = pivotal_off_ft(work, start, stop)
    if not abs(float(np.mean(off_ft))) <= NEAR_FT:  # an unknown height is not near, either
        return False
    trim = (stop - start) // 10
    part = slice(start + trim, stop - trim)
    heading_rad = np.radians(work.heading_deg[part])
    ahead = np.column_stack([np.sin(heading_rad), np.cos(heading_rad)])
    place_nm = np.column_stack([work.east_nm[part], work.north_nm[part]])
    middle_nm = place_nm.mean(axis=0)
    place_nm = place_nm - middle_nm
    pylon_nm = np.linalg.lstsq(ahead, (ahead * place_nm).sum(axis=1), rcond=None)[0]
    toward_nm = pylon_nm - place_nm
    away_nm = np.hypot(*toward_nm.T)
    right_nm = toward_nm[:, 0] * ahead[:, 1] - toward_nm[:, 1] * ahead[:, 0]
    abeam_deg = np.degrees(np.arcsin(np.clip((toward_nm * ahead).sum(axis=1) / away_nm, -1.0, 1.0)))
    inside = bool((right_nm * np.sign(turned) > 0.0).all())
    near = AWAY_NM[0] <= float(np.median(away_nm)) <= AWAY_NM[1]
    return inside and near and float(np.sqrt(np.mean(abeam_deg**2))) <= ABEAM_DEG


def _goes_on(work: Airwork, before: tuple[int, int], after: tuple[int, int]) -> bool:
    """Whether the next turn follows soon and goes the other way."""
    if after[0] >= len(work) or work.segment_index[before[0]] != work.segment_index[after[0]]:
        return False
    soon = work.time_s[after[0]] - work.time_s[before[1] - 1] <= BETWEEN_S
    return bool(soon) and turned_deg(work, *before) * turned_deg(work, *after) < 0.0
