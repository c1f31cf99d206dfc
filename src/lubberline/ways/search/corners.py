"""Places to turn at round volumes: corners of outlines drawn round their margins.

Every outline lies outside the margin: an arc is replaced by tangents to it, which meet at the
corners. More corners are a closer fit.
"""

from dataclasses import dataclass
from math import cos, pi

import numpy as np

from lubberline.arrays import FloatArray

SPARE_NM = 0.004  # own: lines along an outline stay so far clear of the margin


@dataclass(frozen=True, slots=True, kw_only=True)
class Fineness:
    """How many corners stand for a circle, and how far one corner of a polygon turns."""

    round_count: int
    step_rad: float


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Corners:
    """Corners (n, 2), the outline's directions before and after each as places (n, 4)."""

    place_nm: FloatArray
    beside_nm: FloatArray


def round_corners(east_nm: float, north_nm: float, radius_nm: float, *, count: int) -> Corners:
    """Corners of tangents round a circle that already has its margin."""
    turn_rad = 2.0 * pi * np.arange(count) / count
    reach_nm = (radius_nm + SPARE_NM) / cos(pi / count)
    place_nm = np.column_stack(
        [east_nm + reach_nm * np.cos(turn_rad), north_nm + reach_nm * np.sin(turn_rad)]
    )
    return _beside(place_nm, turn_rad + pi / 2.0 - pi / count, turn_rad + pi / 2.0 + pi / count)


def ring_corners(ring_nm: FloatArray, margin_nm: float, *, step_rad: float) -> Corners:
    """Corners round the outward corners of a ring that has the volume on its left."""
    run = np.roll(ring_nm, -1, axis=0) - ring_nm
    heading_rad = np.arctan2(run[:, 1], run[:, 0])
    into_rad = np.roll(heading_rad, 1)
    turn_rad = np.mod(heading_rad - into_rad + pi, 2.0 * pi) - pi
    outward = np.flatnonzero(turn_rad > 1e-6)
    counts = np.maximum(np.ceil(turn_rad[outward] / step_rad), 1.0).astype(np.int64)
    corner, part_rad = np.repeat(outward, counts), np.repeat(turn_rad[outward] / counts, counts)
    place = np.arange(corner.size) - np.repeat(np.cumsum(counts) - counts, counts)
    start_rad = into_rad[corner] + place * part_rad
    out_rad = start_rad + part_rad / 2.0 - pi / 2.0
    reach_nm = (margin_nm + SPARE_NM) / np.cos(part_rad / 2.0)
    away_nm = reach_nm[:, None] * np.column_stack([np.cos(out_rad), np.sin(out_rad)])
    return _beside(ring_nm[corner] + away_nm, start_rad, start_rad + part_rad)


def _beside(place_nm: FloatArray, before_rad: FloatArray, after_rad: FloatArray) -> Corners:
    back = np.column_stack([np.cos(before_rad), np.sin(before_rad)])
    onward = np.column_stack([np.cos(after_rad), np.sin(after_rad)])
    return Corners(
        place_nm=place_nm, beside_nm=np.concatenate([place_nm - back, place_nm + onward], axis=1)
    )
