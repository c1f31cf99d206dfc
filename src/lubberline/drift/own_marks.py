"""How a pilot's own marks stand beside the measured ones, phase by phase.

Marks are in the words of a verdict, from outside over close to inside. The bias of a phase is
how many steps the pilot marks it better than it was measured: above 0 is kinder, below 0 is
harsher. Chances are stated for a finding to come out inside.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import IntArray
from lubberline.drift.agreement import ChanceMarks, Kappa, chance_marks, kappa, marks_table
from lubberline.drift.trend import FEWEST_COUNT
from lubberline.errors import RangeError

MARK_STEPS: Final = ("outside", "close", "inside")


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnMarkRow:
    """One own mark: of what, in which word, what was measured, and the chance stated for inside.

    ``measured`` is None where nothing was measured that answers it.
    """

    phase: str
    mark: str | None
    measured: str | None
    chance_fraction: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseMarks:
    """The marks of one phase, or of all: how many, and how they stand beside the measured ones.

    ``bias_count`` is the mean of the own less the measured step, ``low`` to ``high`` its 95 %
    interval; None with fewer than five. ``agreement`` has quadratic weights; None where both
    always gave one word.
    """

    phase: str
    flight_count: int
    same_count: int
    bias_count: float | None
    low: float | None
    high: float | None
    agreement: Kappa | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MarksStanding:
    """All marks of a pilot: each phase and all together, chances, and what nothing answered."""

    phases: tuple[PhaseMarks, ...]
    chances: ChanceMarks | None
    chance_count: int
    unanswered_count: int


def own_marks_standing(rows: Sequence[OwnMarkRow]) -> MarksStanding:
    """How the marks stand, the phase with the largest bias first, all together last.

    References
    ----------
    [COHEN1968]_ with quadratic weights for the agreement, [WILKS1995]_ 7.4.3 for the chances,
    Student's interval [JCGM100]_ G.3.2 for the bias.
    """
    answered = [row for row in rows if row.measured in MARK_STEPS]
    marked = [row for row in answered if row.mark is not None]
    stated = [row for row in answered if row.chance_fraction is not None]
    names = dict.fromkeys(row.phase for row in marked)
    phases = [_phase(name, [row for row in marked if row.phase == name]) for name in names]
    phases.sort(key=lambda one: (one.bias_count is None, -abs(one.bias_count or 0.0), one.phase))
    if len(phases) > 1:
        phases.append(_phase("all together", marked))
    return MarksStanding(
        phases=tuple(phases),
        chances=chance_marks(
            [row.chance_fraction or 0.0 for row in stated],
            [float(row.measured == "inside") for row in stated],
        )
        if stated
        else None,
        chance_count=len(stated),
        unanswered_count=len(rows) - len(answered),
    )


def _phase(name: str, rows: Sequence[OwnMarkRow]) -> PhaseMarks:
    own = np.array([MARK_STEPS.index(str(row.mark)) for row in rows])
    measured = np.array([MARK_STEPS.index(str(row.measured)) for row in rows])
    apart = (own - measured).astype(float)
    bias = low = high = None
    if apart.size >= FEWEST_COUNT:
        from scipy.special import stdtrit

        bias = float(apart.mean())
        reach = float(stdtrit(apart.size - 1, 0.975) * apart.std(ddof=1) / apart.size**0.5)
        low, high = bias - reach, bias + reach
    return PhaseMarks(
        phase=name,
        flight_count=len(rows),
        same_count=int((apart == 0.0).sum()),
        bias_count=bias,
        low=low,
        high=high,
        agreement=_agreement(own, measured),
    )


def _agreement(own: IntArray, measured: IntArray) -> Kappa | None:
    try:
        return kappa(marks_table(measured, own, mark_count=len(MARK_STEPS)))
    except RangeError:  # both always gave one word: there is nothing to agree on beyond chance
        return None
