"""The legs of a traffic pattern flown to a runway: upwind, crosswind, downwind, base, final.

Told by direction over the ground against the runway, counted back from the final over all turns:
a leg begins where the turn onto it begins. All are near the runway and not far above the pattern;
downwind lies beside it. Crosswind and upwind are named only where the whole round was flown, from
a take-off, a touch or a go-around on the same line. All else keeps the name that it had.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.flown.arrival import off_line
from lubberline.flown.circuit import WIDE_NM
from lubberline.flown.even import EvenTrack
from lubberline.flown.model import PATTERN_LEGS, PHASE_NAMES
from lubberline.flown.strip import Strip
from lubberline.units import FT_PER_NM

FINAL, BASE, DOWNWIND, CROSSWIND, UPWIND = range(5)  # quarters of a turn before the runway
ABOVE_FT: Final = 500.0  # own: so far over its height nobody flies in a pattern
NEAR_NM: Final = 5.0  # own: no pattern is flown farther away
LEG_S: Final = 8.0  # own: a shorter leg was none
HALF_DEG: Final = 45.0  # half way to the next leg's direction
SQUARE_DEG: Final = 30.0  # a base that was joined is as square to the runway as this
BEGUN_FRACTION: Final = 0.25  # own: of its greatest rate, a turn has begun
TURN_S: Final = 45.0


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Round:
    """Steps ``since`` to ``at``: towards a runway from whatever came before.

    ``from_runway`` says that this was a take-off, a touch or a go-around on the same line.
    """

    since: int
    at: int
    strip: Strip
    pattern_ft: float
    from_runway: bool


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Path:
    """Columns of a round: direction off the runway's, running on over 360, and place."""

    off_deg: FloatArray
    along_ft: FloatArray
    right_ft: FloatArray
    steps: int
    first: int


def name_legs(
    code: IntArray, side: IntArray, even: EvenTrack, smooth_ft: FloatArray, flown: Round
) -> None:
    """Write the legs over a part of the codes; ``side`` is -1 left, 1 right, 0 none."""
    path = _path(even, smooth_ft, flown)
    if path is None:
        return
    turns = _turns(path, even)
    begins = _begins(path, turns, whole=flown.from_runway)
    hand = -int(np.sign(path.off_deg[max(turns[FINAL] - 1, 0)])) if turns else 0
    end = flown.at - flown.since
    for leg in sorted(begins):
        begin = begins[leg]
        steps = slice(flown.since + begin, flown.since + end)
        code[steps] = PHASE_NAMES.index(PATTERN_LEGS[UPWIND - leg])
        side[steps] = hand if leg in (BASE, DOWNWIND, CROSSWIND) else 0
        end = begin


def _path(even: EvenTrack, smooth_ft: FloatArray, flown: Round) -> _Path | None:
    part = slice(flown.since, flown.at)
    track_deg = even.turning_true_deg[part]
    if track_deg.size < even.steps(LEG_S) or not np.isfinite(track_deg[-1]):
        return None
    fits = smooth_ft[part] - smooth_ft[flown.at] <= flown.pattern_ft + ABOVE_FT
    fits &= np.isfinite(track_deg) & (even.segment_index[part] == even.segment_index[flown.at])
    low = slice(_after_last(~fits), None)  # most of a flight is cruise: no need to ask where
    along_ft, right_ft = np.full((2, fits.size), np.nan)
    along_ft[low], right_ft[low] = flown.strip.along_right_ft(
        even.lat_deg[part][low], even.lon_deg[part][low]
    )
    fits &= np.hypot(along_ft, right_ft) <= NEAR_NM * FT_PER_NM
    off_deg = np.full(track_deg.shape, np.nan)
    known = np.isfinite(track_deg)
    off_deg[known] = np.unwrap(track_deg[known] - flown.strip.true_deg, period=360.0)
    off_deg -= 360.0 * np.round(off_deg[-1] / 360.0)
    return _Path(
        off_deg=off_deg,
        along_ft=along_ft,
        right_ft=right_ft,
        steps=even.steps(LEG_S),
        first=_after_last(~fits),
    )


