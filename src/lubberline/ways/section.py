"""The vertical cut along a path: ground, and every volume that stands over or under the track.

For drawing and for reading heights off: sampled, not exact. What is clear is decided by the
checker alone.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray
from lubberline.earth import LocalPlane, Terrain
from lubberline.places import Height, Volume, distance_nm

SAMPLE_NM: Final = 0.1


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Cut:
    """One stretch of track inside a volume's footprint, with its floor and ceiling there."""

    volume: Volume
    along_nm: FloatArray
    floor_msl_ft: FloatArray
    ceiling_msl_ft: FloatArray


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Section:
    """Columns of shape (n,) along the track; ``ground_msl_ft`` is NaN where not known."""

    along_nm: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    path_msl_ft: FloatArray
    ground_msl_ft: FloatArray
    cuts: tuple[Cut, ...]


def cut_along(
    path: FloatArray, volumes: tuple[Volume, ...], terrain: Terrain, *, beside_nm: float = 0.0
) -> Section:
    """The section of a path of shape (m, 4): latitude, longitude, height [ft MSL], minutes.

    The track is straight between rows in a plane centered on its middle row. With ``beside_nm``
    a cut is as long as the track is so near to the volume, or nearer than the volume's own margin.
    """
    middle = path[len(path) // 2]
    plane = LocalPlane(float(middle[0]), float(middle[1]))
    east_nm, north_nm = plane.to_plane_nm(path[:, 0], path[:, 1])
    corners_nm = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(east_nm), np.diff(north_nm)))])
    count = max(2, int(np.ceil(corners_nm[-1] / SAMPLE_NM)) + 1)
    along_nm = np.union1d(np.linspace(0.0, corners_nm[-1], count), corners_nm)
    at_east_nm = np.interp(along_nm, corners_nm, east_nm)
    at_north_nm = np.interp(along_nm, corners_nm, north_nm)
    lat_deg, lon_deg = plane.to_degrees(at_east_nm, at_north_nm)
    ground_ft = terrain.ground_ft(lat_deg, lon_deg)
    cuts: list[Cut] = []
    for volume in volumes:
        own_nm = volume.lateral_margin_nm
        reach_nm = beside_nm if not beside_nm or own_nm is None else own_nm
        inside = distance_nm(volume.footprint, plane, at_east_nm, at_north_nm) <= reach_nm
        floor_ft = _level_ft(volume.floor, ground_ft)
        ceiling_ft = _level_ft(volume.ceiling, ground_ft)
        for run in _runs(inside):
            cuts.append(
                Cut(
                    volume=volume,
                    along_nm=along_nm[run],
                    floor_msl_ft=floor_ft[run],
                    ceiling_msl_ft=ceiling_ft[run],
                )
            )
    return Section(
        along_nm=along_nm,
        lat_deg=lat_deg,
        lon_deg=lon_deg,
        path_msl_ft=np.interp(along_nm, corners_nm, path[:, 2]),
        ground_msl_ft=ground_ft,
        cuts=tuple(cuts),
    )


def _level_ft(height: Height, ground_ft: FloatArray) -> FloatArray:
    """A floor or ceiling above mean sea level; over unknown ground an AGL height is NaN."""
    if height.reference == "MSL":
        return np.full_like(ground_ft, height.ft)
    if height.reference == "SFC":
        return np.nan_to_num(ground_ft, nan=0.0)
    return ground_ft + height.ft


def _runs(inside: BoolArray) -> list[slice]:
    """Stretches of two or more samples that are inside."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], inside, [False]]).astype(np.int8)))
    pairs = zip(edges[::2], edges[1::2], strict=True)
    return [slice(int(start), int(stop)) for start, stop in pairs if stop - start > 1]
