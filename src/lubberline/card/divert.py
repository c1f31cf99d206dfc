"""Where else to land, from two points of the way: course, distance, time and fuel."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from math import ceil, floor, isfinite
from typing import Final

from lubberline.card.ahead import Track
from lubberline.earth import course_and_distance, variation_deg
from lubberline.fit import Direct, direct_of, times_utc
from lubberline.flight import Plan
from lubberline.places import Aerodrome
from lubberline.ways import Way
from lubberline.wording import direction_text

MOST_COUNT: Final = 2  # own: fields on the card


@dataclass(frozen=True, slots=True, kw_only=True)
class DivertRow:
    """One field from one point; times and fuel are "?" where the tables have no answer."""

    start: str
    field: str
    course: str
    distance: str
    minutes: str
    needs: str


def divert_rows(plan: Plan, way: Way, *, weight_lb: float) -> Iterator[DivertRow]:
    """Every divert field from half of the way and from overhead the destination.

    The fields are the flight's alternates, else the two nearest to the destination. Flown at
    normal cruise in the wind forecast; rounded up, with the pattern there.
    """
    direct = direct_of(plan, way, weight_lb=weight_lb)
    known = direct if isinstance(direct, Direct) else None
    track, takeoff_utc = Track(way), times_utc(plan, way)[0]
    starts = {"halfway": track.halfway_min, f"over {plan.destination.id}": float(way.path[-1, 3])}
    for start, after_min in starts.items():
        for to in _fields(plan):
            yield _row(track.degrees(after_min), to, known, start=start, when_utc=takeoff_utc)


def _fields(plan: Plan) -> tuple[Aerodrome, ...]:
    if plan.alternates:
        return plan.alternates[:MOST_COUNT]
    end = plan.destination
    others = [one for one in plan.places.aerodromes.values() if one.runways and one.id != end.id]

    def away_nm(one: Aerodrome) -> float:
        return float(course_and_distance(end.lat_deg, end.lon_deg, one.lat_deg, one.lon_deg)[1])

    return tuple(sorted(others, key=away_nm)[:MOST_COUNT])


def _row(
    place_deg: tuple[float, float],
    to: Aerodrome,
    direct: Direct | None,
    *,
    start: str,
    when_utc: datetime,
) -> DivertRow:
    course_deg, away_nm = course_and_distance(*place_deg, to.lat_deg, to.lon_deg)
    variation = float(variation_deg(*place_deg, 0.0, when_utc))
    minutes = gal = "?"
    if direct is not None and isfinite(air_min := float(direct.air_min(*place_deg, to))):
        minutes = f"{ceil(round(air_min + direct.pattern_min, 6))}"
        gal = f"{ceil(round(float(direct.fuel_gal(*place_deg, to)) * 10.0, 6)) / 10.0:.1f}"
    return DivertRow(
        start=start,
        field=to.id,
        course=direction_text(float(course_deg) - variation),
        distance=f"{floor(float(away_nm) * 10.0 + 0.5) / 10.0:.1f}",
        minutes=minutes,
        needs=gal,
    )
