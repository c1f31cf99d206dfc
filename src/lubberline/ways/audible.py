"""Where a station on the ground is first heard: line of sight over the ground that lies between.

Radio waves bend round the earth as if it were a third larger, so that a height of h feet sees
1.23 times the root of h nautical miles far. The same bulge of the earth, and the ground on it,
must not reach the straight line between the two antennas. How strong a station is, hills that
bend waves and antennas in the airplane's own shadow are not looked at. Where an antenna stands
is not published: it is taken to stand low on its field.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.arrays import BoolArray, FloatArray, wrap_180_deg
from lubberline.earth import Terrain
from lubberline.ways.along import Along
from lubberline.ways.model import Spot

NM_PER_ROOT_FT: Final = 1.23  # radius of the earth times 4/3: [ITU-P834]_
ANTENNA_AGL_FT: Final = 30.0  # own: a low mast
ENDS_NM: Final = 1.0  # own: ground nearer to either antenna is its own field's
APART_NM: Final = 0.5  # own: ground between is looked up so often
_NODES: Final = 9  # between them degrees are as good as straight


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """An antenna on the ground: its place and the height of its field."""

    lat_deg: float
    lon_deg: float
    elev_msl_ft: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Audible:
    """From where a station is heard: ``from_spot`` None is never; None ground is not known.

    ``away_nm`` is the distance from the station there. ``lost_min`` are minutes after that
    without it, ``over_known_ground`` False where terrain data lack between.
    """

    from_spot: Spot | None
    away_nm: float | None
    lost_min: float
    over_known_ground: bool


def radio_horizon_nm(height_ft: ArrayLike) -> FloatArray:
    """How far an antenna sees over smooth ground.

    Parameters
    ----------
    height_ft : array_like, shape S
        Height above that ground [ft]; below it, nothing is seen.

    Returns
    -------
    ndarray, shape S
        Distance [NM].

    References
    ----------
    [ITU-P834]_, effective radius of the earth: the root of 2 (4/3 R) h.

    Examples
    --------
    >>> round(float(radio_horizon_nm(5000.0)))
    87
    """
    return NM_PER_ROOT_FT * np.sqrt(np.maximum(np.asarray(height_ft, dtype=np.float64), 0.0))


@lru_cache(maxsize=64)  # a way asks for the same few stations again and again
def in_sight(along: Along, station: Station, terrain: Terrain) -> tuple[BoolArray, BoolArray]:
    """Where along a way a station is in line of sight, and where the ground between is known."""
    top_ft = station.elev_msl_ft + ANTENNA_AGL_FT
    east_nm, north_nm = along.plane.to_plane_nm(station.lat_deg, station.lon_deg)
    away_nm = along.away_nm(station.lat_deg, station.lon_deg)[:, None]
    share_ratio = np.linspace(0.0, 1.0, int(np.ceil(away_nm.max() / APART_NM)) + 2)
    ground_ft = terrain.ground_ft(
        *_between_deg(along, float(east_nm), float(north_nm), share_ratio)
    )
    gone_nm, left_nm = share_ratio * away_nm, (1.0 - share_ratio) * away_nm
    line_ft = along.msl_ft[:, None] + share_ratio * (top_ft - along.msl_ft[:, None])
    line_ft -= gone_nm * left_nm / NM_PER_ROOT_FT**2
    at_ends = (gone_nm < ENDS_NM) | (left_nm < ENDS_NM)
    hidden = ~at_ends & (np.nan_to_num(ground_ft, nan=0.0) > line_ft)
    known = at_ends | ~np.isnan(ground_ft)
    return np.asarray(~hidden.any(axis=1)), np.asarray(known.all(axis=1))


def _between_deg(
    along: Along, east_nm: float, north_nm: float, share_ratio: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Places on the lines from each sample to a station, (n, shares)."""
    nodes = np.linspace(0.0, 1.0, _NODES)
    lat_deg, lon_deg = along.plane.to_degrees(
        along.east_nm[:, None] + nodes * (east_nm - along.east_nm[:, None]),
        along.north_nm[:, None] + nodes * (north_nm - along.north_nm[:, None]),
    )
    lon_deg = lon_deg[0, 0] + wrap_180_deg(lon_deg - lon_deg[0, 0])
    first = np.minimum((share_ratio * (_NODES - 1)).astype(np.int64), _NODES - 2)
    part = share_ratio * (_NODES - 1) - first
    return (
        lat_deg[:, first] * (1.0 - part) + lat_deg[:, first + 1] * part,
        lon_deg[:, first] * (1.0 - part) + lon_deg[:, first + 1] * part,
    )


def audible_from(along: Along, station: Station, terrain: Terrain) -> Audible:
    """From where on a station is heard, and for how long it is lost again."""
    seen, known = in_sight(along, station, terrain)
    if not seen.any():
        return Audible(
            from_spot=None, away_nm=None, lost_min=0.0, over_known_ground=bool(known.all())
        )
    first = int(np.argmax(seen))
    steps_min = np.diff(along.after_min, append=along.after_min[-1])
    return Audible(
        from_spot=along.spot(float(along.after_min[first])),
        away_nm=float(along.away_nm(station.lat_deg, station.lon_deg)[first]),
        lost_min=float(steps_min[first:][~seen[first:]].sum()),
        over_known_ground=bool(known.all()),
    )
