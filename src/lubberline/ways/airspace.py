"""What each volume asks of a path: encounters, violations and findings.

B needs a clearance, C and D two-way contact with their facility; a flight gets in only with a
permission for the volume's group. R and P are never entered. Every other class is free, but a
path that enters class A is outside the law for flight by sight and says so. Nearer than both
margins counts as needing the permission too.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import inf
from typing import Final

import numpy as np

from lubberline.line import Finding, Limit, unknown
from lubberline.places import Volume
from lubberline.ways.contact import Outlines, legs_near, volume_outlines
from lubberline.ways.meeting import EDGE_FT, NEAR_NM, Meeting, meet_all
from lubberline.ways.model import Encounter, Need, Side, Violation
from lubberline.ways.problem import Margins, WaysProblem
from lubberline.ways.samples import Samples
from lubberline.ways.tolerance import (
    LATERAL_TOLERANCE_NM,
    VERTICAL_TOLERANCE_FT,
    Kept,
    at_least,
)

NEAR_FT: Final = 1_000.0  # own: farther beyond the vertical margin is no encounter

_NEEDS: Final[dict[str, tuple[Need, str]]] = {
    "B": ("clearance", "14 CFR 91.131(a)(1), read 2026-11-25"),
    "C": ("two-way contact", "14 CFR 91.130(c)(1), read 2026-11-25"),
    "D": ("two-way contact", "14 CFR 91.129(c)(1), read 2026-11-25"),
    "R": ("never", "14 CFR 91.133(a) (memory)"),
    "P": ("never", "14 CFR 91.133(a) (memory)"),
}
_CLASS_A_SOURCE: Final = "14 CFR 91.135: instrument flight only (memory)"


@dataclass(frozen=True, slots=True, kw_only=True)
class AirspaceReport:
    """What all volumes of a problem came to."""

    encounters: tuple[Encounter, ...]
    kept: Kept


def need_of(volume: Volume) -> Need:
    """What has to be had before the volume is entered."""
    return _NEEDS.get(volume.airspace_class, ("nothing", ""))[0]


def is_permitted(volume: Volume, permissions: frozenset[str]) -> bool:
    """Whether a flight with these permissions may enter the volume."""
    need = need_of(volume)
    return need == "nothing" or (need != "never" and volume.group in permissions)


def check_airspace(
    problem: WaysProblem, rows: Samples, sampled: Samples, permissions: frozenset[str]
) -> AirspaceReport:
    """Every volume against one path, given as its rows and as samples of them."""
    encounters: list[Encounter] = []
    violations: list[Violation] = []
    findings: list[Finding] = []
    for volume, margins, meeting in _meetings(problem, rows, sampled):
        if meeting is None or not _worth_telling(meeting, margins):
            continue
        encounter = replace(
            _encounter(volume, meeting, permissions), side=_side(volume, meeting, sampled)
        )
        encounters.append(encounter)
        violations += _violations(encounter, meeting, margins)
        findings += _findings(encounter, meeting, margins)
    kept = Kept(violations=tuple(violations), findings=tuple(findings))
    return AirspaceReport(encounters=tuple(encounters), kept=kept)


def _meetings(
    problem: WaysProblem, rows: Samples, sampled: Samples
) -> Iterator[tuple[Volume, Margins, Meeting | None]]:
    """How the path meets each volume within reach, in the problem's order."""
    drawn = volume_outlines(problem.volumes, problem.plane)
    near = _within_reach(problem, drawn, rows)
    margins = {place: _margins(problem.margins, problem.volumes[place]) for place in near}
    met: dict[int, Meeting | None] = {}
    for path, follows in ((rows, False), (sampled, True)):
        asked = [one for one in near if _follows_ground(problem.volumes[one]) == follows]
        volumes = [problem.volumes[one] for one in asked]
        meetings = meet_all(volumes, drawn.part(asked), path, [margins[one] for one in asked])
        met.update(zip(asked, meetings, strict=True))
    return ((problem.volumes[one], margins[one], met[one]) for one in near)


def _within_reach(problem: WaysProblem, drawn: Outlines, rows: Samples) -> list[int]:
    """The volumes that may be worth telling, by bounding boxes and the path's heights alone."""
    own_nm = [_margins(problem.margins, volume).lateral_nm for volume in problem.volumes]
    near = legs_near(drawn, rows.east_nm, rows.north_nm, np.array(own_nm) + NEAR_NM)
    reach_ft = problem.margins.vertical_ft + NEAR_FT
    lowest_ft, highest_ft = rows.msl_ft.min() - reach_ft, rows.msl_ft.max() + reach_ft
    return [
        place
        for place in np.flatnonzero(near.any(axis=1)).tolist()
        if _may_reach(problem.volumes[place], lowest_ft, highest_ft)
    ]


def _may_reach(volume: Volume, lowest_ft: float, highest_ft: float) -> bool:
    return _follows_ground(volume) or (
        volume.ceiling.ft >= lowest_ft
        and (volume.floor.reference != "MSL" or volume.floor.ft <= highest_ft)
    )


def _follows_ground(volume: Volume) -> bool:
    """Whether a floor or ceiling goes up and down with the ground; the surface itself does not."""
    from_surface = volume.floor.ft == 0.0 or volume.floor.reference == "MSL"
    return volume.ceiling.reference != "MSL" or not from_surface


