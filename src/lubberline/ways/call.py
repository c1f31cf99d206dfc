"""One rung of the radio ladder, and what is needed to make one: who speaks, from where."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from lubberline.arrays import BoolArray
from lubberline.earth import course_and_distance
from lubberline.flight import Plan
from lubberline.places import Aerodrome, Places, VisualPoint
from lubberline.ways.along import Along, along_way
from lubberline.ways.audible import Audible, audible_from, in_sight
from lubberline.ways.demands import station_of
from lubberline.ways.model import Spot, Way
from lubberline.ways.spoken import spoken_call_sign, spoken_height, spoken_place

Moment = Literal["stand", "runway", "air", "landed"]
_Place: TypeAlias = Aerodrome | VisualPoint
_OVER_NM = 1.0  # own: nearer than this one is over a place


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """One rung. ``phrase`` "" is listening only; ``need`` is what must be had, "" nothing.

    ``where`` is in words; ``have_by`` is the last place at which the answer must be had, by the
    pilot's own margins where ``by_law`` is False. ``standby_mhz`` is what to set beside this
    frequency for the next rung, None after the last. ``heard`` is whether the station is in line
    of sight there, None where nobody knows where it stands. ``with_whom`` is who is still spoken
    to then, to be asked for the hand-off. ``group`` is the permission that the call asks for.
    """

    moment: Moment
    facility: str
    frequency_mhz: float | None
    asks: str
    phrase: str
    spot: Spot
    where: str
    need: str = ""
    by_law: bool = True
    have_by: Spot | None = None
    have_by_where: str = ""
    group: str = ""
    standby_mhz: float | None = None
    standby_facility: str = ""
    heard: bool | None = None
    with_whom: str = ""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Speaker:
    """The airplane along its way, as it speaks of itself."""

    plan: Plan
    along: Along
    sign: str

    @property
    def places(self) -> Places:
        """All that is known of the region."""
        return self.plan.places

    @property
    def end_min(self) -> float:
        """Minutes after take-off at the end of the way."""
        return float(self.along.after_min[-1])

    def at_field(self, field: Aerodrome, moment: Moment) -> tuple[Spot, str]:
        """Spot and words for a call on the ground."""
        words = {
            "stand": "on the stand",
            "runway": "at the runway",
            "landed": "clear of the runway",
        }
        spot = self.along.spot(self.end_min if moment == "landed" else 0.0)
        return spot, f"{words[moment]}, {field.id}"

    def position(self, after_min: float, place: _Place | None = None) -> str:
        """Position and height as said on the air, from a place or the nearest known one."""
        if after_min <= 0.0:
            return f"on the ground at {self.plan.departure.name}"
        spot = self.along.spot(after_min)
        near = place or min(self._known(), key=lambda one: _away_nm(one, spot))
        away_nm = _away_nm(near, spot)
        if away_nm < _OVER_NM:
            where = f"over {near.name}"
        else:
            toward_deg = course_and_distance(near.lat_deg, near.lon_deg, spot.lat_deg, spot.lon_deg)
            variation_deg = self.along.way.legs[0].true_deg - self.along.way.legs[0].mag_deg
            where = spoken_place(away_nm, float(toward_deg[0]) - variation_deg, near.name)
        return f"{where}, {spoken_height(spot.msl_ft)}"

    def hears(self, facility: str) -> Audible | None:
        """From where a facility is heard; None where nobody knows where it stands."""
        station = station_of(self.places, facility)
        return audible_from(self.along, station, self.plan.terrain) if station else None

    def heard_at(self, facility: str, after_min: float) -> bool | None:
        """Whether a facility is in line of sight at a moment; None where nobody knows."""
        seen = self._seen(facility)
        if seen is None:
            return None
        return bool(seen[min(int(np.searchsorted(self.along.after_min, after_min)), seen.size - 1)])

    def heard_from(self, facility: str, call_min: float, have_min: float) -> float:
        """The first moment between two at which a facility is heard; the first if it never is."""
        seen, after_min = self._seen(facility), self.along.after_min
        if seen is None or self.heard_at(facility, call_min):
            return call_min
        later = seen & (after_min >= call_min) & (after_min <= have_min)
        return float(after_min[int(np.argmax(later))]) if later.any() else call_min

    def heard_before(self, facility: str, at_min: float) -> float:
        """The last moment up to a given one at which a facility is heard; else the first after."""
        seen, after_min = self._seen(facility), self.along.after_min
        at_min = max(0.0, at_min)
        if seen is None or not seen.any():
            return at_min
        before = after_min[seen & (after_min <= at_min)]
        return float(before[-1]) if before.size else self.heard_from(facility, at_min, self.end_min)

    def _seen(self, facility: str) -> BoolArray | None:
        station = station_of(self.places, facility)
        return in_sight(self.along, station, self.plan.terrain)[0] if station else None

    def _known(self) -> list[_Place]:
        return [*self.places.points.values(), *self.places.aerodromes.values()]


def speaker(plan: Plan, way: Way) -> Speaker:
    """The airplane of a plan along one of its ways."""
    sign = spoken_call_sign(plan.aircraft)
    return Speaker(plan=plan, along=along_way(way, plan.terrain), sign=sign)


def _away_nm(place: _Place, spot: Spot) -> float:
    return float(course_and_distance(place.lat_deg, place.lon_deg, spot.lat_deg, spot.lon_deg)[1])
