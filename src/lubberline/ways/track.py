"""A ground track in the problem's plane: straight segments between the pilot's points.

Distances along it count from the departure. A point that coincides with the one before makes
no segment and is left out; the aerodromes always stay.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.errors import NoSolution
from lubberline.ways.problem import WaysProblem

SAME_PLACE_NM: Final = 1e-6  # own: under two millimeters there is no direction


class Place(Protocol):
    """Anything with a name and a position."""

    @property
    def name(self) -> str:
        """What the place is called."""

    @property
    def lat_deg(self) -> float:
        """Latitude, north positive."""

    @property
    def lon_deg(self) -> float:
        """Longitude, east positive."""


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Track:
    """Corners of a track, columns of shape (k,), no two successive ones alike."""

    names: tuple[str, ...]
    east_nm: FloatArray
    north_nm: FloatArray
    along_nm: FloatArray

    @property
    def length_nm(self) -> float:
        """Distance along the whole track."""
        return float(self.along_nm[-1])

    def place_nm(self, along_nm: FloatArray) -> tuple[FloatArray, FloatArray]:
        """East and north of places along the track."""
        return (
            np.asarray(np.interp(along_nm, self.along_nm, self.east_nm)),
            np.asarray(np.interp(along_nm, self.along_nm, self.north_nm)),
        )

    def segment_index(self, along_nm: float, *, onward: bool) -> int | None:
        """The segment that lies ahead of (or behind) a place; None where the track ends."""
        ahead = np.searchsorted(self.along_nm, along_nm, side="right" if onward else "left")
        index = int(ahead) - 1
        return index if 0 <= index <= len(self.names) - 2 else None

    def direction(self, segment: int) -> tuple[float, float]:
        """East and north parts of the unit vector along a segment."""
        length_nm = self.along_nm[segment + 1] - self.along_nm[segment]
        east_ratio = (self.east_nm[segment + 1] - self.east_nm[segment]) / length_nm
        north_ratio = (self.north_nm[segment + 1] - self.north_nm[segment]) / length_nm
        return float(east_ratio), float(north_ratio)


def make_track(problem: WaysProblem, via: Sequence[Place]) -> Track:
    """The track from departure over the points to destination.

    Raises
    ------
    NoSolution
        If all of it is one place.
    """
    start, end = problem.departure, problem.destination
    names = [start.id, *(place.name for place in via), end.id]
    lat_deg = [start.lat_deg, *(place.lat_deg for place in via), end.lat_deg]
    lon_deg = [start.lon_deg, *(place.lon_deg for place in via), end.lon_deg]
    east_nm, north_nm = problem.plane.to_plane_nm(lat_deg, lon_deg)
    kept = [0]
    for place in range(1, len(names)):
        step_nm = np.hypot(east_nm[place] - east_nm[kept[-1]], north_nm[place] - north_nm[kept[-1]])
        if step_nm > SAME_PLACE_NM:
            kept.append(place)
    if len(kept) == 1:
        raise NoSolution(f"{start.id} and {end.id} are one place and no point lies between them")
    steps_nm = np.hypot(np.diff(east_nm[kept]), np.diff(north_nm[kept]))
    return Track(
        names=(*(names[place] for place in kept[:-1]), end.id),
        east_nm=east_nm[kept],
        north_nm=north_nm[kept],
        along_nm=np.concatenate([[0.0], np.cumsum(steps_nm)]),
    )
