"""The ground track of an invented flight: off the runway, along the way, into the pattern.

After a take-off away from the way the airplane flies two sides of the pattern and meets the
way's first leg some miles out. At the other end it joins the published side of the pattern on
downwind at 45 degrees, or on base, or flies straight in.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, wrap_180_deg
from lubberline.demo.line_on_map import MapLine, Spot, beside_runway, rounded_line
from lubberline.demo.truth import Join
from lubberline.earth import LocalPlane
from lubberline.places import RunwayEnd
from lubberline.units import FT_PER_NM
from lubberline.ways import Way

STEP_NM: Final = 0.005
EASE_NM: Final = 0.14  # the airplane needs about 5 s to roll into a turn
WIDE_NM: Final = 0.9  # radius of a turn at cruising speed: about 2.5 deg/s
TIGHT_NM: Final = 0.5  # ... and in the pattern: about 3 deg/s
TURN_BACK_DEG: Final = 60.0  # own: beyond this the airplane flies a part of the pattern first
MEET_NM: Final = 10.0  # from the field, where it is on the way's first leg
AHEAD_FT, ASIDE_FT = 6_400.0, 6_600.0  # corners after take-off, from the lift-off
OFFSET_FT: Final = 6_000.0  # of the downwind from the runway
BASE_FT: Final = -6_300.0  # where base is flown, along the runway from its end
LONG_BASE_FT: Final = -8_500.0
SAME_COURSE_DEG: Final = 0.5  # the way's path has rows where it does not turn


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class AirTrack:
    """The track from lift-off to touchdown.

    Distances to go are from the touchdown: where the pattern is joined, and where the airplane
    leaves pattern height.
    """

    line: MapLine
    join_to_go_nm: float
    glide_to_go_nm: float

    @property
    def to_go_nm(self) -> FloatArray:
        """Distance from each place of the line to the touchdown, shape (m,)."""
        gone_nm = self.line.along_nm
        return np.asarray(gone_nm[-1] - gone_nm)


def air_track(
    way: Way,
    plane: LocalPlane,
    ends: tuple[RunwayEnd, RunwayEnd],
    *,
    liftoff: Spot,
    touchdown_ft: float,
    join: Join,
) -> AirTrack:
    """The track of a way between two runway ends; ``touchdown_ft`` is along the second."""
    out, into = ends
    turns = _turns(way, plane)
    leaving = _leaving(plane, out, liftoff, turns)
    joining = _joining(plane, into, join, touchdown_ft)
    middle = turns[1:-1]
    if hypot(middle[0][0] - turns[0][0], middle[0][1] - turns[0][1]) > MEET_NM + 2.0:
        middle = [_toward(turns[0], middle[0], MEET_NM), *middle]
    corners = [liftoff, *leaving, *middle, *joining]
    radii_nm = [TIGHT_NM] * len(leaving) + [WIDE_NM] * len(middle) + [TIGHT_NM] * len(joining)
    line = rounded_line(corners, radii_nm[:-1], step_nm=STEP_NM, ease_nm=EASE_NM)
    length_nm = float(line.along_nm[-1])
    abeam = beside_runway(plane, into, along_ft=into.displaced_ft, right_ft=_side(into) * OFFSET_FT)
    join_to_go_nm = length_nm - line.nearest_nm(joining[0])
    return AirTrack(
        line=line,
        join_to_go_nm=join_to_go_nm,
        glide_to_go_nm=length_nm - line.nearest_nm(abeam) if join == "downwind" else join_to_go_nm,
    )


def weaving(track: AirTrack, right_nm: FloatArray) -> AirTrack:
    """The same track, off to the right by so much at each place."""
    return AirTrack(
        line=track.line.beside(right_nm),
        join_to_go_nm=track.join_to_go_nm,
        glide_to_go_nm=track.glide_to_go_nm,
    )


def _turns(way: Way, plane: LocalPlane) -> list[Spot]:
    """The ends of the way and the places between at which it turns."""
    east_nm, north_nm = plane.to_plane_nm(way.path[:, 0], way.path[:, 1])
    course_deg = np.degrees(np.arctan2(np.diff(east_nm), np.diff(north_nm)))
    turning = np.abs(wrap_180_deg(np.diff(course_deg))) > SAME_COURSE_DEG
    rows = [0, *(np.flatnonzero(turning) + 1).tolist(), len(east_nm) - 1]
    return [(float(east_nm[row]), float(north_nm[row])) for row in rows]


def _leaving(plane: LocalPlane, end: RunwayEnd, liftoff: Spot, turns: Sequence[Spot]) -> list[Spot]:
    """Corners between the lift-off and the way: straight out, or two sides of the pattern."""
    start, first = turns[0], turns[1]
    course_deg = np.degrees(np.arctan2(first[0] - start[0], first[1] - start[1]))
    threshold = beside_runway(plane, end, along_ft=0.0)
    gone_ft = hypot(liftoff[0] - threshold[0], liftoff[1] - threshold[1]) * FT_PER_NM
    ahead = beside_runway(plane, end, along_ft=gone_ft + AHEAD_FT)
    if abs(float(wrap_180_deg(course_deg - end.true_deg))) <= TURN_BACK_DEG:
        return [ahead]
    right_ft = _side(end) * ASIDE_FT
    return [ahead, beside_runway(plane, end, along_ft=gone_ft + AHEAD_FT, right_ft=right_ft)]


def _joining(plane: LocalPlane, end: RunwayEnd, join: Join, touchdown_ft: float) -> list[Spot]:
    """Corners from the joining of the pattern to the touchdown, on the published side."""
    by_join: dict[Join, tuple[tuple[float, float], ...]] = {
        "downwind": (
            (13_000.0, OFFSET_FT + 7_000.0),
            (6_000.0, OFFSET_FT),
            (BASE_FT, OFFSET_FT),
            (BASE_FT, 0.0),
        ),
        "base": ((LONG_BASE_FT, 17_000.0), (LONG_BASE_FT, 0.0)),
        "final": ((-21_500.0, 0.0),),
    }
    places = (*by_join[join], (touchdown_ft, 0.0))
    return [
        beside_runway(plane, end, along_ft=along_ft, right_ft=_side(end) * beside_ft)
        for along_ft, beside_ft in places
    ]


def _side(end: RunwayEnd) -> float:
    """1 where the pattern lies to the right of the runway, -1 where it lies to the left."""
    return 1.0 if end.pattern_side == "right" else -1.0


def _toward(start: Spot, end: Spot, distance_nm: float) -> Spot:
    """The place so far from one place on the way to another."""
    share = distance_nm / hypot(end[0] - start[0], end[1] - start[1])
    return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])
