"""Speeds over the ground by layer, and what climbing and descending take."""

from typing import NamedTuple

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.ways.search._compiled import compiled, leaf


class Air(NamedTuple):
    """Layers with their wind, and steps between them; (l,) and (l - 1,).

    Wind is where the air goes [NM/min]; speeds alike. ``up_min`` is the time that a step up
    takes at climbing speed, ``down_min`` alike; ``top`` is the last layer to be used.
    """

    layer_ft: FloatArray
    wind_nm: FloatArray
    step_wind_nm: FloatArray
    up_min: FloatArray
    down_min: FloatArray
    cruise_nm: float
    climb_nm: float
    descent_nm: float


@leaf
def over_ground(
    wind_nm: FloatArray, row: int, air_nm: float, unit_x: float, unit_y: float
) -> float:
    """Speed over the ground along a direction in one row of winds; 0 where no heading holds it."""
    tail = wind_nm[row, 0] * unit_x + wind_nm[row, 1] * unit_y
    cross = wind_nm[row, 0] * unit_y - wind_nm[row, 1] * unit_x
    held = air_nm * air_nm - cross * cross
    if held <= 0.0:
        return 0.0
    return float(max(tail + np.sqrt(held), 0.0))


@compiled
def level_speeds(air: Air, unit_x: float, unit_y: float) -> FloatArray:
    """Cruising speed over the ground in each layer."""
    out = np.empty(air.layer_ft.size)
    for layer in range(out.size):
        out[layer] = over_ground(air.wind_nm, layer, air.cruise_nm, unit_x, unit_y)
    return out


@compiled
def slope_table(air: Air, unit_x: float, unit_y: float) -> FloatArray:
    """Along a direction, from the lowest layer to each: (l, 4), all cumulative.

    Distance of a climb, distance of a descent over the same layers, and their times.
    """
    out = np.zeros((air.layer_ft.size, 4))
    for step in range(air.layer_ft.size - 1):
        up = over_ground(air.step_wind_nm, step, air.climb_nm, unit_x, unit_y) * air.up_min[step]
        down = (
            over_ground(air.step_wind_nm, step, air.descent_nm, unit_x, unit_y) * air.down_min[step]
        )
        out[step + 1, 0] = out[step, 0] + up
        out[step + 1, 1] = out[step, 1] + down
        out[step + 1, 2] = out[step, 2] + air.up_min[step]
        out[step + 1, 3] = out[step, 3] + air.down_min[step]
    return out


@compiled
def leg_tables(air: Air, units: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Both of the above for many directions, (legs, l) and (legs, l, 4)."""
    layers = air.layer_ft.size
    level, slope = np.empty((units.shape[0], layers)), np.empty((units.shape[0], layers, 4))
    for leg in range(units.shape[0]):
        level[leg] = level_speeds(air, units[leg, 0], units[leg, 1])
        slope[leg] = slope_table(air, units[leg, 0], units[leg, 1])
    return level, slope


@compiled
def vertical_costs(air: Air) -> FloatArray:
    """What a step up and a step down cost in time beside level flight, (l - 1, 2).

    Never less than nothing: descents faster than cruise would be sawn for ever.
    """
    out = np.empty((air.layer_ft.size - 1, 2))
    for step in range(air.layer_ft.size - 1):
        out[step, 0] = air.up_min[step] * max(1.0 - air.climb_nm / air.cruise_nm, 0.0)
        out[step, 1] = air.down_min[step] * max(1.0 - air.descent_nm / air.cruise_nm, 0.0)
    return out
