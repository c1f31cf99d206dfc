"""Heights not above and not below on each stretch of a way, and what makes it so.

A stretch is as long as the same volume bounds it above, and the same volume or the ground below,
and its tightest bounds leave room for all its planned heights; over uneven ground it is as long as
the ground does not rise or fall much. Ground bounds level flight away
from the fields: on the way up and down one number would say nothing. All of it is read off
``bounds``; card, terminal, page and picture tell these stretches.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import inf
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.ways.along import Along, along_way
from lubberline.ways.bounds import GROUND, NOTHING, Bounds, bounds_along
from lubberline.ways.model import Way
from lubberline.ways.problem import WaysProblem
from lubberline.ways.samples import SAMPLE_NM
from lubberline.ways.tolerance import VERTICAL_TOLERANCE_FT
from lubberline.ways.wishes import WISH

SHORT_MIN: Final = 0.5  # own: shorter stretches join the one before
STEP_NM: Final = 5.0  # own: ground is looked at in pieces of this length,
STEP_FT: Final = 500.0  # own: and one number does for pieces that differ by no more


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A piece of a way with its bounds; None is open, or not known where ``why`` names a cause.

    ``from_where`` and ``to_where`` are the words for its ends; ``above_by`` and ``below_by`` name
    what bounds it, and ``above_why`` and ``below_why`` the edge of that too.
    """

    from_min: float
    to_min: float
    from_nm: float
    to_nm: float
    from_where: str
    to_where: str
    not_above_ft: float | None
    above_by: str
    above_why: str
    not_below_ft: float | None
    below_by: str
    below_why: str


def stretches(problem: WaysProblem, way: Way) -> tuple[Stretch, ...]:
    """All of a way in stretches, in order."""
    along = along_way(way, problem.terrain, every_nm=SAMPLE_NM)
    bounds = bounds_along(problem, along)
    below_ft, below_index = bounds.below_ft.copy(), bounds.below_index.copy()
    ground = _is_level(along) & (bounds.share_ratio >= 1.0)
    ground &= ~(bounds.ground_ft <= below_ft) & ~np.isnan(below_ft)
    below_ft[ground], below_index[ground] = bounds.ground_ft[ground], GROUND
    told = _Told(along=along, bounds=bounds, below_ft=below_ft, below_index=below_index)
    return tuple(told.stretch(rows) for rows in told.runs())


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Told:
    """The samples of a way with what bounds each."""

    along: Along
    bounds: Bounds
    below_ft: FloatArray
    below_index: IntArray

    def runs(self) -> list[slice]:
        """Samples with the same causes together, as long as one number does for all of them."""
        above, below = self.bounds.above_index, self.below_index
        changes = np.flatnonzero((np.diff(above) != 0) | (np.diff(below) != 0)) + 1
        edges = np.union1d(changes, np.array(self._ground_steps(), dtype=np.int64))
        starts, minutes = [0], self.along.after_min
        for start, stop in pairwise([*edges.tolist(), above.size]):
            short = minutes[min(stop, minutes.size - 1)] - minutes[start] < SHORT_MIN
            if not (short and self._kept_until(starts[-1], stop) == stop):
                starts.append(start)
        found: list[slice] = []
        for start, stop in zip(starts, [*starts[1:], above.size], strict=True):
            while start < stop:
                kept = self._kept_until(start, stop)
                found.append(slice(start, kept))
                start = kept
        return found

    def _ground_steps(self) -> list[int]:
        """Where ground that bounds has become much higher or lower than before."""
        grounded = np.flatnonzero((self.below_index == GROUND) & np.isfinite(self.below_ft))
        cells = (self.along.along_nm[grounded] / STEP_NM).astype(np.int64)
        _, first, number = np.unique(cells, return_index=True, return_inverse=True)
        highest_ft = np.full(first.size, -inf)
        np.maximum.at(highest_ft, number, self.below_ft[grounded])
        steps: list[int] = []
        low_ft = high_ft = float(highest_ft[0]) if first.size else 0.0
        for row, ft in zip(grounded[first].tolist(), highest_ft.tolist(), strict=True):
            low_ft, high_ft = min(low_ft, ft), max(high_ft, ft)
            if high_ft - low_ft > STEP_FT:
                steps.append(row)
                low_ft = high_ft = ft
        return steps

    def _kept_until(self, start: int, stop: int) -> int:
        """Up to where the planned heights keep the tightest bounds from the start on."""
        rows = slice(start, stop)
        above_ft, below_ft, msl_ft = self.bounds.above_ft, self.below_ft, self.along.msl_ft
        room_ft = np.fmin.accumulate(above_ft[rows]) + VERTICAL_TOLERANCE_FT
        least_ft = np.fmax.accumulate(below_ft[rows]) - VERTICAL_TOLERANCE_FT
        # A height that breaks its own bound is told as broken elsewhere.
        highest_ft = np.maximum.accumulate(np.fmin(msl_ft, above_ft)[rows])
        lowest_ft = np.minimum.accumulate(np.fmax(msl_ft, below_ft)[rows])
        broken = np.flatnonzero((highest_ft > room_ft) | (lowest_ft < least_ft))
        return start + int(broken[0]) if broken.size else stop

    def stretch(self, rows: slice) -> Stretch:
        """The tightest of each bound within a run, or the first that is not known."""
        along, bounds = self.along, self.bounds
        top = rows.start + int(np.argmin(bounds.above_ft[rows]))
        ends = (rows.start, min(rows.stop, along.after_min.size - 1))
        # Ground rises up to the very end, where the next stretch begins.
        onward = bool((self.below_index[rows.stop - 1 : ends[1] + 1] == GROUND).all())
        low = rows.start + int(np.argmax(self.below_ft[rows.start : rows.stop + onward]))
        (from_min, to_min), (from_nm, to_nm) = (
            [float(column[end]) for end in ends] for column in (along.after_min, along.along_nm)
        )
        above_by, above_edge = _cause(bounds, int(bounds.above_index[top]), top=False)
        below_by, below_edge = _cause(bounds, int(self.below_index[low]), top=True)
        return Stretch(
            from_min=from_min,
            to_min=to_min,
            from_nm=from_nm,
            to_nm=to_nm,
            from_where=along.words(from_min),
            to_where=along.words(to_min),
            not_above_ft=_finite(bounds.above_ft[top]),
            above_by=above_by,
            above_why=f"under {above_by}, {above_edge}" if above_edge else above_by,
            not_below_ft=_finite(self.below_ft[low]),
            below_by=below_by,
            below_why=f"over {below_by}, {below_edge}" if below_edge else below_by,
        )


def _is_level(along: Along) -> BoolArray:
    """Samples in level flight."""
    flat = np.abs(np.diff(along.msl_ft)) < 1.0
    return np.asarray(np.append(flat, False) | np.append(False, flat))


def _finite(ft: float) -> float | None:
    return float(ft) if np.isfinite(ft) else None


def _cause(bounds: Bounds, index: int, *, top: bool) -> tuple[str, str]:
    """What it is that bounds, and its floor or its top."""
    if index in (NOTHING, GROUND):
        return "ground" if index == GROUND else "", ""
    one = bounds.closed[index]
    if one.kind == WISH:
        return "your own wish", ""
    edge = one.ceiling if top else one.floor
    return f"{one.name} ({one.airspace_class})", f"{edge.ft:,.0f} {edge.reference}"
