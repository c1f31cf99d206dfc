"""What the pilot wants of found ways, as closed airspace that search and checker both know.

Each wish is a piece of sky that must not be entered: round a place, below a height away from the
two fields, beyond a distance from landing places, or beyond gliding reach of land. The last is
cut by height: what one cannot glide home from at a height is closed from the ground up to the
next. Outlines are laid on the inner side, so that a way which keeps them keeps the wish, and the
margin to airspace is taken off the ceilings, since it does not belong to a wish.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Final, TypeAlias

import numpy as np

from lubberline.errors import NoSolution
from lubberline.flight import Plan
from lubberline.places import Aerodrome, Circle, Footprint, Height, Polygon, VisualPoint, Volume
from lubberline.units import MIN_PER_H
from lubberline.ways.glide import drifted_reach
from lubberline.ways.motion import wind_toward_kt
from lubberline.ways.problem import WayEnd, WaysProblem

if TYPE_CHECKING:
    from shapely import Geometry

_Place: TypeAlias = WayEnd | Aerodrome | VisualPoint
WISH: Final = "wish"
TOP_FT: Final = 60_000.0
AROUND_NM: Final = 200.0  # own: a wish holds so far beyond the two fields: nobody goes round it
LAYER_FT: Final = 500.0  # own: the water is cut into layers of this height
FINE_NM: Final = 0.05  # own: an outline may be so far inside the exact one
FIELD_NM: Final = 3.0  # own: near the two fields no reach is asked for


def wishes(plan: Plan, problem: WaysProblem) -> tuple[Volume, ...]:
    """Airspace that stands for what the flight's search asks to keep out of.

    Raises
    ------
    NoSolution
        If land is asked for and no land is on file.
    """
    asked = plan.flight.search
    if asked is None:
        return ()
    volumes = [
        _closed(
            f"what the pilot avoids at {one.point.name}",
            Circle(lat_deg=one.point.lat_deg, lon_deg=one.point.lon_deg, radius_nm=one.radius_nm),
        )
        for one in asked.avoid
    ]
    volumes += _below(problem, asked.not_below_msl_ft)
    if asked.near_landing_nm is not None:
        volumes += _far_from_landing(plan, problem, asked.near_landing_nm)
    if asked.glide_to_land:
        volumes += _beyond_glide(plan, problem)
    return tuple(volumes)


def has_other_side(volume: Volume) -> bool:
    """Whether a volume may be gone round or over: not all of a region but its holes, to the top."""
    low = volume.ceiling.ft < TOP_FT / 2.0
    return volume.kind != WISH or isinstance(volume.footprint, Circle) or low


def height_wishes(plan: Plan, problem: WaysProblem) -> Iterator[Volume]:
    """Airspace below and above the heights that the flight's search asks for."""
    asked = plan.flight.search
    if asked is None:
        return
    yield from _below(problem, asked.not_below_msl_ft)
    if asked.not_above_msl_ft is not None:
        floor_ft = asked.not_above_msl_ft + problem.margins.vertical_ft
        for one in _all_but(problem, [], "above the pilot's greatest height"):
            yield replace(one, floor=Height(reference="MSL", ft=floor_ft))


def _below(problem: WaysProblem, floor_msl_ft: float | None) -> Iterator[Volume]:
    """Below a height, except where the airplane climbs to it and comes down from it."""
    if floor_msl_ft is None:
        return
    motion, wind_kt = problem.motion, _wind_kt(problem, floor_msl_ft)
    fields = [
        (problem.departure, (motion.climb_tas_kt + wind_kt) / motion.climb_fpm),
        (problem.destination, (motion.descent_tas_kt + wind_kt) / motion.descent_fpm),
    ]
    free = [
        _disc(problem, end, FIELD_NM + max(0.0, floor_msl_ft - end.elev_msl_ft) * slope / MIN_PER_H)
        for end, slope in fields
    ]
    yield from _all_but(problem, free, "below the pilot's least height", ceiling_ft=floor_msl_ft)


def _far_from_landing(plan: Plan, problem: WaysProblem, away_nm: float) -> Iterator[Volume]:
    """Farther than asked from every aerodrome on file, and every point noted as landable."""
    places = plan.places
    landable = [one for one in places.points.values() if "landable" in one.note.lower()]
    each: list[_Place] = [*places.aerodromes.values(), *landable]
    discs = [_disc(problem, one, away_nm - FINE_NM) for one in each]
    yield from _all_but(problem, discs, f"farther than {away_nm:g} NM from a landing place")


