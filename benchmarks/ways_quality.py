"""How much slower the found ways are than those of a far finer search, over generated skies.

Run as a program: it prints one row per kind of sky, with times. The finer search has closer
outlines, free places everywhere, every top and short cells; it takes minutes.
"""

import sys
import time
from math import pi
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "ways"))

from random_skies import random_sky

from lubberline.ways.search.best import best_way
from lubberline.ways.search.corners import Fineness
from lubberline.ways.search.places import USUAL, Effort
from lubberline.ways.search.scene import prepare

NOBODY: frozenset[str] = frozenset()
FINER = Effort(
    coarse=Fineness(round_count=40, step_rad=pi / 8.0),
    fine=Fineness(round_count=144, step_rad=pi / 24.0),
    tops_count=60,
    step_nm=0.2,
    cell_count=2_000,
    free_count=150,
)


def measured(count: int, skies: range, *, uneven: bool = False) -> None:
    """Print gaps to the finer search and times of so many volumes."""
    gaps, times_s, lost = [], [], 0
    for seed in skies:
        problem = random_sky(seed, count=count, uneven=uneven)
        start_s = time.process_time()
        way = best_way(prepare(problem), NOBODY, USUAL)
        times_s.append(time.process_time() - start_s)
        finer = best_way(prepare(problem), NOBODY, FINER)
        if finer is None:
            continue
        if way is None:
            lost += 1
            print(f"  lost {seed}")
            continue
        best_min = min(way.time_min, finer.time_min)
        gaps.append((way.time_min / best_min - 1.0) * 100.0)
        if gaps[-1] > 1.0:
            print(f"  sky {seed}: {way.time_min:.2f} min against {finer.time_min:.2f}")
    shown = np.percentile(gaps, [50, 90, 100]) if gaps else [np.nan] * 3
    spent = np.percentile(times_s, [50, 95]) * 1e3
    print(
        f"{count:4} volumes{' uneven' if uneven else '':7} {len(gaps):3} skies, {lost} lost:"
        f" gap median {shown[0]:.2f} %, 9 in 10 {shown[1]:.2f} %, most {shown[2]:.2f} %;"
        f" time median {spent[0]:.0f} ms, 95 % {spent[1]:.0f} ms",
        flush=True,
    )


if __name__ == "__main__":
    best_way(prepare(random_sky(0)), NOBODY)
    best_way(prepare(random_sky(0, uneven=True)), NOBODY)
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 30
    measured(10, range(many))
    measured(10, range(many), uneven=True)
    measured(50, range(many))
    measured(200, range(many // 3))
    measured(500, range(many // 6))
