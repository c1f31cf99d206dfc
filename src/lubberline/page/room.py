"""The room of a way as a picture shows it: the heights to keep in steps, and what lies behind them.

The steps are the stretches that terminal and card tell. Behind them are the margins as an area:
what is within the margin above, below or beside a volume that the way may not enter, and the height
above ground that is asked for, which falls to nothing at the two fields. Sampled, for drawing only.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.ways import (
    Cut,
    Section,
    Stretch,
    Way,
    WaysProblem,
    cut_along,
    is_permitted,
    least_over_ground_ft,
    stretches,
)

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

SCRATCH_NM: Final = 0.25  # own: a margin touched for less is no area


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Room:
    """The stretches of a way, and the margins as an area of distance and height."""

    stretches: tuple[Stretch, ...]
    margins: "BaseGeometry"


def room_of(problem: WaysProblem, way: Way, section: Section) -> Room:
    """The room of one way with its own permissions."""
    import shapely

    closed = tuple(v for v in problem.volumes if not is_permitted(v, way.permissions))
    closed_ids, room_ft = {v.id for v in closed}, problem.margins.vertical_ft
    near = cut_along(way.path, closed, problem.terrain, beside_nm=problem.margins.lateral_nm).cuts
    around = [_block(cut, room_ft) for cut in near if np.ptp(cut.along_nm) > SCRATCH_NM]
    least_ft = least_over_ground_ft(problem, section.lat_deg, section.lon_deg)
    around.append(_band(section.along_nm, section.ground_msl_ft, least_ft))
    inside = [_block(cut, 0.0) for cut in section.cuts if cut.volume.id in closed_ids]
    return Room(
        stretches=stretches(problem, way),
        margins=shapely.difference(shapely.union_all(around), shapely.union_all(inside)),
    )


def _block(cut: Cut, room_ft: float) -> "BaseGeometry":
    """A cut as an area, this much higher and lower."""
    return _band(cut.along_nm, cut.floor_msl_ft - room_ft, cut.ceiling_msl_ft + room_ft)


def _band(along_nm: FloatArray, low_ft: FloatArray, high_ft: FloatArray) -> "BaseGeometry":
    """What lies between two lines of heights; nothing where they are not all known."""
    import shapely

    if not np.isfinite(low_ft + high_ft).all() or not (high_ft > low_ft).any():
        return shapely.Polygon()
    low, high = (np.column_stack([along_nm, ft]) for ft in (low_ft, high_ft))
    return shapely.make_valid(shapely.Polygon(np.vstack([low, high[::-1]])))
