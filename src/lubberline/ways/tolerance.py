"""How far a path may fall short and still count as exactly at a limit, and how that is told."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray
from lubberline.line import Finding, Limit
from lubberline.ways.model import Violation

LATERAL_TOLERANCE_NM: Final = 0.02  # the problem's definition
VERTICAL_TOLERANCE_FT: Final = 20.0  # the problem's definition
_ROUNDING: Final = 1e-6  # of float arithmetic, relative to a tolerance


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What one rule, or several, came to."""

    violations: tuple[Violation, ...] = ()
    findings: tuple[Finding, ...] = ()


def at_least(limit: Limit, value: float, tolerance: float, *, where: str = "") -> Finding:
    """A value held against the lower bound of a limit.

    Within the tolerance it counts as exactly at the bound, and the note says what it was. Half
    the tolerance is the doubt of every such value, so that nothing at the bound looks certain.
    """
    low, note = limit.low if limit.low is not None else value, ""
    if low - tolerance * (1.0 + _ROUNDING) <= value < low:
        note = f"{value:.6g} {limit.unit}: within the tolerance of {tolerance:g} {limit.unit}"
        value = low
    return Finding(limit=limit, value=value, sigma=tolerance / 2.0, where=where, note=note)


def at_most(limit: Limit, value: float, tolerance: float, *, where: str = "") -> Finding:
    """A value held against the upper bound of a limit, as ``at_least`` does the lower."""
    high, note = limit.high if limit.high is not None else value, ""
    if high < value <= high + tolerance * (1.0 + _ROUNDING):
        note = f"{value:.6g} {limit.unit}: within the tolerance of {tolerance:g} {limit.unit}"
        value = high
    return Finding(limit=limit, value=value, sigma=tolerance / 2.0, where=where, note=note)


def stretches(broken: BoolArray) -> list[slice]:
    """Every unbroken run of rows at which a rule is broken."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], broken, [False]]).astype(np.int8)))
    pairs = zip(edges[::2], edges[1::2], strict=True)
    return [slice(int(first), int(stop)) for first, stop in pairs]
