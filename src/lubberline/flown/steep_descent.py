"""Emergency descents as they are practised: from level flight steeply down in a bank, and level.

All thresholds are our own. A descent that is shallower, straight, or does not end level is none;
one that goes round several times without gaining speed is a steep spiral.
"""

from typing import Final

import numpy as np

from lubberline.flown.airwork import Airwork, turned_deg
from lubberline.flown.even import runs
from lubberline.units import FT_PER_NM, MIN_PER_H

SINK_FPM: Final = 1_000.0
STEEP_FRACTION: Final = 0.10  # of the way through the air: about 6 degrees
LASTS_S: Final = 20.0
LOST_FT: Final = 800.0
BANK_DEG: Final = 25.0
TURNED_DEG: Final = 60.0
SPIRAL_DEG: Final = 900.0  # two turns and a half
FASTER_KT: Final = 15.0
LEVEL_FPM: Final = 500.0
BESIDE_S: Final = 30.0


def emergency_descents(work: Airwork) -> list[tuple[int, int]]:
    """First and one past the last step of each."""
    way_fpm = work.air_kt * FT_PER_NM / MIN_PER_H
    steep = (work.climb_fpm <= -SINK_FPM) & (-work.climb_fpm >= STEEP_FRACTION * way_fpm)
    found = [_whole(work, *run) for run in runs(steep, work.segment_index)]
    return [run for run in found if _is_one(work, *run)]


def _whole(work: Airwork, start: int, stop: int) -> tuple[int, int]:
    """From where the descent began to where it had ended."""
    segment = work.segment_index
    while start > 0 and segment[start - 1] == segment[start] and work.climb_fpm[start] < -LEVEL_FPM:
        start -= 1
    while (
        stop < len(work)
        and segment[stop] == segment[stop - 1]
        and work.climb_fpm[stop] < -LEVEL_FPM
    ):
        stop += 1
    return start, stop


def _is_one(work: Airwork, start: int, stop: int) -> bool:
    lost_ft = float(work.height_ft[start] - work.height_ft[stop - 1])
    if stop - start < work.steps(LASTS_S) or not lost_ft >= LOST_FT:
        return False
    bank_deg = np.abs(work.bank_deg[start:stop])
    turned = abs(turned_deg(work, start, stop))
    around = (
        slice(max(0, start - work.steps(BESIDE_S)), start),
        slice(stop, stop + work.steps(BESIDE_S)),
    )
    level = all(
        (np.abs(work.climb_fpm[part]) <= LEVEL_FPM).any() and part.stop <= len(work)
        for part in around
    )
    banked = float(np.nanpercentile(bank_deg, 70)) >= BANK_DEG if bank_deg.size else False
    faster = work.ias_kt[start:stop].max() - work.ias_kt[start] >= FASTER_KT
    return level and banked and turned >= TURNED_DEG and (turned < SPIRAL_DEG or bool(faster))
