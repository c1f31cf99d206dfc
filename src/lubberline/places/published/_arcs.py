"""Arcs of published edges: by angles, by two points, through three points; as corners of a ring.

The corners lie on the arc and so close together that the straight lines between them leave it by
``ERROR_M`` at most. Where the two ends of an arc lie unlike far from its center, the radius goes
evenly from one to the other, so that the edge has no gap; by how much is part of the error.
"""

from dataclasses import dataclass, replace
from math import acos, ceil, cos, degrees, hypot, isfinite, radians
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane, course_and_distance, destination_point
from lubberline.places.model import Circle
from lubberline.places.published._account import Unfit
from lubberline.units import M_PER_NM

ERROR_M: Final = 5.0  # own: half of the 10 m that are promised
ROUGHEST_DEG: Final = 15.0  # own: a small circle keeps its shape, too
LARGEST_NM: Final = 1_000.0  # own: a larger radius is a slip of the pen
MISMATCH_FRACTION: Final = 0.25  # own: with ends further apart it is no arc round that center
ROUND_DEG: Final = 360.0

Place = tuple[float, float]  # latitude, longitude [deg]


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """An arc: from a true direction at ``radius_nm``, clockwise where ``turn_deg`` is positive.

    ``until_nm`` is the radius at its end. ``ends_meet``: it begins and ends in one place, which
    may mean all round or nothing.
    """

    lat_deg: float
    lon_deg: float
    radius_nm: float
    until_nm: float
    from_true_deg: float
    turn_deg: float
    ends_meet: bool = False

    def __post_init__(self) -> None:
        """Hold the numbers to what an arc can be."""
        numbers = (self.radius_nm, self.until_nm, self.from_true_deg, self.turn_deg)
        if not all(map(isfinite, numbers)):
            raise Unfit("an arc without radius or direction")
        if not 0.0 < min(self.radius_nm, self.until_nm) <= LARGEST_NM:
            raise Unfit(f"an arc of radius {self.radius_nm:g} NM")
        if self.mismatch_nm > MISMATCH_FRACTION * self.radius_nm:
            raise Unfit(f"an arc with ends {self.radius_nm:.2f} and {self.until_nm:.2f} NM away")

    @property
    def mismatch_nm(self) -> float:
        """By how much its ends lie unlike far from its center."""
        return abs(self.until_nm - self.radius_nm)

    @property
    def is_round(self) -> bool:
        """Whether it is a whole circle."""
        return abs(self.turn_deg) >= ROUND_DEG

    def reversed(self) -> "Turn":
        """The same arc from its end to its beginning."""
        return replace(
            self,
            radius_nm=self.until_nm,
            until_nm=self.radius_nm,
            from_true_deg=(self.from_true_deg + self.turn_deg) % ROUND_DEG,
            turn_deg=-self.turn_deg,
        )

    def circle(self) -> Circle:
        """The circle it is part of."""
        return Circle(lat_deg=self.lat_deg, lon_deg=self.lon_deg, radius_nm=self.radius_nm)

    def corners_deg(self) -> tuple[FloatArray, float]:
        """Corners (m, 2) from its beginning to its end, and how far the arc leaves them [m]."""
        radius_m = max(self.radius_nm, self.until_nm) * M_PER_NM
        count = max(ceil(abs(self.turn_deg) / step_deg(max(self.radius_nm, self.until_nm))), 1)
        share = np.linspace(0.0, 1.0, count + 1)
        bearing_deg = (self.from_true_deg + share * self.turn_deg) % ROUND_DEG
        radius_nm = self.radius_nm + share * (self.until_nm - self.radius_nm)
        places = destination_point(self.lat_deg, self.lon_deg, bearing_deg, radius_nm)
        half_deg = abs(self.turn_deg) / count / 2.0
        error_m = radius_m * (1.0 - cos(radians(half_deg))) + self.mismatch_nm * M_PER_NM / 2
        return np.column_stack(places), error_m


def step_deg(radius_nm: float) -> float:
    """Between neighboring corners on an arc, so that it leaves their line by ``ERROR_M``."""
    cosine = max(1.0 - ERROR_M / (radius_nm * M_PER_NM), 0.0)
    return min(degrees(2.0 * acos(cosine)), ROUGHEST_DEG)


def whole_circle(center: Place, radius_nm: float) -> Turn:
    """All round a center, beginning in the north."""
    return turn_by_angles(center, radius_nm, (0.0, ROUND_DEG))


def turn_by_angles(
    center: Place, radius_nm: float, true_deg: tuple[float, float], *, clockwise: bool = True
) -> Turn:
    """From one true direction to another; equal ones are a whole turn."""
    start_deg, end_deg = true_deg
    if not (isfinite(start_deg) and isfinite(end_deg)):
        raise Unfit("an arc without directions")
    turn_deg = _turn_deg(start_deg, end_deg, clockwise=clockwise)
    lat_deg, lon_deg = _checked(center)
    return Turn(
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        radius_nm=radius_nm,
        until_nm=radius_nm,
        from_true_deg=start_deg % ROUND_DEG,
        turn_deg=turn_deg,
        ends_meet=start_deg == end_deg,
    )


def turn_by_points(center: Place, start: Place, end: Place, *, clockwise: bool = True) -> Turn:
    """From one place to another round a center; equal ones are a whole turn."""
    lat_deg, lon_deg = _checked(center)
    (start_deg, end_deg), (radius_nm, until_nm) = course_and_distance(
        lat_deg, lon_deg, *zip(_checked(start), _checked(end), strict=True)
    )
    if radius_nm == 0.0 or until_nm == 0.0:
        raise Unfit("an arc that begins or ends at its center")
    turn_deg = _turn_deg(float(start_deg), float(end_deg), clockwise=clockwise)
    return Turn(
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        radius_nm=float(radius_nm),
        until_nm=float(until_nm),
        from_true_deg=float(start_deg),
        turn_deg=turn_deg,
        ends_meet=start == end,
    )


def turn_through(start: Place, middle: Place, end: Place) -> Turn:
    """From one place over a second to a third; their circle is that of a local plane."""
    plane = LocalPlane(*_checked(middle))
    x_nm, y_nm = plane.to_plane_nm(*zip(_checked(start), _checked(end), strict=True))
    area = 2.0 * float(x_nm[0] * y_nm[1] - x_nm[1] * y_nm[0])
    square_nm2 = x_nm**2 + y_nm**2
    if abs(area) < 1e-9 * float(square_nm2.max()) or not square_nm2.min():
        raise Unfit("an arc through three places of one line")
    east_nm = float(square_nm2[0] * y_nm[1] - square_nm2[1] * y_nm[0]) / area
    north_nm = float(square_nm2[1] * x_nm[0] - square_nm2[0] * x_nm[1]) / area
    if hypot(east_nm, north_nm) > LARGEST_NM:
        raise Unfit("an arc that is nearly straight")
    center = plane.to_degrees(east_nm, north_nm)
    # Seen from the middle place, the end lies right of the start on a clockwise arc.
    return turn_by_points((float(center[0]), float(center[1])), start, end, clockwise=area > 0.0)


def _turn_deg(start_deg: float, end_deg: float, *, clockwise: bool) -> float:
    """How far to turn, more than nothing and at most once round."""
    turn_deg = (end_deg - start_deg if clockwise else start_deg - end_deg) % ROUND_DEG
    return (turn_deg or ROUND_DEG) * (1.0 if clockwise else -1.0)


def _checked(place: Place) -> Place:
    if not (abs(place[0]) <= 90.0 and abs(place[1]) <= 180.0):
        raise Unfit("a place that is not on earth")
    return place
