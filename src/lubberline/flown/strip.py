"""A runway as a line: how far along it and how far right of it things happen.

The runway is the published one; where none is known, the line is the place and direction of a
movement of the same recording, and nothing is said about a threshold or an end.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane
from lubberline.flown.even import EvenTrack
from lubberline.flown.model import Movement
from lubberline.flown.runways import BEYOND_FT, runway_under
from lubberline.places import Aerodrome, Places, Runway, RunwayEnd
from lubberline.units import FT_PER_NM

NO_RUNWAY = "the runway in places/: its ends, direction and width"


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A line from its zero in a direction; ``published`` says that zero is a landing threshold.

    ``slope_fraction`` is the rise along it. ``length_ft`` is the pavement beyond zero.
    """

    name: str
    lat_deg: float
    lon_deg: float
    true_deg: float
    published: bool = False
    elev_msl_ft: float = float("nan")
    slope_fraction: float = 0.0
    length_ft: float = float("nan")
    width_ft: float = float("nan")
    pattern_agl_ft: float = float("nan")

    @property
    def quarter_ft(self) -> float:
        """A quarter of the width in whole feet; 15 ft where the width is not known."""
        return float(np.floor(self.width_ft / 4.0)) if np.isfinite(self.width_ft) else 15.0

    def along_right_ft(
        self, lat_deg: ArrayLike, lon_deg: ArrayLike
    ) -> tuple[FloatArray, FloatArray]:
        """Feet past zero, and feet right of the line; NaN where its place is not known."""
        if not np.isfinite(self.lat_deg + self.lon_deg):
            nowhere = np.full(np.shape(lat_deg), np.nan)
            return nowhere, nowhere
        plane = LocalPlane(lat_deg=self.lat_deg, lon_deg=self.lon_deg)
        east_nm, north_nm = plane.to_plane_nm(lat_deg, lon_deg)
        course = np.radians(self.true_deg)
        along_nm = east_nm * np.sin(course) + north_nm * np.cos(course)
        right_nm = east_nm * np.cos(course) - north_nm * np.sin(course)
        return along_nm * FT_PER_NM, right_nm * FT_PER_NM


def strip_under(movement: Movement, places: Places, *, track_true_deg: float) -> Strip:
    """The published runway of a movement, else the line it moved along."""
    aerodrome = places.aerodromes.get(movement.aerodrome_id or "")
    published = _named(aerodrome, movement.runway)
    return published or Strip(
        name="no published runway",
        lat_deg=movement.lat_deg,
        lon_deg=movement.lon_deg,
        true_deg=track_true_deg,
    )


def rise_ft(even: EvenTrack, places: Places, at: int) -> FloatArray:
    """What the runway in use at a step rises to every step, shape (m,); 0 where none is published.

    A runway's plane goes on for 1,500 ft beyond its ends.
    """
    lat_deg, lon_deg = float(even.lat_deg[at]), float(even.lon_deg[at])
    aerodrome, end = runway_under(
        places, lat_deg, lon_deg, along_true_deg=float(even.track_true_deg[at])
    )
    strip = None if end is None else _named(aerodrome, end.name)
    if strip is None or strip.slope_fraction == 0.0:
        return np.zeros(len(even))
    along_ft, _ = strip.along_right_ft(even.lat_deg, even.lon_deg)
    return strip.slope_fraction * np.clip(along_ft, -BEYOND_FT, strip.length_ft + BEYOND_FT)


def _named(aerodrome: Aerodrome | None, name: str | None) -> Strip | None:
    """The runway of that name in its direction."""
    for runway, end in aerodrome.runway_ends() if aerodrome is not None else ():
        if end.name == name and aerodrome is not None:
            return published_strip(runway, end, aerodrome.id, aerodrome.pattern_agl_ft)
    return None


def published_strip(
    runway: Runway, end: RunwayEnd, aerodrome_id: str, pattern_agl_ft: float
) -> Strip:
    """A runway in one direction, from its landing threshold."""
    far = runway.ends[1] if end is runway.ends[0] else runway.ends[0]
    whole = Strip(name="", lat_deg=end.lat_deg, lon_deg=end.lon_deg, true_deg=end.true_deg)
    away = LocalPlane(lat_deg=end.lat_deg, lon_deg=end.lon_deg)
    threshold = away.to_degrees(
        end.displaced_ft / FT_PER_NM * np.sin(np.radians(whole.true_deg)),
        end.displaced_ft / FT_PER_NM * np.cos(np.radians(whole.true_deg)),
    )
    rise_ft = far.elev_msl_ft - end.elev_msl_ft
    slope_fraction = rise_ft / runway.length_ft if np.isfinite(rise_ft) else 0.0
    return Strip(
        name=f"{aerodrome_id} {end.name}",
        lat_deg=float(threshold[0]),
        lon_deg=float(threshold[1]),
        true_deg=end.true_deg,
        published=True,
        elev_msl_ft=end.elev_msl_ft + slope_fraction * end.displaced_ft,
        slope_fraction=slope_fraction,
        length_ft=runway.length_ft - end.displaced_ft,
        width_ft=runway.width_ft,
        pattern_agl_ft=pattern_agl_ft,
    )
