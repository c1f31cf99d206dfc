"""The room of a way: what it must stay under and over along its track, as a picture shows it.

Sampled, for drawing only. What is clear is decided by the checker alone. A volume that the way may
not enter closes its heights and the margin above and below them wherever the track is inside it
or within the margin beside it; the height above ground falls to nothing at the two fields.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.ways import Cut, Section, Way, WaysProblem, cut_along, is_permitted

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

STEP_FT: Final = 100.0  # own: least heights over ground are rounded up to this
STEPS_NM: Final = (1.0, 5.0)  # own: and hold for so far, the last where it can be
SCRATCH_NM: Final = 0.25  # own: a margin touched for less is no area
FORGIVEN_FT: Final = 25.0  # own: a path so near to an edge is still on its right side


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Room:
    """Columns of shape (n,) along a section, and the margins as an area of distance and height.

    ``not_above_ft`` is infinite where nothing is overhead, ``not_below_ft`` NaN where neither
    ground nor a volume below is known.
    """

    along_nm: FloatArray
    not_above_ft: FloatArray
    not_below_ft: FloatArray
    margins: "BaseGeometry"


def room_of(problem: WaysProblem, way: Way, section: Section) -> Room:
    """The room of one way with its own permissions."""
    closed = tuple(v for v in problem.volumes if not is_permitted(v, way.permissions))
    near = cut_along(way.path, closed, problem.terrain, beside_nm=problem.margins.lateral_nm)
    room_ft = problem.margins.vertical_ft
    above_ft = np.full_like(section.along_nm, np.inf)
    least_ft = _over_ground_ft(problem, section)
    below_ft = _stepped_ft(section, least_ft)
    for cut in near.cuts:
        rows = np.searchsorted(section.along_nm, cut.along_nm)
        path_ft = section.path_msl_ft[rows]
        low_ft, high_ft = cut.floor_msl_ft - room_ft, cut.ceiling_msl_ft + room_ft
        under, over = path_ft <= low_ft + FORGIVEN_FT, path_ft >= high_ft - FORGIVEN_FT
        above_ft[rows[under]] = np.minimum(above_ft[rows[under]], low_ft[under])
        below_ft[rows[over]] = np.fmax(below_ft[rows[over]], high_ft[over])
    return Room(
        along_nm=section.along_nm,
        not_above_ft=above_ft,
        not_below_ft=below_ft,
        margins=_margins(section, near.cuts, closed_ids={v.id for v in closed}, room_ft=room_ft),
    )


def _over_ground_ft(problem: WaysProblem, section: Section) -> FloatArray:
    """The least height over ground, as the check asks for it."""
    share = np.ones_like(section.along_nm)
    ground_ft = section.ground_msl_ft
    east_nm, north_nm = problem.plane.to_plane_nm(section.lat_deg, section.lon_deg)
    for end in (problem.departure, problem.destination):
        x_nm, y_nm = problem.plane.to_plane_nm(end.lat_deg, end.lon_deg)
        away = np.hypot(east_nm - x_nm, north_nm - y_nm) / problem.rules.aerodrome_radius_nm
        too_high_ft = problem.terrain.ground_ft(end.lat_deg, end.lon_deg) - end.elev_msl_ft
        ground_ft = ground_ft - np.maximum(1.0 - away, 0.0) * np.fmax(too_high_ft, 0.0)
        share = np.minimum(share, away)
    return np.asarray(ground_ft + problem.rules.min_agl_ft * share)


def _stepped_ft(section: Section, least_ft: FloatArray) -> FloatArray:
    """The same in steps, rounded up, except where a step would reach the path."""
    stepped_ft = least_ft.copy()
    for step_nm in STEPS_NM:
        cells = (section.along_nm / step_nm).astype(np.int64)
        for cell in np.unique(cells):
            rows = cells == cell
            step_ft = np.ceil(least_ft[rows].max() / STEP_FT) * STEP_FT
            if step_ft <= section.path_msl_ft[rows].min():  # never where the ground is not known
                stepped_ft[rows] = step_ft
    return stepped_ft


def _margins(
    section: Section, near: tuple[Cut, ...], *, closed_ids: set[str], room_ft: float
) -> "BaseGeometry":
    """What lies within the margins of the closed volumes and in none of them."""
    import shapely

    inside = [_block(cut, 0.0) for cut in section.cuts if cut.volume.id in closed_ids]
    around = [_block(cut, room_ft) for cut in near if np.ptp(cut.along_nm) > SCRATCH_NM]
    return shapely.difference(shapely.union_all(around), shapely.union_all(inside))


def _block(cut: Cut, room_ft: float) -> "BaseGeometry":
    """A cut as an area, this much higher and lower; nothing where its heights are not known."""
    import shapely

    low_ft, high_ft = cut.floor_msl_ft - room_ft, cut.ceiling_msl_ft + room_ft
    if not np.isfinite(low_ft + high_ft).all():
        return shapely.Polygon()
    low, high = (np.column_stack([cut.along_nm, ft]) for ft in (low_ft, high_ft))
    return shapely.make_valid(shapely.Polygon(np.vstack([low, high[::-1]])))
