"""Lines on the flat map: corners rounded off as an airplane turns, and places beside a runway."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import acos, ceil, cos, hypot, radians, sin, tan
from typing import Final, Self

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane
from lubberline.places import RunwayEnd
from lubberline.units import FT_PER_NM

Spot = tuple[float, float]  # east and north [NM]

ARC_STEP_RAD: Final = 0.05
STRAIGHT_RAD: Final = 1e-3  # own: a lesser turn needs no arc
SHARE_FRACTION: Final = 0.48  # of a leg that one of its two turns may take up


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class MapLine:
    """Places in order along a line, shape (m,)."""

    east_nm: FloatArray
    north_nm: FloatArray

    @property
    def along_nm(self) -> FloatArray:
        """Distance along the line, from 0."""
        return along_nm(self.east_nm, self.north_nm)

    @property
    def course_true_deg(self) -> FloatArray:
        """Direction of the line at each place, 0 to 360."""
        course_rad = np.arctan2(np.gradient(self.east_nm), np.gradient(self.north_nm))
        return np.mod(np.degrees(course_rad), 360.0)

    def nearest_nm(self, spot: Spot) -> float:
        """How far along the line it comes nearest to a place."""
        away_nm = np.hypot(self.east_nm - spot[0], self.north_nm - spot[1])
        return float(self.along_nm[int(np.argmin(away_nm))])

    def beside(self, right_nm: FloatArray) -> Self:
        """The line moved to the right by so much at each place."""
        course_rad = np.radians(self.course_true_deg)
        return type(self)(
            east_nm=self.east_nm + np.cos(course_rad) * right_nm,
            north_nm=self.north_nm - np.sin(course_rad) * right_nm,
        )


def along_nm(east_nm: FloatArray, north_nm: FloatArray) -> FloatArray:
    """Distance from the first of some places along the others, shape (m,)."""
    return np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(east_nm), np.diff(north_nm)))])


def rounded_line(
    corners: Sequence[Spot], radii_nm: Sequence[float], *, step_nm: float, ease_nm: float = 0.0
) -> MapLine:
    """A line through corners, each rounded off by an arc; one radius for each inner corner.

    ``ease_nm`` is the distance over which the line bends into an arc, as an airplane rolls into
    a turn. The ends stay where they are.
    """
    places = [corners[0]]
    for before, at, after, radius_nm in zip(
        corners[:-2], corners[1:-1], corners[2:], radii_nm, strict=True
    ):
        places += _arc(before, at, after, radius_nm)
    places.append(corners[-1])
    east_nm, north_nm = np.transpose(places)
    corner_nm = along_nm(east_nm, north_nm)
    at_nm = np.linspace(0.0, corner_nm[-1], max(ceil(corner_nm[-1] / step_nm), 2) + 1)
    half_count = round(ease_nm / 2.0 / step_nm)
    return MapLine(
        east_nm=_eased(np.interp(at_nm, corner_nm, east_nm), half_count),
        north_nm=_eased(np.interp(at_nm, corner_nm, north_nm), half_count),
    )


def beside_runway(
    plane: LocalPlane, end: RunwayEnd, *, along_ft: float, right_ft: float = 0.0
) -> Spot:
    """A place so far along a runway from its end, and to the right of its centerline."""
    course_rad = radians(end.true_deg)
    ahead_nm, right_nm = along_ft / FT_PER_NM, right_ft / FT_PER_NM
    lat_deg, lon_deg = LocalPlane(end.lat_deg, end.lon_deg).to_degrees(
        sin(course_rad) * ahead_nm + cos(course_rad) * right_nm,
        cos(course_rad) * ahead_nm - sin(course_rad) * right_nm,
    )
    east_nm, north_nm = plane.to_plane_nm(lat_deg, lon_deg)
    return float(east_nm), float(north_nm)


def _arc(before: Spot, at: Spot, after: Spot, radius_nm: float) -> list[Spot]:
    """Places on the arc that rounds a corner off; the arc shrinks where the legs are short."""
    into_nm = hypot(at[0] - before[0], at[1] - before[1])
    out_nm = hypot(after[0] - at[0], after[1] - at[1])
    into = (at[0] - before[0]) / into_nm, (at[1] - before[1]) / into_nm
    out = (after[0] - at[0]) / out_nm, (after[1] - at[1]) / out_nm
    turn_rad = acos(max(-1.0, min(1.0, into[0] * out[0] + into[1] * out[1])))
    if turn_rad < STRAIGHT_RAD:
        return [at]
    cut_nm = min(radius_nm * tan(turn_rad / 2.0), SHARE_FRACTION * min(into_nm, out_nm))
    radius_nm = cut_nm / tan(turn_rad / 2.0)
    side = 1.0 if into[0] * out[1] - into[1] * out[0] > 0.0 else -1.0  # left, right
    start = at[0] - into[0] * cut_nm, at[1] - into[1] * cut_nm
    count = ceil(turn_rad / ARC_STEP_RAD)
    return [
        (
            start[0] + radius_nm * (sin(a) * into[0] - side * (1.0 - cos(a)) * into[1]),
            start[1] + radius_nm * (sin(a) * into[1] + side * (1.0 - cos(a)) * into[0]),
        )
        for a in np.linspace(0.0, turn_rad, count + 1).tolist()
    ]


def _eased(column: FloatArray, half_count: int) -> FloatArray:
    """A moving average that keeps the ends and the direction there."""
    if half_count < 1:
        return column
    padded = np.pad(column, half_count, "reflect", reflect_type="odd")
    count = 2 * half_count + 1
    return np.asarray(np.convolve(padded, np.ones(count) / count, "valid"))
