"""A recorded track made fit for a picture: broken at its gaps, laid along a way, not too fine."""

from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, IntArray
from lubberline.earth import LocalPlane
from lubberline.flown import FlownTrack

MOST_POINTS: Final = 4_000  # own: more cannot be told apart in a picture
FAR_NM: Final = 5.0  # own: beyond, a sample says nothing about a way
Run = tuple[FloatArray, FloatArray]


def thinned(segment_index: IntArray, *values: FloatArray) -> list[FloatArray]:
    """Columns with a break (NaN) at each gap, and not more samples than a picture can show."""
    every = max(1, -(-segment_index.size // MOST_POINTS))
    kept = slice(None, None, every)
    breaks = np.flatnonzero(np.diff(segment_index[kept])) + 1
    return [np.insert(column[kept].astype(float), breaks, np.nan) for column in values]


def flown_along(path: FloatArray, track: FlownTrack) -> Run:
    """Recorded heights against the distance along the planned path.

    Each sample stands at the nearest place of the path, whose first and last legs go on for five
    miles beyond their ends; samples farther than that from it are left out.
    """
    lat_deg, lon_deg, height_ft = thinned(
        track.segment_index, track.lat_deg, track.lon_deg, track.indicated_ft
    )
    along_nm = places_along(path, lat_deg, lon_deg)
    near = ~(np.isnan(along_nm) & np.isfinite(lat_deg))
    return along_nm[near], height_ft[near]


def places_along(path: FloatArray, lat_deg: FloatArray, lon_deg: FloatArray) -> FloatArray:
    """Distance along the planned path at the nearest place of it; NaN farther than five miles."""
    plane = plane_of(path)
    line = np.column_stack(plane.to_plane_nm(path[:, 0], path[:, 1]))
    here_nm = np.column_stack(plane.to_plane_nm(lat_deg, lon_deg))
    run_nm = np.diff(line, axis=0)
    legs = np.hypot(run_nm[:, 0], run_nm[:, 1]) > 1e-6
    if not legs.any():
        return np.full(lat_deg.shape, np.nan)
    along_nm, away_nm = _nearest(line[:-1][legs], run_nm[legs], here_nm)
    return np.where(away_nm > FAR_NM, np.nan, along_nm)


def _nearest(start_nm: FloatArray, run_nm: FloatArray, here_nm: FloatArray) -> Run:
    """Distance along the legs to the nearest place for each sample, and how far away it is."""
    length_nm = np.hypot(run_nm[:, 0], run_nm[:, 1])
    before_nm = np.concatenate([[0.0], np.cumsum(length_nm)[:-1]])
    least, most = np.zeros(len(run_nm)), np.ones(len(run_nm))
    least[0] -= FAR_NM / length_nm[0]
    most[-1] += FAR_NM / length_nm[-1]
    share = ((here_nm[:, None] - start_nm) * run_nm).sum(axis=2) / length_nm**2
    share = np.clip(share, least, most)
    off = here_nm[:, None] - (start_nm + share[..., None] * run_nm)
    away_nm = np.hypot(off[..., 0], off[..., 1])
    best = np.argmin(np.nan_to_num(away_nm, nan=np.inf), axis=1)
    rows = np.arange(len(here_nm))
    return before_nm[best] + share[rows, best] * length_nm[best], away_nm[rows, best]


def plane_of(path: FloatArray) -> LocalPlane:
    """The plane in which the section was cut."""
    middle = path[len(path) // 2]
    return LocalPlane(float(middle[0]), float(middle[1]))