def _after_last(mask: BoolArray) -> int:
    """The row after the last that is True."""
    rows = np.flatnonzero(mask)
    return int(rows[-1]) + 1 if rows.size else 0


def _turns(path: _Path, even: EvenTrack) -> dict[int, int]:
    """Where the turn onto each leg began, from the final back as far as all go one way."""
    found: dict[int, int] = {}
    end = path.off_deg.size
    rate_degps = np.abs(np.gradient(path.off_deg, even.step_s)) if end > 1 else np.zeros(end)
    sign = 0.0
    for leg in (FINAL, BASE, DOWNWIND, CROSSWIND):
        off_deg = path.off_deg[path.first : end]
        away = np.flatnonzero(np.abs(off_deg) >= 90.0 * leg + HALF_DEG)
        if not away.size:
            break
        crossed = path.first + int(away[-1])
        between = path.off_deg[crossed:end]
        sign = sign or float(np.sign(between[0]))
        if leg and (sign * between < HALF_DEG).any():
            break
        found[leg] = _onset(path, rate_degps, crossed, leg, even.steps(TURN_S))
        end = crossed
    return found


def _onset(path: _Path, rate_degps: FloatArray, crossed: int, leg: int, most: int) -> int:
    """The step at which a turn began that is under way at another."""
    off_deg = np.abs(path.off_deg)
    around = slice(max(crossed - 5, path.first), crossed + 6)
    least_degps = BEGUN_FRACTION * float(np.max(rate_degps[around]))
    begin = crossed
    while (
        begin > max(path.first, crossed - most)
        and rate_degps[begin - 1] >= least_degps
        and off_deg[begin - 1] <= 90.0 * (leg + 1)
    ):
        begin -= 1
    return begin


def _begins(path: _Path, turns: dict[int, int], *, whole: bool) -> dict[int, int]:
    """Where each leg begins that may be named."""
    last = max(turns, default=-1) + 1  # the leg that was flown when the round began
    begins = dict(turns)
    if last == UPWIND and whole and path.first == 0:
        return {**begins, UPWIND: 0}
    begins.pop(CROSSWIND, None)
    until = turns.get(last - 1, path.off_deg.size)
    if last == FINAL:
        begins[FINAL] = _on_line(path)
    elif last == BASE:
        begin = _square(path, until)
        if until - begin >= path.steps:
            begins[BASE] = begin
    elif last >= DOWNWIND:
        until = turns[BASE]
        begin = _beside(path, max(path.first, turns.get(DOWNWIND, 0)), until)
        begins.pop(DOWNWIND, None)
        if until - begin >= path.steps:
            begins[DOWNWIND] = begin
    return begins


def _on_line(path: _Path) -> int:
    """From where a straight final was last off the line."""
    off = off_line(path.along_ft, path.right_ft, path.off_deg)
    off[: path.first] = True
    return _after_last(off)


def _square(path: _Path, until: int) -> int:
    """From where, up to the turn onto final, a base that was joined is square to the runway."""
    part = slice(path.first, until)
    fits = np.abs(path.right_ft[part]) <= WIDE_NM[1] * FT_PER_NM
    fits &= np.abs(np.abs(path.off_deg[part]) - 90.0) <= SQUARE_DEG
    return path.first + _after_last(~fits)


def _beside(path: _Path, begin: int, until: int) -> int:
    """From where, up to the turn onto base, a downwind lies beside the runway."""
    part = slice(begin, until)
    wide_nm = np.abs(path.right_ft[part]) / FT_PER_NM
    fits = (wide_nm >= WIDE_NM[0]) & (wide_nm <= WIDE_NM[1])
    fits &= np.abs(np.abs(path.off_deg[part]) - 180.0) <= HALF_DEG
    return begin + _after_last(~fits)