def _margins(margins: Margins, volume: Volume) -> Margins:
    if volume.lateral_margin_nm is None:
        return margins
    return replace(margins, lateral_nm=volume.lateral_margin_nm)


def _worth_telling(meeting: Meeting, margins: Margins) -> bool:
    return (
        meeting.undecided is not None
        or meeting.lateral_nm <= margins.lateral_nm + NEAR_NM
        or meeting.vertical_ft <= margins.vertical_ft + NEAR_FT
    )


def _encounter(volume: Volume, meeting: Meeting, permissions: frozenset[str]) -> Encounter:
    entry = meeting.entry
    return Encounter(
        volume=volume,
        needs=need_of(volume),
        permitted=is_permitted(volume, permissions),
        entered=entry is not None,
        within_margins=meeting.near is not None,
        entry_min=entry.after_min if entry else None,
        exit_min=meeting.leave_min,
        entry_lat_deg=entry.lat_deg if entry else None,
        entry_lon_deg=entry.lon_deg if entry else None,
        entry_msl_ft=entry.msl_ft if entry else None,
        lateral_nm=meeting.lateral_nm,
        vertical_ft=meeting.vertical_ft,
    )


def _side(volume: Volume, meeting: Meeting, sampled: Samples) -> Side:
    """Whether the way is over or under a volume where it is nearest to it in height."""
    moment, edge = meeting.level, volume.ceiling
    if meeting.entry is not None or moment is None:
        return ""
    if volume.floor.reference != "MSL" and volume.floor.ft == 0.0:
        return "over"  # nothing is under the surface
    edge_ft = edge.ft
    if edge.reference != "MSL":
        edge_ft += float(np.interp(moment.after_min, sampled.after_min, sampled.ground_ft))
    return "over" if moment.msl_ft > edge_ft - EDGE_FT else "under"


def _violations(encounter: Encounter, meeting: Meeting, margins: Margins) -> Iterator[Violation]:
    if encounter.permitted or meeting.near is None:
        return
    verb = "enters" if encounter.entered else "passes too near to"
    yield Violation(
        rule="airspace",
        what=f"{verb} {_called(encounter.volume)} without {_words(encounter.needs)}",
        spot=meeting.near,
        short_nm=margins.lateral_nm - meeting.near_nm,
        short_ft=margins.vertical_ft - meeting.near_ft,
    )


def _findings(encounter: Encounter, meeting: Meeting, margins: Margins) -> Iterator[Finding]:
    """One finding for each volume that is not free; one for class A if it is entered."""
    volume = encounter.volume
    if encounter.needs == "nothing":
        if volume.airspace_class == "A" and encounter.entered:
            yield _entry_finding(encounter, meeting, "instrument rules", _CLASS_A_SOURCE, 0.0)
        return
    if meeting.near is not None:
        source = _NEEDS[volume.airspace_class][1]
        had = 1.0 if encounter.permitted else 0.0
        yield _entry_finding(encounter, meeting, _words(encounter.needs), source, had)
    elif meeting.undecided is not None and not encounter.permitted:
        limit = _margin_limit(volume, "ft", margins)
        yield unknown(limit, "terrain data for the ground beneath", where=meeting.undecided.words)
    else:
        yield from _clearance(encounter, meeting, margins)


def _entry_finding(
    encounter: Encounter, meeting: Meeting, needed: str, source: str, had_count: float
) -> Finding:
    volume, spot = encounter.volume, meeting.entry or meeting.near
    note = "" if encounter.entered else "nearer than the margins, not entered"
    limit = Limit(
        key=f"ways.entry.{volume.id}",
        label=f"{needed}, {_called(volume)}",
        unit="permission",
        low=1.0,
        target=1.0,
        basis="law" if encounter.entered else "own",
        source=source if encounter.entered else f"own margins; inside: {source}",
    )
    return Finding(limit=limit, value=had_count, where=spot.words if spot else "", note=note)


def _clearance(encounter: Encounter, meeting: Meeting, margins: Margins) -> Iterator[Finding]:
    """The closer of what is kept sideways and what is kept above or below."""
    kept: list[Finding] = []
    for value, moment, unit, tolerance in (
        (meeting.lateral_nm, meeting.beside, "NM", LATERAL_TOLERANCE_NM),
        (meeting.vertical_ft, meeting.level, "ft", VERTICAL_TOLERANCE_FT),
    ):
        if moment is not None:
            limit = _margin_limit(encounter.volume, unit, margins)
            kept.append(at_least(limit, value, tolerance, where=moment.words))
    if kept:
        yield min(kept, key=lambda finding: finding.steps if finding.steps is not None else inf)


def _margin_limit(volume: Volume, unit: str, margins: Margins) -> Limit:
    beside = unit == "NM"
    low = margins.lateral_nm if beside else margins.vertical_ft
    source = "own: lateral margin to airspace not entered" if beside else margins.vertical_source
    return Limit(
        key=f"ways.airspace.{volume.id}",
        label=f"{'beside' if beside else 'height off'} {_called(volume)}",
        unit=unit,
        low=low,
        tolerance=low or (1.0 if beside else 500.0),
        basis="own",
        source=source,
    )


def _called(volume: Volume) -> str:
    return f"{volume.name} ({volume.airspace_class})"


def _words(need: Need) -> str:
    return "leave to enter" if need == "never" else need
