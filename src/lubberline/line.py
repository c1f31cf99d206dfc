"""The shared currency: a limit, a finding measured against it, its margin and its verdict.

Everything the program says about a flight is a finding: fuel at landing, crosswind, a due
date, clearance under a shelf, height held. A finding whose value is not known is *unknown*
and says what would supply it; it is never silently inside. Nothing here converts units:
whoever makes a finding has converted first.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import inf, isfinite
from typing import Any, Final, Literal

from lubberline.errors import RangeError

Basis = Literal["law", "manual", "standard", "own"]

COVERAGE: Final = 2.0  # expanded uncertainty, about 95 %: JCGM 100:2008, 6.3.3
ROUNDING: Final = 1e-9  # relative noise of float arithmetic: exactly at the limit stays inside


class Verdict(StrEnum):
    """What a finding comes to, in the words shown to the pilot."""

    OUTSIDE = "outside"
    UNKNOWN = "unknown"
    CLOSE = "close"
    INSIDE = "inside"


WORST_FIRST: Final = tuple(Verdict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A bound that a value must keep; both ends belong to the inside.

    ``key`` is ``group.name``. ``low`` and ``high`` are in ``unit``; a side that is None is open.
    ``target`` is the value aimed at, for asymmetric limits such as +10/-5 kt. ``buffer`` is
    the pilot's own distance to keep from either bound. ``tolerance`` is what counts as one
    step of margin in the picture where no target gives it: the flight hours, pounds or days
    that a pilot would call a comfortable margin.
    """

    key: str
    label: str
    unit: str
    basis: Basis
    source: str
    low: float | None = None
    high: float | None = None
    target: float | None = None
    buffer: float = 0.0
    tolerance: float | None = None

    def __post_init__(self) -> None:
        """A limit without a source, or with its bounds crossed, is a mistake."""
        if not self.source:
            raise RangeError(f"{self.key}: a limit needs a source")
        low, high = self._bounds()
        if low > high:
            raise RangeError(f"{self.key}: low is {low:g} but high is {high:g} {self.unit}")
        if self.target is not None and not low <= self.target <= high:
            raise RangeError(
                f"{self.key}: target {self.target:g} lies outside {low:g} to {high:g} {self.unit}"
            )
        if self.buffer < 0.0:
            raise RangeError(f"{self.key}: buffer is {self.buffer:g}; expected 0 or more")

    @property
    def group(self) -> str:
        """What the limit belongs to: the part of the key before the dot."""
        return self.key.partition(".")[0]

    def margin(self, value: float) -> float:
        """Distance to the nearer bound, negative outside; infinite if both are open."""
        low, high = self._bounds()
        return min(value - low, high - value)

    def steps(self, value: float) -> float:
        """Margin in units of the tolerance on the nearer side; 1 at the target.

        A target may be the bound itself (no unpermitted entry, no open directive): reaching it
        is as good as can be.
        """
        if value == self.target:
            return 1.0
        low, high = self._bounds()
        sides = [(value - low) / self._step(low), (high - value) / self._step(high)]
        return min(sides)

    def _bounds(self) -> tuple[float, float]:
        low = -inf if self.low is None else self.low
        high = inf if self.high is None else self.high
        return low, high

    def _step(self, bound: float) -> float:
        """One step of margin on the side of this bound, greater than 0."""
        if not isfinite(bound):
            return 1.0
        if self.target is not None and self.target != bound:
            return abs(bound - self.target)
        if self.tolerance is not None:
            return self.tolerance
        if self.low is not None and self.high is not None and self.high > self.low:
            return (self.high - self.low) / 2.0
        return abs(bound) or 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A value against its limit, with its doubt.

    ``value`` and ``sigma`` (one standard uncertainty) are in the limit's unit. ``value`` None
    means not known; then ``missing`` says what would supply it. ``where`` is the place or the
    moment; ``note`` is anything the pilot should read with it. ``workings`` are the steps that
    led to the value, in order, for whoever asks why; the store does not keep them.
    """

    limit: Limit
    value: float | None
    sigma: float = 0.0
    where: str = ""
    note: str = ""
    missing: str = ""
    workings: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """NaN is not a value; what is not known must say what would supply it."""
        if self.value is not None and not isfinite(self.value):
            raise RangeError(f"{self.limit.key}: value is {self.value}; use None for not known")
        if not (isfinite(self.sigma) and self.sigma >= 0.0):
            raise RangeError(f"{self.limit.key}: sigma is {self.sigma}; expected 0 or more")
        if self.verdict is Verdict.UNKNOWN and not self.missing:
            raise RangeError(f"{self.limit.key}: not known, but nothing says what would supply it")

    @property
    def margin(self) -> float | None:
        """Distance to the nearer bound in the limit's unit; negative outside."""
        if self.value is None or (self.limit.low is None and self.limit.high is None):
            return None
        return self.limit.margin(self.value)

    @property
    def steps(self) -> float | None:
        """Margin in units of the tolerance: where the marker stands on the line."""
        if self.value is None or self.margin is None:
            return None
        return self.limit.steps(self.value)

    @property
    def verdict(self) -> Verdict:
        """The best estimate decides inside or outside; doubt or the own buffer make it close."""
        margin = self.margin
        if margin is None or self.value is None:
            return Verdict.UNKNOWN
        noise = ROUNDING * max(1.0, abs(self.value))
        if margin < -noise:
            return Verdict.OUTSIDE
        if margin < max(self.limit.buffer, COVERAGE * self.sigma) - noise:
            return Verdict.CLOSE
        return Verdict.INSIDE


