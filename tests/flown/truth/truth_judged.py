"""Simulated flights as the debriefing sees them, beside what really happened."""

from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from truth_airplane import RUNWAY_TRUE_DEG
from truth_make import Event, Truth
from truth_recorders import Recorder, field, recorded

from lubberline.flown import Aims, Flown, Measured, debrief, read_standard

ROOT: Final = Path(__file__).parents[3]
STANDARD: Final = read_standard(
    ROOT / "src" / "lubberline" / "demo" / "files" / "standards" / "private.toml"
)
FINAL_KT: Final = 62.0
KINDS: Final = {"leave": "take-off", "touch": "landing", "go-around": "go-around"}


@dataclass(frozen=True, kw_only=True)
class Judged:
    """One recording of one flight."""

    truth: Truth
    flown: Flown

    @property
    def moves(self) -> list[tuple[str, Event]]:
        """Movements and go-arounds as they were; a take-off from where it had not stood is none."""
        moves: list[tuple[str, Event]] = []
        for one in self.truth.events:
            down = moves[-1][1] if moves and moves[-1][0] == "landing" else None
            if one.kind != "leave" or down is None or self.truth.stood(down.time_s, one.time_s):
                moves.append((KINDS[one.kind], one))
            else:
                moves[-1] = ("touch-and-go", down)
        return moves

    @property
    def expected(self) -> list[str]:
        """The kinds of all moves."""
        return [kind for kind, _ in self.moves]

    @property
    def found(self) -> list[str]:
        return [one.kind for one in self.flown.measured]

    def pairs(self, *kinds: str) -> list[tuple[Measured, Event]]:
        """What was measured of each of these, and its event."""
        return [
            (one, event)
            for one, (_, event) in zip(self.flown.measured, self.moves, strict=True)
            if one.kind in kinds
        ]

    def column(self, name: str, time_s: float) -> float:
        """The truth at a moment."""
        columns = self.truth.columns
        return float(np.interp(time_s, columns["time_s"], columns[name]))


def judged(truth: Truth, recorder: Recorder, *, seed: int) -> Judged:
    flown = debrief(
        recorded(truth.columns, recorder, seed=seed),
        places=field(),
        pledge=None,
        standard=STANDARD,
        aims=Aims(final_ias_kt=FINAL_KT, point_ft=800.0),
    )
    return Judged(truth=truth, flown=flown)


def value(one: Measured, name: str) -> tuple[float, float]:
    """A finding's value and sigma; NaN where it is not known."""
    for found in one.findings:
        if found.limit.key == f"flown.{name}":
            return (np.nan if found.value is None else found.value), found.sigma
    return np.nan, np.nan


__all__ = ["RUNWAY_TRUE_DEG", "Judged", "judged", "value"]
