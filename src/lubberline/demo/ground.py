"""Invented flights on the ground: taxi, hold, take-off roll, landing roll, parking."""

from collections.abc import Sequence
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.demo.line_on_map import MapLine, Spot, rounded_line
from lubberline.demo.truth import Stretch
from lubberline.units import KT_PER_MPS, S_PER_H

TAXI_KT: Final = 12.0
TAXI_MPS2: Final = 0.6
TAXI_TURN_NM: Final = 0.01  # 60 ft
GRID_NM: Final = 0.002
GRID_S: Final = 0.25


def taxied(corners: Sequence[Spot], *, msl_ft: float) -> Stretch:
    """From standing to standing along corners at taxi speed."""
    line = _taxi_line(corners)
    return _driven(line, (0.0, TAXI_KT, 0.0), (TAXI_MPS2, TAXI_MPS2), msl_ft=msl_ft)


def rolled_out(
    corners: Sequence[Spot], *, msl_ft: float, touchdown_kt: float, mps2: float
) -> Stretch:
    """From the touchdown at a ground speed, braking to taxi speed, along corners to the stand."""
    line = _taxi_line(corners)
    return _driven(line, (touchdown_kt, TAXI_KT, 0.0), (mps2, TAXI_MPS2), msl_ft=msl_ft)


def took_off(corners: Sequence[Spot], *, msl_ft: float, liftoff_kt: float) -> Stretch:
    """From standing evenly up to the ground speed of lift-off at the second of two corners."""
    line = _taxi_line(corners)
    length_s = 2.0 * line.along_nm[-1] / liftoff_kt * S_PER_H
    time_s = np.linspace(0.0, length_s, round(length_s / GRID_S) + 1)
    return _along(line, time_s, liftoff_kt * time_s / length_s, msl_ft=msl_ft)


def parked(beside: Stretch, index: int, *, length_s: float) -> Stretch:
    """Standing still where another stretch begins (index 0) or ends (index -1)."""
    names = ("east_nm", "north_nm", "msl_ft", "heading_true_deg")
    stand = {name: np.repeat(getattr(beside, name)[index], 2) for name in names}
    return Stretch(time_s=np.array([0.0, length_s]), tas_kt=np.zeros(2), **stand)


def _taxi_line(corners: Sequence[Spot]) -> MapLine:
    radii_nm = [TAXI_TURN_NM] * (len(corners) - 2)
    return rounded_line(corners, radii_nm, step_nm=GRID_NM)


def _driven(
    line: MapLine,
    speeds_kt: tuple[float, float, float],
    rates_mps2: tuple[float, float],
    *,
    msl_ft: float,
) -> Stretch:
    """Along a line from a first speed evenly to a second, held, then evenly to a third."""
    knots_kt = np.array([speeds_kt[0], speeds_kt[1], speeds_kt[1], speeds_kt[2]])
    change_s = np.abs(np.diff(knots_kt)[[0, 2]]) / KT_PER_MPS / np.array(rates_mps2)
    means_kt = (knots_kt[:-1] + knots_kt[1:]) / 2.0
    held_nm = line.along_nm[-1] - (means_kt[[0, 2]] * change_s).sum() / S_PER_H
    held_s = held_nm / means_kt[1] * S_PER_H
    knots_s = np.cumsum([0.0, change_s[0], held_s, change_s[1]])
    time_s = np.union1d(np.arange(0.0, knots_s[-1], GRID_S), knots_s)
    return _along(line, time_s, np.interp(time_s, knots_s, knots_kt), msl_ft=msl_ft)


def _along(line: MapLine, time_s: FloatArray, ground_kt: FloatArray, *, msl_ft: float) -> Stretch:
    """Rows of a drive along a line, speed linear between them."""
    steps_nm = (ground_kt[:-1] + ground_kt[1:]) / 2.0 * np.diff(time_s) / S_PER_H
    gone_nm = np.concatenate([[0.0], np.cumsum(steps_nm)])
    gone_nm *= line.along_nm[-1] / gone_nm[-1]  # rounding: end exactly at the end of the line
    heading_rad = np.unwrap(np.radians(line.course_true_deg))
    heading_deg = np.degrees(np.interp(gone_nm, line.along_nm, heading_rad))
    return Stretch(
        time_s=time_s,
        east_nm=np.interp(gone_nm, line.along_nm, line.east_nm),
        north_nm=np.interp(gone_nm, line.along_nm, line.north_nm),
        msl_ft=np.full(time_s.shape, msl_ft),
        tas_kt=ground_kt,
        heading_true_deg=np.mod(heading_deg, 360.0),
    )
