"""The best way where the law limits the speed: through the places of the limit, or clear of them.

A search seeks tracks as if there were no limit. Where one costs time, the places of the limit that
hold neither field are closed for a second search, and the quicker of both ways counts.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import numpy as np

from lubberline.places import Circle, Footprint, Height, Volume, distance_nm
from lubberline.ways.model import Way
from lubberline.ways.problem import WaysProblem
from lubberline.ways.search.best import best_way
from lubberline.ways.search.scene import Prepared, prepare
from lubberline.ways.slow_airspace import FIELD_NM, OVER_FIELD_FT

_LIMIT: Final = "LIMIT"


def quickest_way(prepared: Prepared, permissions: frozenset[str]) -> Way | None:
    """As ``best_way``, by the times within the limits of speed."""
    way = best_way(prepared, permissions)
    shut = () if way is None else tuple(_places(prepared.problem))
    if way is None or not shut:
        return way
    problem = replace(prepared.problem, volumes=(*prepared.problem.volumes, *shut))
    clear = best_way(prepare(problem), permissions)
    if clear is None or clear.time_min >= way.time_min:
        return way
    encounters = tuple(one for one in clear.encounters if one.volume.id != _LIMIT)
    return replace(clear, encounters=encounters)


def _places(problem: WaysProblem) -> Iterator[Volume]:
    """Where the limit holds, away from the two fields, as closed airspace."""
    if problem.slow is None:
        return
    ends = (problem.departure, problem.destination)
    ends_nm = problem.plane.to_plane_nm(*np.transpose([(one.lat_deg, one.lon_deg) for one in ends]))
    under = [_closed(problem, one.footprint, one.floor) for one in problem.slow.bravo]
    near = [
        _closed(
            problem,
            Circle(lat_deg=one.lat_deg, lon_deg=one.lon_deg, radius_nm=FIELD_NM),
            Height(reference="MSL", ft=one.elev_msl_ft + OVER_FIELD_FT),
        )
        for one in problem.slow.fields
    ]
    for one in (*under, *near):
        if one.ceiling.ft > 0.0 and (distance_nm(one.footprint, problem.plane, *ends_nm) > 0).all():
            yield one


def _closed(problem: WaysProblem, footprint: Footprint, top: Height) -> Volume:
    """Closed from the ground up to a height, less the margin that is kept to airspace."""
    return Volume(
        id=_LIMIT,
        name="limit of speed",
        airspace_class="P",
        group="",
        facility="",
        floor=Height(reference="SFC", ft=0.0),
        ceiling=replace(top, ft=top.ft - problem.margins.vertical_ft),
        footprint=footprint,
        lateral_margin_nm=0.0,
    )
