"""The way as it is flown: times, and a row for each leg with what should be left at its end."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import takewhile
from math import ceil, floor, isnan
from typing import Final

from lubberline.card.ahead import Track
from lubberline.card.rows import LegRow, Pair, short
from lubberline.fit import FuelPlan, Setting, times_utc, trip_gal
from lubberline.flight import Plan
from lubberline.units import FT_PER_NM
from lubberline.ways import Leg, Way
from lubberline.wording import direction_text

MINUTE: Final = timedelta(minutes=1)


def times(plan: Plan, way: Way) -> Iterator[Pair]:
    """The four moments of a flight, to be written beside what they became."""
    takeoff_utc, landing_utc, on_block_utc = times_utc(plan, way)
    rows = (
        ("off block", plan.flight.off_block_utc),
        ("take-off", takeoff_utc),
        ("landing", landing_utc),
        ("on block", on_block_utc),
    )
    for label, when_utc in rows:
        yield Pair(label=label, text=clock_text(when_utc))


def leg_rows(plan: Plan, way: Way, departure: Setting, fuel: FuelPlan) -> Iterator[LegRow]:
    """Take-off, each leg of the way, and the pattern, which no way contains."""
    least = {one.name: _up(one.least_gal) for one in fuel.points}
    over_utc = takeoff_utc = times_utc(plan, way)[0]
    track, left_gal = Track(way), sum(plan.flight.fuel_gal.values()) - plan.aircraft.taxi_gal
    heights_ft = _heights_ft(plan, way)
    yield LegRow(
        to=f"take-off {departure.name}",
        height=f"{departure.end.elev_msl_ft:,.0f}",
        over=clock_text(over_utc),
        fuel_left=_down(left_gal),
    )
    for leg, height_ft in zip(way.legs, heights_ft, strict=True):
        over_utc += timedelta(minutes=leg.time_min)
        left_gal -= leg.fuel_gal
        yield LegRow(
            to=short(leg.to_name),
            course="-" if leg.is_circling else direction_text(leg.mag_deg),
            heading="-" if leg.is_circling else direction_text(leg.heading_mag_deg),
            height=_height(leg, height_ft),
            distance=f"{leg.distance_nm:.1f}",
            ground_speed="-" if leg.is_circling else f"{leg.ground_kt:.0f}",
            minutes=f"{leg.time_min:.0f}",
            over=clock_text(over_utc),
            fuel_left=_down(left_gal),
            fuel_least=least.get(leg.to_name, ""),
            glide=_glide(plan, track, (over_utc - takeoff_utc) / MINUTE, height_ft),
        )
    pattern_min = plan.flight.pattern_min
    if pattern_min > 0.0:
        yield LegRow(
            to="turn-out, pattern",
            height=f"↓{plan.destination.elev_msl_ft:,.0f}",
            minutes=f"{pattern_min:.0f}",
            over=clock_text(over_utc + timedelta(minutes=pattern_min)),
            fuel_left=_down(left_gal - (trip_gal(plan, way) - way.fuel_gal)),
        )


def total(plan: Plan, way: Way) -> str:
    """Distance, time and fuel from take-off to landing."""
    minutes = ceil(round(way.time_min + plan.flight.pattern_min, 6))
    up_gal = ceil(round(trip_gal(plan, way) * 10.0, 6)) / 10.0
    return f"{way.distance_nm:.1f} NM, {minutes} min, {up_gal:.1f} gal from take-off to landing"


def clock_text(when_utc: datetime) -> str:
    """The nearest minute."""
    return f"{when_utc + timedelta(seconds=30):%H:%M}"


def _heights_ft(plan: Plan, way: Way) -> list[float]:
    """The height at the end of each leg; the way down ends at the pattern which follows it."""
    heights_ft = [leg.to_msl_ft for leg in way.legs]
    if plan.flight.pattern_min > 0.0:
        field = plan.destination
        pattern_ft = min(field.elev_msl_ft + field.pattern_agl_ft, way.cruise_msl_ft)
        down = takewhile(lambda leg: leg.phase == "descent", reversed(way.legs))
        first = len(heights_ft) - len(list(down))
        heights_ft[first:] = [max(one_ft, pattern_ft) for one_ft in heights_ft[first:]]
    return heights_ft


def _height(leg: Leg, end_ft: float) -> str:
    arrow = {"climb": "↑", "descent": "↓", "cruise": ""}[leg.phase]
    return f"{arrow}{round(end_ft, -1):,.0f}"


def _glide(plan: Plan, track: Track, after_min: float, height_ft: float) -> str:
    """Reach over the ground there, rounded down; over ground that is not known, to the sea."""
    ground_ft = float(plan.terrain.ground_ft(*track.degrees(after_min)))
    above_ft = height_ft - (0.0 if isnan(ground_ft) else ground_ft)
    reach_nm = max(above_ft, 0.0) * plan.aircraft.glide_ratio / FT_PER_NM
    return f"{floor(reach_nm * 10.0) / 10.0:.1f}"


def _up(amount_gal: float | None) -> str:
    return "" if amount_gal is None else f"{ceil(round(amount_gal * 10.0, 6)) / 10.0:.1f}"


def _down(amount_gal: float) -> str:
    return f"{floor(round(amount_gal * 10.0, 6)) / 10.0:.1f}"
