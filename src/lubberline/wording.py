"""A finding's numbers in words, rounded once and to the safe side, for every medium.

A value that must stay under its limit is rounded up, one that must stay over it is rounded
down, so that a rounded number never looks safer than the true one. How a medium lays the
words out is its own business.
"""

from math import ceil, floor, isfinite, log10
from typing import Final

from lubberline.line import Finding, Limit, Verdict

CAUTION: Final = (
    "Planning aid only. The pilot in command decides; official sources, the approved flight"
    " manual, local rules and licensed maintenance have the last word."
)

DECIMALS: Final = {"gal": 1, "in": 1, "NM": 1, "SM": 1, "inHg": 2, "gph": 1, "h": 1, "min": 0}

SMALL: Final = {"min": 10.0, "deg": 10.0}  # own: limits up to this are told to a tenth

SHAPES: Final = {
    Verdict.INSIDE: "●",
    Verdict.CLOSE: "◐",
    Verdict.OUTSIDE: "✖",
    Verdict.UNKNOWN: "?",
}


def value_text(finding: Finding) -> str:
    """The value with its unit, rounded to the safe side; "not known" if there is none."""
    if finding.value is None:
        return "not known"
    scale = 10 ** _decimals(finding.limit)
    low, high = finding.limit.low, finding.limit.high
    nearer_low = high is None or (low is not None and finding.value - low < high - finding.value)
    scaled = round(finding.value * scale, 6)
    rounded = floor(scaled) if nearer_low else ceil(scaled)
    return f"{_number(rounded / scale, finding.limit)} {finding.limit.unit}".rstrip()


def limit_text(limit: Limit) -> str:
    """The bound in words: "at most 15", "at least 3", "-200 to 200"; "no limit" if open."""
    if limit.low is None and limit.high is None:
        return "no limit"
    if limit.low is None:
        return f"at most {_exact(limit.high)}"
    if limit.high is None:
        return f"at least {_exact(limit.low)}"
    return f"{_exact(limit.low)} to {_exact(limit.high)}"


def direction_text(direction_deg: float) -> str:
    """A course or heading in three figures; north is 360."""
    return f"{(round(direction_deg) - 1) % 360 + 1:03d}"


def rough_text(number: float) -> str:
    """Two figures of a number with its sign, written out: an estimate, not a reading.

    >>> rough_text(658.2), rough_text(-0.0347), rough_text(0.0)
    ('+660', '-0.035', '+0')
    """
    decimals = 1 - floor(log10(abs(number))) if number and isfinite(number) else 0
    return f"{round(number, decimals):+,.{max(decimals, 0)}f}"


def doubt_text(finding: Finding) -> str:
    """One standard uncertainty, rounded up; empty where it is nought."""
    if finding.value is None or finding.sigma == 0.0:
        return ""
    scale = 10 ** _decimals(finding.limit)
    return f"±{_number(ceil(finding.sigma * scale) / scale, finding.limit)}"


def _decimals(limit: Limit) -> int:
    """Digits after the point: as the unit asks, one more where the limits are small."""
    bounds = [abs(bound) for bound in (limit.low, limit.high) if bound is not None]
    small = 0.0 < max(bounds, default=0.0) <= SMALL.get(limit.unit, 0.0)
    return 1 if small else DECIMALS.get(limit.unit, 0)


def _number(number: float, limit: Limit) -> str:
    return f"{number + 0.0:,.{_decimals(limit)}f}"


def _exact(bound: float | None) -> str:
    return f"{round(bound or 0.0, 2) + 0.0:,.10g}"
