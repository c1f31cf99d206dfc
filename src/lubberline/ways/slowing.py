"""A path flown no faster than the law allows: time and fuel where 200 kt are the limit.

The path gets a row wherever the limit begins or ends, found to a tenth of a mile, and the legs
between are flown at no more than that. Fuel flow stays that of the phase, which is too much. The
search compares its ways by these times.
"""

from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray
from lubberline.ways.motion import Flown, fly
from lubberline.ways.problem import WaysProblem
from lubberline.ways.slow_airspace import SlowAirspace, most_tas_kt

APART_NM: Final = 0.1  # own: how closely the ends of a limit are found


def limit_places(
    problem: WaysProblem,
    slow: SlowAirspace,
    *,
    east_nm: FloatArray,
    north_nm: FloatArray,
    msl_ft: FloatArray,
) -> tuple[FloatArray, BoolArray]:
    """Rows with those where a limit begins or ends, and whether each leg between is limited.

    A row is told by its place among the old ones: 2.5 is halfway from row 2 to row 3.
    """
    steps_nm = np.hypot(np.diff(east_nm), np.diff(north_nm))
    ends = np.concatenate([[0.0], np.cumsum(np.maximum(np.ceil(steps_nm / APART_NM), 1.0))])
    place = np.interp(np.arange(ends[-1] + 1.0), ends, np.arange(ends.size))
    middle = (place[:-1] + place[1:]) / 2.0
    at_east_nm, at_north_nm, at_ft = (
        np.interp(middle, np.arange(ends.size), column) for column in (east_nm, north_nm, msl_ft)
    )
    ground_ft = problem.terrain.ground_ft(*problem.plane.to_degrees(at_east_nm, at_north_nm))
    limited = slow.holds(problem.plane, at_east_nm, at_north_nm, msl_ft=at_ft, ground_ft=ground_ft)
    kept = np.isin(place, np.arange(ends.size))
    kept[1:-1] |= limited[1:] != limited[:-1]
    return place[kept], limited[kept[:-1]]


def fly_within_limits(
    problem: WaysProblem,
    limited: BoolArray,
    *,
    east_nm: FloatArray,
    north_nm: FloatArray,
    msl_ft: FloatArray,
) -> Flown:
    """As ``fly``, with no more than 200 kt indicated on the legs that are limited."""
    slow_kt = most_tas_kt(np.minimum(msl_ft[:-1], msl_ft[1:]))  # the least of the leg
    return fly(
        problem.motion,
        problem.wind,
        east_nm=east_nm,
        north_nm=north_nm,
        msl_ft=msl_ft,
        most_tas_kt=np.where(limited, slow_kt, np.inf),
    )
