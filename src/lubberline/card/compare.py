"""What differs between two pledges: the numbers that a pilot flies by, the line, the inputs.

``printed_utc`` and the program's version are no differences: the same flight printed twice says
the same.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from lubberline.card.legs import clock_text
from lubberline.flight import Pledge, PledgedPoint
from lubberline.line import finding_from_record
from lubberline.wording import value_text

_PLAIN: Final = {
    "way_name": "way",
    "departure_runway": "runway at departure",
    "destination_runway": "runway at destination",
    "permissions": "permissions reckoned with",
    "cruise_msl_ft": "cruising height, ft",
    "departure_altimeter_inhg": "altimeter at departure",
    "destination_altimeter_inhg": "altimeter at destination",
    "practice": "to practise",
}
_NONE: Final = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One thing that is not the same, as it was and as it is."""

    what: str
    before: str
    after: str

    def __str__(self) -> str:
        """One line."""
        return f"{self.what}: {self.before} → {self.after}"


def pledge_differences(before: Pledge, after: Pledge) -> tuple[Difference, ...]:
    """Everything that differs, in the order of a card: way, times, points, findings, inputs."""
    return (
        *_plain(before, after),
        *_moments(before, after),
        *_points(before, after),
        *_gates(before, after),
        *_findings(before, after),
        *_inputs(before.inputs_sha256, after.inputs_sha256),
    )


def _plain(before: Pledge, after: Pledge) -> Iterator[Difference]:
    for name, what in _PLAIN.items():
        yield from _if_different(what, _text(getattr(before, name)), _text(getattr(after, name)))


def _moments(before: Pledge, after: Pledge) -> Iterator[Difference]:
    for name, what in (("off_block_utc", "off block"), ("on_block_utc", "on block")):
        old, new = (f"{getattr(one, name):%Y-%m-%d %H:%MZ}" for one in (before, after))
        yield from _if_different(what, old, new)


def _points(before: Pledge, after: Pledge) -> Iterator[Difference]:
    """Points by name and turn; what has no name is a number of the path and not of the card."""
    old, new = (_by_name(one.points) for one in (before, after))
    for name in dict.fromkeys([*old, *new]):
        yield from _if_different(name, _point_text(old.get(name)), _point_text(new.get(name)))


def _gates(before: Pledge, after: Pledge) -> Iterator[Difference]:
    """Gates by label and turn, unless one of the two is older than gates are."""
    if not (before.gates and after.gates):
        return
    old, new = (
        {(one.label, n): f"{one.by} {one.text}" for n, one in enumerate(pledge.gates)}
        for pledge in (before, after)
    )
    for label, turn in dict.fromkeys([*old, *new]):
        was, now = (gates.get((label, turn), _NONE) for gates in (old, new))
        yield from _if_different(label or "go around", was, now)


def _by_name(points: tuple[PledgedPoint, ...]) -> dict[str, PledgedPoint]:
    named: dict[str, PledgedPoint] = {}
    for point in points:
        if point.name:
            again = sum(one.name == point.name for one in named.values())
            named[f"{point.name} ({again + 1})" if again else point.name] = point
    return named


def _point_text(point: PledgedPoint | None) -> str:
    if point is None:
        return _NONE
    height = f"{round(point.msl_ft, -1):,.0f} ft"
    return f"{clock_text(point.over_utc)}Z, {height}, {point.fuel_left_gal:.1f} gal left"


def _findings(before: Pledge, after: Pledge) -> Iterator[Difference]:
    old, new = ({one["key"]: one for one in pledge.findings} for pledge in (before, after))
    for key in dict.fromkeys([*old, *new]):
        label = (new.get(key) or old[key])["label"]
        yield from _if_different(label, _finding_text(old.get(key)), _finding_text(new.get(key)))


def _finding_text(record: Mapping[str, Any] | None) -> str:
    if record is None:
        return _NONE
    finding = finding_from_record(dict(record))
    return f"{finding.verdict}, {value_text(finding)}"


def _inputs(before: Mapping[str, str], after: Mapping[str, str]) -> Iterator[Difference]:
    for name in sorted({*before, *after}):
        old, new = (one.get(name, _NONE)[:12] for one in (before, after))
        yield from _if_different(f"file {name}", old, new)


def _if_different(what: str, before: str, after: str) -> Iterator[Difference]:
    if before != after:
        yield Difference(what=what, before=before, after=after)


def _text(value: Any) -> str:
    match value:
        case None:
            return "not known"
        case tuple():
            return ", ".join(value) or _NONE
        case float():
            return f"{value:,.10g}"
        case _:
            return f"{value}"
