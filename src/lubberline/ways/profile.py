"""Heights along a ground track: climb, one cruising height, descent, pattern, field.

The climb begins at the departure and uses the airplane's rate; the descent uses its rate too
and is laid out backwards from the field: to pattern height, level there to a given distance
before the field, then up to the cruising height. Where climb and descent meet below that, the
top is lower. A difference of heights that the distance does not allow is circled away over the
departure when climbing, over the destination when descending.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, sqrt
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.errors import NoSolution, RangeError
from lubberline.units import MIN_PER_H
from lubberline.ways.motion import PIECE_FT, slope_rate_fpm, wind_toward_kt
from lubberline.ways.problem import WaysProblem
from lubberline.ways.track import Track

LEVEL_OFF_NM: Final = 5.0  # common practice, no source: at pattern height before the pattern
TOP: Final = "top of climb"
START_DOWN: Final = "start down"
PATTERN: Final = "pattern height"
LEAVE_PATTERN: Final = "leave pattern height"
_SAME_NM: Final = 1e-9  # rounding of a distance along a track
_SAME_FT: Final = 1e-6  # rounding of a height

_Row = tuple[float, float]  # distance along the track [NM], height [ft MSL]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Profile:
    """Heights along a track, linear between rows; columns of shape (m,), a name per row or ""."""

    along_nm: FloatArray
    msl_ft: FloatArray
    names: tuple[str, ...]


def lay_profile(
    problem: WaysProblem,
    track: Track,
    *,
    cruise_msl_ft: float,
) -> Profile:
    """The profile of one track at one cruising height.

    Parameters
    ----------
    problem, track
        Airplane, wind and ends; where the airplane goes.
    cruise_msl_ft : float
        Cruising height [ft MSL], above both aerodromes.

    Raises
    ------
    RangeError
        If the cruising height is not above both aerodromes.
    NoSolution
        If the wind along the track is stronger than the airplane in climb or descent.
    """
    start_ft, field_ft = problem.departure.elev_msl_ft, problem.destination.elev_msl_ft
    check_cruise(cruise_msl_ft, start_ft, field_ft)
    walker = _Walker(problem=problem, track=track)
    climb = walker.walk((0.0, start_ft), cruise_msl_ft, onward=True)
    descent = _descent(walker, cruise_msl_ft)
    if _height_ft(descent, 0.0) < start_ft:  # no room for a level piece at pattern height
        descent = walker.walk((track.length_nm, field_ft), cruise_msl_ft, onward=False)[::-1]
    if _height_ft(descent, 0.0) < start_ft:
        down = walker.walk((0.0, start_ft), field_ft, onward=True)
        return _named(problem, track, [*down, (track.length_nm, field_ft)])
    if _height_ft(climb, track.length_nm) < field_ft:
        up = walker.walk((track.length_nm, field_ft), start_ft, onward=False)
        return _named(problem, track, [(0.0, start_ft), *up[::-1]])
    return _named(problem, track, _lower_of(climb, descent, track))


def check_cruise(cruise_msl_ft: float, start_msl_ft: float, field_msl_ft: float) -> None:
    """Raise RangeError for a cruising height that is not above both aerodromes."""
    if not cruise_msl_ft > max(start_msl_ft, field_msl_ft):
        raise RangeError(
            f"cruise_msl_ft is {cruise_msl_ft:g} ft; expected above both aerodromes,"
            f" which lie at {start_msl_ft:g} and {field_msl_ft:g} ft"
        )


def _descent(walker: "_Walker", cruise_msl_ft: float) -> list[_Row]:
    """Rows from the cruising height, or from the departure, down to the field."""
    field, length_nm = walker.problem.destination, walker.track.length_nm
    pattern_ft = min(field.elev_msl_ft + field.pattern_agl_ft, cruise_msl_ft)
    rows = walker.walk((length_nm, field.elev_msl_ft), pattern_ft, onward=False)
    if rows[-1][1] == pattern_ft:
        level_nm = max(length_nm - LEVEL_OFF_NM, 0.0)
        if level_nm < rows[-1][0]:
            rows.append((level_nm, pattern_ft))
        rows += walker.walk(rows[-1], cruise_msl_ft, onward=False)[1:]
    return rows[::-1]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Walker:
    """Goes up or down along the track at the airplane's rate, one piece of height at a time."""

    problem: WaysProblem
    track: Track

    def walk(self, start: _Row, to_ft: float, *, onward: bool) -> list[_Row]:
        """Rows from the start until the height is reached or the track ends.

        ``onward`` False goes backwards along the track: what the airplane flew before.
        """
        rows = [start]
        along_nm, from_ft = start
        count = ceil(abs(to_ft - from_ft) / PIECE_FT - _SAME_FT)
        for next_ft in np.linspace(from_ft, to_ft, count + 1)[1:]:
            while from_ft != next_ft:
                segment = self.track.segment_index(along_nm, onward=onward)
                if segment is None:
                    return rows
                along_nm, from_ft = self._step((along_nm, from_ft), next_ft, segment, onward)
                rows.append((along_nm, from_ft))
        return rows

    def _step(self, row: _Row, to_ft: float, segment: int, onward: bool) -> _Row:
        """The next row: the height reached, or the end of the segment on the way to it."""
        along_nm, from_ft = row
        corner_nm = float(self.track.along_nm[segment + 1 if onward else segment])
        room_nm = abs(corner_nm - along_nm)
        rise_ft, share = to_ft - from_ft, 1.0
        run_nm = self._run_nm(from_ft, rise_ft, segment, onward)
        if run_nm <= room_nm:
            return along_nm + (run_nm if onward else -run_nm), float(to_ft)
        # The run is almost proportional to the height: each round gains two digits.
        for _ in range(12):
            share *= room_nm / run_nm
            run_nm = self._run_nm(from_ft, share * rise_ft, segment, onward)
        return corner_nm, from_ft + share * rise_ft

    def _run_nm(self, from_ft: float, rise_ft: float, segment: int, onward: bool) -> float:
        """Distance over the ground in which the airplane changes its height by so much."""
        motion, middle_ft = self.problem.motion, from_ft + rise_ft / 2.0
        climbing = (rise_ft > 0.0) == onward
        tas_kt = motion.climb_tas_kt if climbing else motion.descent_tas_kt
        ground_kt = self._ground_kt(middle_ft, segment, tas_kt)
        rate_fpm = float(slope_rate_fpm(motion, middle_ft, climbing=climbing))
        return ground_kt / MIN_PER_H * abs(rise_ft) / rate_fpm

    def _ground_kt(self, msl_ft: float, segment: int, tas_kt: float) -> float:
        """Ground speed along a segment with the heading that holds it."""
        east_ratio, north_ratio = self.track.direction(segment)
        wind_east_kt, wind_north_kt = wind_toward_kt(self.problem.wind, msl_ft)
        tail_kt = float(wind_east_kt * east_ratio + wind_north_kt * north_ratio)
        cross_kt = float(wind_east_kt * north_ratio - wind_north_kt * east_ratio)
        held_kt = sqrt(tas_kt**2 - cross_kt**2) if abs(cross_kt) < tas_kt else 0.0
        if held_kt == 0.0 or tail_kt + held_kt <= 0.0:
            raise NoSolution(
                f"at {msl_ft:.0f} ft after {self.track.names[segment]} the wind has"
                f" {-tail_kt:.0f} kt against and {abs(cross_kt):.0f} kt across the track;"
                f" {tas_kt:.0f} kt of airspeed make no headway"
            )
        return tail_kt + held_kt


