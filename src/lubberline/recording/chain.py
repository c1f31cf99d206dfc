"""The longest chain of stretches that can be travelled one after the other.

Where a step is too far for its time, the samples fall apart into stretches. A chain may skip
stretches, which are then off; it may also hold a step that cannot be travelled, at the price of
as many samples as would have to be given up. So a few teleported samples go, and two long
stretches with an unexplained jump between them stay, with the jump told.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray

SILENCE_S: Final = 60.0  # own: over more than this anything that flies could have come there
FASTEST_MPS: Final = 450.0  # own: 875 kt over the ground; airliners in a jet stream stay under 700
MOST_STRETCHES: Final = 4_000  # own: more jumps than this are not a track


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How far one comes in a time, and how many samples an impossible step must be worth."""

    speed_mps: float
    slack_m: float
    price_count: int

    def farthest_m(self, gap_s: FloatArray) -> FloatArray:
        """The greatest distance that can lie between two samples this far apart in time."""
        speed_mps = np.where(gap_s > SILENCE_S, FASTEST_MPS, self.speed_mps)
        return np.asarray(speed_mps * gap_s + self.slack_m)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Jumps:
    """Which samples, shape (n,), are off the path, and which come after an unexplained jump."""

    off: BoolArray
    after_jump: BoolArray


def follow(time_s: FloatArray, place_m: FloatArray, reach: Reach) -> Jumps:
    """The samples that are not on the best chain, and the impossible steps that it holds.

    ``place_m`` has shape (k, n); everything is off where the stretches are too many to be one
    movement.
    """
    off = np.zeros(time_s.shape, dtype=bool)
    after_jump = np.zeros(time_s.shape, dtype=bool)
    if time_s.size < 2:
        return Jumps(off=off, after_jump=after_jump)
    step_m = np.linalg.norm(np.diff(place_m), axis=0)
    cuts = np.flatnonzero(step_m > reach.farthest_m(np.diff(time_s))) + 1
    starts = np.concatenate([[0], cuts]).astype(np.int64)
    ends = np.concatenate([cuts, [time_s.size]]).astype(np.int64) - 1
    if starts.size > MOST_STRETCHES:
        return Jumps(off=~off, after_jump=after_jump)
    kept, jumped = _best_chain(time_s, place_m, starts, ends, reach)
    off[:] = True
    for one in kept:
        off[starts[one] : ends[one] + 1] = False
    after_jump[starts[jumped]] = True
    return Jumps(off=off, after_jump=after_jump)


def _best_chain(
    time_s: FloatArray, place_m: FloatArray, starts: IntArray, ends: IntArray, reach: Reach
) -> tuple[list[int], list[int]]:
    """The stretches of the chain that keeps most, in order, and those entered by a jump."""
    best = (ends - starts + 1).astype(np.float64)
    before = np.full(starts.size, -1, dtype=np.int64)
    jumps = np.zeros(starts.size, dtype=bool)
    for one in range(1, starts.size):
        gap_s = time_s[starts[one]] - time_s[ends[:one]]
        gap_m = np.linalg.norm(place_m[:, [starts[one]]] - place_m[:, ends[:one]], axis=0)
        impossible = gap_m > reach.farthest_m(gap_s)
        total = best[:one] - impossible * reach.price_count
        chosen = int(np.argmax(total))
        if total[chosen] > 0.0:
            best[one] += total[chosen]
            before[one], jumps[one] = chosen, impossible[chosen]
    chain = [int(np.argmax(best))]
    while before[chain[-1]] >= 0:
        chain.append(int(before[chain[-1]]))
    return chain[::-1], [one for one in chain if jumps[one]]