def _beyond_glide(plan: Plan, problem: WaysProblem) -> Iterator[Volume]:
    """Water that is farther from land than a glide reaches, layer by layer."""
    if not problem.land_deg:
        raise NoSolution(
            "glide_to_land asks for land, and no land is on file; add it with: "
            "lubberline places add land.geojson"
        )
    import shapely
    from shapely import affinity

    land = shapely.union_all([_shape(problem, corners) for corners in problem.land_deg])
    fields = [_disc(problem, end, FIELD_NM) for end in (problem.departure, problem.destination)]
    top_ft = min(problem.motion.ceiling_ft, TOP_FT)
    levels_ft = np.arange(0.0, top_ft, LAYER_FT)
    glides = drifted_reach(plan.aircraft, problem.wind, levels_ft, np.zeros_like(levels_ft))
    for msl_ft, east_nm, north_nm, reach_nm in zip(levels_ft.tolist(), *glides, strict=True):
        # What glides to the land from here: all within reach of it, against the drift.
        home = land.buffer(max(0.0, float(np.nan_to_num(reach_nm)) - FINE_NM)).simplify(FINE_NM)
        home = affinity.translate(home, *np.nan_to_num([-east_nm, -north_nm]).tolist())
        yield from _all_but(
            problem,
            [land, home, *fields],
            "water beyond gliding reach of land",
            ceiling_ft=TOP_FT if msl_ft + LAYER_FT >= top_ft else msl_ft + LAYER_FT,
        )


def _wind_kt(problem: WaysProblem, msl_ft: float) -> float:
    return float(np.hypot(*wind_toward_kt(problem.wind, msl_ft)))


def _all_but(
    problem: WaysProblem,
    free: Iterable["Geometry"],
    name: str,
    *,
    ceiling_ft: float = TOP_FT,
) -> Iterator[Volume]:
    """Everything round the two fields that is in none of the shapes, as closed airspace."""
    import shapely

    ends = shapely.MultiPoint([_xy(problem, problem.departure), _xy(problem, problem.destination)])
    room_ft = problem.margins.vertical_ft
    closed = shapely.difference(ends.envelope.buffer(AROUND_NM).envelope, shapely.union_all(free))
    for part in shapely.get_parts(closed):
        if part.area > FINE_NM**2:
            yield _closed(name, _footprint(problem, part), ceiling_ft=ceiling_ft - room_ft)


def _closed(name: str, footprint: Footprint, *, ceiling_ft: float = TOP_FT) -> Volume:
    return Volume(
        id=f"{WISH} {name} {ceiling_ft:.0f}",
        name=name,
        airspace_class="P",
        group="",
        facility="",
        floor=Height(reference="SFC", ft=0.0),
        ceiling=Height(reference="MSL", ft=ceiling_ft),
        footprint=footprint,
        lateral_margin_nm=0.0,
        kind=WISH,
    )


def _xy(problem: WaysProblem, place: _Place) -> tuple[float, float]:
    east_nm, north_nm = problem.plane.to_plane_nm(place.lat_deg, place.lon_deg)
    return float(east_nm), float(north_nm)


def _disc(problem: WaysProblem, place: _Place, radius_nm: float) -> "Geometry":
    import shapely

    return shapely.Point(_xy(problem, place)).buffer(max(0.0, radius_nm), quad_segs=12)


def _shape(problem: WaysProblem, corners_deg: np.ndarray) -> "Geometry":
    import shapely

    east_nm, north_nm = problem.plane.to_plane_nm(corners_deg[:, 0], corners_deg[:, 1])
    return shapely.make_valid(shapely.Polygon(np.column_stack([east_nm, north_nm])))


def _footprint(problem: WaysProblem, part: "Geometry") -> Polygon:
    shell, *holes = (
        np.column_stack(problem.plane.to_degrees(*np.asarray(ring.coords)[:-1].T))
        for ring in (part.exterior, *part.interiors)
    )
    return Polygon(corners_deg=shell, holes_deg=tuple(holes))