def unknown(limit: Limit, missing: str, *, where: str = "", note: str = "") -> Finding:
    """A finding whose value is not known; ``missing`` says what would supply it."""
    return Finding(limit=limit, value=None, where=where, note=note, missing=missing)


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """Outside, unknown, close, inside; within each the least margin first, then by key."""

    def rank(finding: Finding) -> tuple[int, float, str, str]:
        steps = finding.steps
        return (
            WORST_FIRST.index(finding.verdict),
            -inf if steps is None else steps,
            finding.limit.key,
            finding.where,
        )

    return sorted(findings, key=rank)


def counts(findings: Iterable[Finding]) -> dict[Verdict, int]:
    """How many findings have each verdict, worst first, zeros included."""
    verdicts = [finding.verdict for finding in findings]
    return {verdict: verdicts.count(verdict) for verdict in WORST_FIRST}


def verdict_sentence(findings: Sequence[Finding]) -> str:
    """One sentence that says no more than the findings do."""
    if not findings:
        return "Nothing was checked."
    tally = counts(findings)
    parts = [f"{number} {verdict}" for verdict, number in tally.items() if number]
    total = f"Of {len(findings)} checks: {', '.join(parts)}."
    worst = worst_first(findings)[0]
    if worst.verdict is Verdict.OUTSIDE:
        return f"{total} Not within the limits: {worst.limit.label}."
    if worst.verdict is Verdict.UNKNOWN:
        return f"{total} Not decided until known: {worst.limit.label}."
    if worst.verdict is Verdict.CLOSE:
        return f"{total} Within the limits checked, closest: {worst.limit.label}."
    return f"{total} Within the limits checked."


def finding_record(finding: Finding) -> dict[str, Any]:
    """The finding as plain values, for JSON and the store; None where not known."""
    limit = finding.limit
    return {
        "key": limit.key,
        "label": limit.label,
        "verdict": str(finding.verdict),
        "value": finding.value,
        "sigma": finding.sigma,
        "unit": limit.unit,
        "margin": finding.margin,
        "low": limit.low,
        "high": limit.high,
        "target": limit.target,
        "buffer": limit.buffer,
        "tolerance": limit.tolerance,
        "basis": limit.basis,
        "source": limit.source,
        "where": finding.where,
        "note": finding.note,
        "missing": finding.missing,
        "workings": list(finding.workings),
    }


def finding_from_record(record: dict[str, Any]) -> Finding:
    """The finding that ``finding_record`` wrote; derived values are computed anew.

    A record without workings, as the store keeps it, gives a finding without them.
    """
    limit = Limit(
        **{
            name: record[name]
            for name in (
                *("key", "label", "unit", "basis", "source"),
                *("low", "high", "target", "buffer", "tolerance"),
            )
        }
    )
    return Finding(
        limit=limit,
        **{name: record[name] for name in ("value", "sigma", "where", "note", "missing")},
        workings=tuple(record.get("workings", ())),
    )
