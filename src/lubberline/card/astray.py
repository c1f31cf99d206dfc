"""If it goes wrong: where one can land from along the way, where else to go, and what to set.

Without a radio: [14CFR91.125]_ (light signals), [AIM4-2]_ 4-2-13 (how to join).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from math import ceil

import numpy as np

from lubberline.card.ahead import Track
from lubberline.card.legs import clock_text
from lubberline.card.rows import Pair, short
from lubberline.earth import course_and_distance, variation_deg
from lubberline.fit import FuelPlan, decision_words, times_utc
from lubberline.flight import Plan
from lubberline.places import Aerodrome, Radio
from lubberline.units import FT_PER_NM
from lubberline.ways import Way
from lubberline.wording import direction_text

EVERY_MIN = 5.0  # own: between two looks around
WORDS_SIGNS = 62  # own: beside its label on half a letter
MOST_ROWS_COUNT = 6  # own: on a long flight the looks lie further apart
_ANSWERS = ("tower", "ctaf", "approach")


@dataclass(frozen=True, slots=True, kw_only=True)
class NearRow:
    """The nearest field at a moment, how to get there, and whether a glide reaches it."""

    over: str
    before: str
    point: str
    field: str
    course: str
    distance: str
    frequency: str
    glide: str


def near_rows(plan: Plan, way: Way) -> Iterator[NearRow]:
    """The nearest field with a runway, at even times along the way.

    The glide is in still air, from the planned height to the field's: the manual's ratio, no
    wind, no turn.
    """
    fields = [one for one in plan.places.aerodromes.values() if one.runways]
    track, takeoff_utc = Track(way), times_utc(plan, way)[0]
    for at_min in _moments_min(way):
        lat_deg, lon_deg = track.degrees(at_min)
        one, course_true_deg, away_nm = _nearest(fields, lat_deg, lon_deg)
        above_ft = track.height_ft(at_min) - one.elev_msl_ft
        reach_nm = max(above_ft, 0.0) * plan.aircraft.glide_ratio / FT_PER_NM
        variation = float(variation_deg(lat_deg, lon_deg, 0.0, takeoff_utc))
        before, point = track.next_point(at_min)
        yield NearRow(
            over=clock_text(takeoff_utc + timedelta(minutes=at_min)),
            before=before,
            point=point,
            field=one.id,
            course=direction_text(course_true_deg - variation),
            distance=f"{away_nm:.1f}",
            frequency=_frequency(one),
            glide=_glide(away_nm - reach_nm),
        )


def elsewhere(plan: Plan, fuel: FuelPlan) -> Iterator[Pair]:
    """The last moments to turn back or divert, then what to set when the radio or more fails."""
    for one in fuel.decisions:
        label = "turn back" if one.turns_back else f"to {one.to_id}"
        yield Pair(label=label, text=short(decision_words(one), WORDS_SIGNS))
    yield Pair(
        label="no radio", text="7600; stay in sight of the ground; enter no airspace unasked"
    )
    if any(radio.use == "tower" for radio in plan.destination.radios):
        yield Pair(
            label="",
            text=f"{plan.destination.id}: outside or above till traffic is seen, then join",
        )
        yield Pair(label="light", text="green: steady land, flashing come back to land")
        yield Pair(label="", text="red: steady give way, flashing do not land; both: take care")
    yield Pair(label="in trouble", text="the frequency in use, else 121.500; 7700")


def _moments_min(way: Way) -> list[float]:
    end_min = float(way.path[-1, 3])
    count = min(MOST_ROWS_COUNT, max(1, ceil(end_min / EVERY_MIN) - 1))
    return [float(moment) for moment in np.linspace(0.0, end_min, count + 2)[1:-1]]


def _nearest(
    fields: list[Aerodrome], lat_deg: float, lon_deg: float
) -> tuple[Aerodrome, float, float]:
    lat, lon = np.array([one.lat_deg for one in fields]), np.array([one.lon_deg for one in fields])
    courses_deg, distances_nm = course_and_distance(lat_deg, lon_deg, lat, lon)
    best = int(np.argmin(distances_nm))
    return fields[best], float(courses_deg[best]), float(distances_nm[best])


def _glide(lacking_nm: float) -> str:
    """Whether a glide reaches; what lacks is rounded up."""
    return (
        "yes" if lacking_nm <= 0.0 else f"{ceil(round(lacking_nm * 10.0, 6)) / 10.0:.1f} NM short"
    )


def _frequency(aerodrome: Aerodrome) -> str:
    radios: list[Radio] = [
        radio for use in _ANSWERS for radio in aerodrome.radios if radio.use == use
    ]
    return f"{radios[0].frequency_mhz:.3f}" if radios else ""
