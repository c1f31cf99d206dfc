"""Measures of take-off, pattern and landing with limits of our own where a standard gives none.

A published standard names few numbers for a landing. The pilot's chosen standard is asked first,
by the measure's name and unit; else a limit of our own holds and says so, with its reason. Each
``Gauge`` is defined in docs/science/flown.md.
"""

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from lubberline.flown.case import Case
from lubberline.flown.standard import Standard
from lubberline.line import Basis, Finding, Limit, unknown

# Own: what a satellite receiver is off by as a whole, on one axis, for minutes at a time.
PLACE_COMMON_FT: Final = 8.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """A measure: its name, and what is asked of it if the standard asks nothing.

    ``low`` and ``high`` are None where that side is open; ``why`` is the reason or the source.
    """

    name: str
    label: str
    unit: str
    why: str
    low: float | None = None
    high: float | None = None
    basis: Basis = "own"
    tolerance: str = ""

    def limited(self, *, low: float | None = None, high: float | None = None) -> "Gauge":
        """The same with limits that depend on the runway, the airplane or the pilot."""
        return replace(self, low=low, high=high)

    def limit(self, standard: Standard) -> Limit:
        """The limit of the standard if it gives one, else our own."""
        given = standard.tolerance(self.tolerance) if self.tolerance else None
        if given is not None:
            return Limit(
                key=f"flown.{self.name}", label=self.label, unit=self.unit, low=given.low,
                high=given.high, target=0.0, basis=standard.basis, source=standard.source(given),
            )  # fmt: skip
        source = self.why if self.basis == "manual" else f"own choice: {self.why}"
        return Limit(
            key=f"flown.{self.name}", label=self.label, unit=self.unit,
            low=self.low, high=self.high, basis=self.basis, source=source,
        )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One gauge read: the value, its doubt, where, and what would supply it if it is not known."""

    gauge: Gauge
    value: float
    sigma: float
    where: str = ""
    note: str = ""
    missing: str = ""

    def finding(self, standard: Standard) -> Finding:
        """The reading held to its limit."""
        limit = self.gauge.limit(standard)
        if not (np.isfinite(self.value) and np.isfinite(self.sigma)):
            missing = self.missing or "heights and places recorded there"
            return unknown(limit, missing, note=self.note)
        is_open = limit.low is None and limit.high is None
        return Finding(
            limit=limit, value=float(self.value), sigma=float(self.sigma), where=self.where,
            note=self.note,
            missing="a limit to hold it to" if is_open else "",
        )  # fmt: skip


def channel_at(case: Case, name: str, time_s: float) -> float:
    """A recorded channel at a moment, straight between samples at most 5 s apart; else NaN."""
    column = case.track.channels.get(name)
    if column is None:
        return float("nan")
    known = np.isfinite(column)
    at_s = case.track.time_s[known]
    after = int(np.searchsorted(at_s, time_s))
    if not 0 < after < at_s.size or at_s[after] - at_s[after - 1] > 5.0:
        return float("nan")
    return float(np.interp(time_s, at_s, column[known]))
