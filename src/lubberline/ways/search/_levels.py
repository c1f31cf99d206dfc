"""Which layers may be flown level on a course (the hemispheric rule), in the plane."""

from typing import NamedTuple

import numpy as np

from lubberline.ways.search._compiled import leaf


class Levels(NamedTuple):
    """``east_bits`` and ``west_bits`` are the layers legal on magnetic courses 0 to 179 and on.

    A course is the direction in the plane plus ``turn_deg`` per mile east of the center, less
    the variation.
    """

    asked: bool
    east_bits: int
    west_bits: int
    turn_deg: float
    variation_deg: float


@leaf
def legal_bits(levels: Levels, unit_x: float, unit_y: float, middle_east_nm: float) -> int:
    """Bits of the layers legal on a course however high above the ground."""
    true_deg = np.degrees(np.arctan2(unit_x, unit_y)) + levels.turn_deg * middle_east_nm
    mag_deg = (true_deg - levels.variation_deg + 0.01) % 360.0
    return levels.east_bits if mag_deg < 180.0 else levels.west_bits