def _height_ft(rows: list[_Row], along_nm: float) -> float:
    """Height at a place; beyond the rows the nearest one holds."""
    along, height_ft = np.transpose(rows)
    return float(np.interp(along_nm, along, height_ft))


def _lower_of(climb: list[_Row], descent: list[_Row], track: Track) -> list[_Row]:
    """The lower of two profiles, with a row where they cross and at every corner."""
    (up_nm, up_ft), (down_nm, down_ft) = np.transpose(climb), np.transpose(descent)
    grid_nm = np.union1d(np.union1d(up_nm, down_nm), track.along_nm)
    above_ft = np.interp(grid_nm, up_nm, up_ft) - np.interp(grid_nm, down_nm, down_ft)
    cross = np.flatnonzero((above_ft[:-1] < 0.0) & (above_ft[1:] > 0.0))
    share = above_ft[cross] / (above_ft[cross] - above_ft[cross + 1])
    crossing_nm = grid_nm[cross] + share * (grid_nm[cross + 1] - grid_nm[cross])
    grid_nm = np.union1d(grid_nm, crossing_nm)
    grid_nm = grid_nm[np.concatenate([[True], np.diff(grid_nm) > _SAME_NM])]
    lower_ft = np.minimum(np.interp(grid_nm, up_nm, up_ft), np.interp(grid_nm, down_nm, down_ft))
    return list(zip(grid_nm.tolist(), lower_ft.tolist(), strict=True))


def _named(problem: WaysProblem, track: Track, rows: list[_Row]) -> Profile:
    along_nm, msl_ft = np.transpose(rows)
    names = [""] * len(rows)
    for row, name in _changes(problem, msl_ft):
        names[row] = name
    for corner_nm, name in zip(track.along_nm, track.names, strict=True):
        for place in np.flatnonzero(np.abs(along_nm - corner_nm) <= 2.0 * _SAME_NM):
            names[int(place)] = name
    if along_nm[1] <= _SAME_NM:
        names[1] = f"over {names[0]}"
    if along_nm[-2] >= track.length_nm - _SAME_NM:
        names[-2] = f"over {names[-1]}"
    return Profile(along_nm=along_nm, msl_ft=msl_ft, names=tuple(names))


def _changes(problem: WaysProblem, msl_ft: FloatArray) -> Iterator[tuple[int, str]]:
    """Rows where the profile changes from climb to level flight to descent, with their names."""
    top_ft = float(np.max(msl_ft))
    top = np.flatnonzero(msl_ft >= top_ft - _SAME_FT)
    yield int(top[-1]), START_DOWN
    yield int(top[0]), TOP
    field = problem.destination
    pattern_ft = field.elev_msl_ft + field.pattern_agl_ft
    level = top[-1] + np.flatnonzero(np.abs(msl_ft[top[-1] :] - pattern_ft) <= _SAME_FT)
    if pattern_ft < top_ft - _SAME_FT and level.size > 1:
        yield int(level[0]), PATTERN
        yield int(level[-1]), LEAVE_PATTERN
