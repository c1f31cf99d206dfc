"""Notices that touch a flight by place, height and time, the gravest first.

A notice of an aerodrome counts at the ends and alternates while they are used, ``SLACK`` early or
late; one of a piece of sky where the way meets it. Closed runways and restrictions are findings;
the others are shown. What of a notice was not understood counts as touching, and as unknown.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

import numpy as np

from lubberline.fit.crossing import Meeting, Passing, circle, meeting, outline, passing
from lubberline.fit.ends import settings
from lubberline.fit.setting import Setting, times_utc
from lubberline.flight import Plan
from lubberline.line import Finding, Limit, unknown
from lubberline.places import Aerodrome, Footprint, identifiers
from lubberline.ways import Way
from lubberline.weather import BY_CONSEQUENCE, SURFACE, UNLIMITED, Notice

SLACK: Final = timedelta(minutes=30)  # own: flights are early and late
OBSTACLE_NM: Final = 5.0  # own: as far as an obstacle matters to a way or a field
ALTERNATE_USE: Final = timedelta(hours=2)  # own: after the landing that was not made
MOST_SHOWN: Final = 6  # own: what a finding can list
_LAW: Final = "14 CFR 91.103, all available information"


@dataclass(frozen=True, slots=True, kw_only=True)
class Touch:
    """A notice that touches the flight, and where; ``sure`` is False where part is not known."""

    notice: Notice
    where: str
    sure: bool = True
    field_id: str = ""
    meeting: Meeting | None = None

    @property
    def words(self) -> str:
        """Its name, where it touches, and its own words."""
        where = f" ({self.where})" if self.where else ""
        return f"{self.notice.id}{where}: {self.notice.message or self.notice.text}"


def touching(plan: Plan, way: Way) -> tuple[Touch, ...]:
    """Every notice in effect that touches the flight, by consequence, then by time."""
    notices = in_effect(plan.weather.notices)
    if not notices:
        return ()
    flown = passing(plan, way)
    found = [one for notice in notices if (one := _touch(plan, way, flown, notice)) is not None]

    def rank(one: Touch) -> tuple[int, float, str]:
        begins = one.notice.from_utc
        consequence = BY_CONSEQUENCE.index(one.notice.consequence)
        return consequence, begins.timestamp() if begins else 0.0, one.notice.id

    return tuple(sorted(found, key=rank))


def in_effect(notices: Sequence[Notice]) -> tuple[Notice, ...]:
    """Without those that another one cancels or replaces, and those that only cancel."""
    gone = {one.cancels_id for one in notices} - {""}
    return tuple(one for one in notices if one.id not in gone and not one.only_cancels)


def notice_findings(plan: Plan, way: Way) -> Iterator[Finding]:
    """Runways to be used that are closed, and restrictions crossed; none without notices."""
    if not plan.weather.notices:
        return
    touches = touching(plan, way)
    takeoff_utc, landing_utc, on_block_utc = times_utc(plan, way)
    departure, destination = settings(plan, way)
    used = ((plan.flight.off_block_utc, takeoff_utc), (landing_utc, on_block_utc))
    for setting, span in zip((departure, destination), used, strict=True):
        yield _runway_finding(setting, touches, span)
    sky = [one for one in touches if one.notice.consequence == "airspace"]
    yield _restrictions([one for one in sky if one.notice.restricts or not one.sure])
    yield _warnings([one for one in sky if not one.notice.restricts and one.sure])


def _touch(plan: Plan, way: Way, flown: Passing, notice: Notice) -> Touch | None:
    takeoff_utc, landing_utc, on_block_utc = times_utc(plan, way)
    off_utc = plan.flight.off_block_utc
    if not notice.is_in_force(off_utc - SLACK, on_block_utc + ALTERNATE_USE):
        return None
    uses = (
        (plan.departure, off_utc, takeoff_utc),
        (plan.destination, landing_utc, on_block_utc),
        *((field, landing_utc, landing_utc + ALTERNATE_USE) for field in plan.alternates),
    )
    for field, from_utc, until_utc in uses:
        if _is_of(notice.place, field) and notice.is_in_force(from_utc - SLACK, until_utc + SLACK):
            return Touch(notice=notice, where=field.id, field_id=field.id)
    if notice.aerodrome_only:
        return None
    return _touch_on_the_way(flown, notice)


def _touch_on_the_way(flown: Passing, notice: Notice) -> Touch | None:
    """By the outline of a notice, or the circle round its place."""
    shape = _footprint(notice)
    if shape is None:
        lost = notice.consequence == "airspace"
        return Touch(notice=notice, where="place not understood", sure=False) if lost else None
    end = None if notice.estimated else notice.until_utc
    met = meeting(
        flown,
        shape,
        low=notice.low or SURFACE,
        high=notice.high or UNLIMITED,
        spans=notice.spans_utc or [(notice.from_utc, end)],
    )
    if met is None or met.away_nm > 0.0:
        return None
    sure = met.sure and not notice.undecoded
    return Touch(notice=notice, where=met.words, sure=sure, meeting=met)


def _footprint(notice: Notice) -> Footprint | None:
    """Where a notice holds; None if it does not say."""
    if notice.corners_deg:
        return outline(np.array(notice.corners_deg, dtype=np.float64))
    if notice.lat_deg is None or notice.lon_deg is None:
        return None
    far_nm = OBSTACLE_NM if notice.consequence == "obstacle" else 0.0
    return circle(notice.lat_deg, notice.lon_deg, (notice.radius_nm or 0.0) + far_nm)


def _is_of(place: str, field: Aerodrome) -> bool:
    """Whether a notice's place is this field, with or without the country's letter."""
    names = set(identifiers(field))
    return bool(place) and (
        place in names or f"K{place}" in names or place in {f"K{n}" for n in names}
    )


def _runway_finding(
    setting: Setting, touches: Sequence[Touch], span: tuple[datetime, datetime]
) -> Finding:
    """How many notices close the runway to be used."""
    limit = Limit(
        key=f"flight.runway_notice_{setting.place}",
        label=f"notices that close the {setting.place} runway",
        unit="notices",
        high=0.0,
        target=0.0,
        basis="law",
        source=_LAW,
    )
    closing = [
        one
        for one in touches
        if one.notice.consequence == "runway closed"
        and _is_of(one.notice.place, setting.aerodrome)
        and _closes(one.notice, setting.end.name)
        and one.notice.is_in_force(span[0] - SLACK, span[1] + SLACK)
    ]
    where = setting.name + (f"; {_listed(closing)}" if closing else "")
    unsure = [one for one in closing if one.notice.conditional or one.notice.undecoded]
    now = [one for one in closing if one not in unsure and one.notice.is_in_force(*span)]
    if unsure and not now:
        return unknown(limit, f"whether it holds for you: {_listed(unsure)}", where=setting.name)
    doubt = 0.5 if closing and not now else 0.0  # closed just before or after
    return Finding(limit=limit, value=float(len(now)), sigma=doubt, where=where)


def _closes(notice: Notice, end: str) -> bool:
    """Whether a notice that closes names this end, or the whole field."""
    return not notice.runways or end.lstrip("0") in {name.lstrip("0") for name in notice.runways}


def _restrictions(met: Sequence[Touch]) -> Finding:
    limit = Limit(
        key="flight.notice_restrictions",
        label="restrictions crossed that a notice tells of",
        unit="notices",
        high=0.0,
        target=0.0,
        basis="law",
        source=f"{_LAW}; temporary restrictions: 91.137 to 91.145 (memory)",
    )
    sure = [one for one in met if one.sure]
    if met and not sure:
        return unknown(limit, f"your own eyes on {_listed(met)}")
    return Finding(limit=limit, value=float(len(sure)), where=_listed(met))


def _warnings(met: Sequence[Touch]) -> Finding:
    """Activity that a notice warns of: close where it is met, never outside."""
    most = float(max(1, len(met)))
    limit = Limit(
        key="flight.notice_warnings",
        label="activity on the way that a notice warns of",
        unit="notices",
        high=most,
        buffer=most,
        tolerance=1.0,
        basis="own",
        source="own: look out for what a notice warns of, so that meeting it is close",
    )
    return Finding(limit=limit, value=float(len(met)), where=_listed(met))


def _listed(touches: Sequence[Touch]) -> str:
    more = len(touches) - MOST_SHOWN
    shown = "; ".join(one.words for one in touches[:MOST_SHOWN])
    return shown + (f"; and {more} more" if more > 0 else "")
