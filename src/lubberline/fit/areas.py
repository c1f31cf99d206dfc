"""AIRMET and SIGMET areas against a way: crossed at its heights and times, or passed near by.

A SIGMET is for every airplane, so that crossing one is outside. An AIRMET warns of what a light
airplane has to weigh, so that crossing one is close. What could not be drawn, dated or measured
is unknown. Outlooks and freezing levels are shown, not judged.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from lubberline.fit.crossing import Meeting, meeting, outline, passing
from lubberline.fit.setting import times_utc
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown
from lubberline.ways import Way
from lubberline.weather import Area

NEAR_NM: Final = (
    20.0  # severe thunderstorms by at least 20 miles: AIM 7-1, thunderstorm flying (memory)
)
MOST_SHOWN: Final = 6  # own: what a finding can list
_NOT_JUDGED: Final = ("OUTLOOK",)
_LINES: Final = ("FZLVL", "M FZLVL")
_PLACES: Final = "the places that its outline names, in a data set or in your own points"


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaMet:
    """An area and how the way meets it; None where its outline is not known."""

    area: Area
    meeting: Meeting | None

    @property
    def sure(self) -> bool:
        """Whether outline, heights and times are all known."""
        dated = self.area.from_utc is not None and self.area.until_utc is not None
        return dated and self.meeting is not None and self.meeting.sure

    @property
    def crossed(self) -> bool:
        """Whether the way may be in it."""
        return self.meeting is not None and self.meeting.away_nm <= 0.0

    @property
    def words(self) -> str:
        """Its name, what it warns of, and where the way meets it."""
        area = self.area
        name = " ".join(part for part in (area.kind, area.name, area.hazard) if part)
        if self.meeting is None:
            lost = f": {', '.join(area.missing)} nowhere on file" if area.missing else ""
            return f"{name}, outline not known{lost}"
        return f"{name}, {self.meeting.words}"


def areas_met(plan: Plan, way: Way) -> tuple[AreaMet, ...]:
    """Areas that hold while the flight lasts: crossed, within ``NEAR_NM``, or not to be drawn."""
    off_utc, on_utc = plan.flight.off_block_utc, times_utc(plan, way)[2]
    flown = passing(plan, way) if plan.weather.areas else None
    found = []
    for area in plan.weather.areas:
        if flown is None or not is_judged(area) or not _holds(area, off_utc, on_utc):
            continue
        if area.corners_deg is None:
            found.append(AreaMet(area=area, meeting=None))
            continue
        met = meeting(
            flown,
            outline(area.corners_deg),
            low=area.low,
            high=area.high,
            spans=[(area.from_utc, area.until_utc)],
        )
        if met is not None and met.away_nm <= NEAR_NM:
            found.append(AreaMet(area=area, meeting=met))
    return tuple(sorted(found, key=lambda one: not one.crossed))


def area_findings(plan: Plan, way: Way) -> Iterator[Finding]:
    """Crossings of SIGMET and AIRMET areas; none where no area is on file."""
    if not any(is_judged(area) for area in plan.weather.areas):
        return
    met = areas_met(plan, way)
    sigmets = [one for one in met if "SIGMET" in one.area.kind]
    airmets = [one for one in met if "SIGMET" not in one.area.kind]
    yield _finding("sigmet", "SIGMET areas crossed", sigmets, warns_only=False)
    yield _finding("airmet", "AIRMET areas crossed", airmets, warns_only=True)


def is_judged(area: Area) -> bool:
    """Whether an area warns of something that holds: no outlook and no freezing level."""
    return area.kind not in _NOT_JUDGED and not area.hazard.startswith(
        ("FZLVL", "M_FZLVL", "M FZLVL")
    )


def _holds(area: Area, from_utc: datetime, until_utc: datetime) -> bool:
    begun = area.from_utc is None or area.from_utc <= until_utc
    return begun and (area.until_utc is None or area.until_utc >= from_utc)


def _finding(key: str, label: str, met: Sequence[AreaMet], *, warns_only: bool) -> Finding:
    """How many are crossed; close near a SIGMET, and in an AIRMET."""
    crossed = [one for one in met if one.crossed and one.sure]
    most = float(max(1, len(crossed))) if warns_only else 0.0
    limit = Limit(
        key=f"flight.{key}",
        label=label,
        unit="areas",
        high=most,
        buffer=most,
        tolerance=1.0,
        basis="own",
        source=(
            "own: an AIRMET is to be weighed, so that crossing one is close"
            if warns_only
            else "own: no flight through what a SIGMET warns of, nor within 20 NM"
        ),
    )
    unsure = [one for one in met if one.meeting is None or (one.crossed and not one.meeting.sure)]
    where = _listed(met)
    if unsure and (warns_only or not crossed):
        return unknown(limit, f"{_PLACES}, or your own eyes on {_listed(unsure)}", where=where)
    near = not warns_only and any(not one.crossed for one in met)
    doubt = 0.5 if near and not crossed else 0.0
    return Finding(limit=limit, value=float(len(crossed)), sigma=doubt, where=where)


def _listed(met: Sequence[AreaMet]) -> str:
    more = len(met) - MOST_SHOWN
    shown = "; ".join(one.words for one in met[:MOST_SHOWN])
    return shown + (f"; and {more} more" if more > 0 else "")
