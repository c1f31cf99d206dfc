"""Small problems near 41 N 131 W, built in nautical miles east and north of their middle."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane, Terrain, flat_terrain
from lubberline.places import Circle, Footprint, Height, Polygon, VisualPoint, Volume
from lubberline.ways import Margins, Motion, Rules, WayEnd, WaysProblem
from lubberline.weather import WindsAloft

CENTER = LocalPlane(41.0, -131.0)

# Round numbers: a mile takes half a minute in cruise, a thousand feet two minutes.
HERON = Motion(
    climb_fpm=500.0,
    zero_climb_ft=0.0,
    descent_fpm=500.0,
    climb_tas_kt=90.0,
    cruise_tas_kt=120.0,
    descent_tas_kt=120.0,
    ceiling_ft=12_000.0,
    glide_ratio=9.0,
    climb_gph=15.0,
    cruise_gph=12.0,
    descent_gph=9.0,
)
NO_RULES = Rules(
    min_agl_ft=0.0,
    aerodrome_radius_nm=5.0,
    hemispheric=False,
    hemispheric_above_agl_ft=3_000.0,
    variation_deg=0.0,
    level_fpm=100.0,
)


def aloft(*rows: tuple[float, float, float]) -> WindsAloft:
    """Rows of height [ft], direction [deg true] and speed [kt]."""
    columns = np.array(rows, dtype=float).reshape(-1, 3).T
    return WindsAloft(
        msl_ft=columns[0],
        from_true_deg=columns[1],
        wind_kt=columns[2],
        oat_degc=np.full(columns.shape[1], np.nan),
    )


CALM = aloft((0.0, 0.0, 0.0))


def place(east_nm: float, north_nm: float, plane: LocalPlane = CENTER) -> tuple[float, float]:
    lat_deg, lon_deg = plane.to_degrees(east_nm, north_nm)
    return float(lat_deg), float(lon_deg)


def end(
    name: str, east_nm: float, north_nm: float, elev_ft: float = 0.0, plane: LocalPlane = CENTER
) -> WayEnd:
    lat_deg, lon_deg = place(east_nm, north_nm, plane)
    return WayEnd(id=name, lat_deg=lat_deg, lon_deg=lon_deg, elev_msl_ft=elev_ft)


def point(name: str, east_nm: float, north_nm: float) -> VisualPoint:
    lat_deg, lon_deg = place(east_nm, north_nm)
    return VisualPoint(name=name, lat_deg=lat_deg, lon_deg=lon_deg)


def problem(
    *volumes: Volume,
    half_nm: float = 20.0,
    along: str = "east",
    plane: LocalPlane = CENTER,
    **changes: Any,
) -> WaysProblem:
    """From 20 NM west to 20 NM east of the middle (or south to north), calm, over the sea."""
    east, north = (1.0, 0.0) if along == "east" else (0.0, 1.0)
    stated = WaysProblem(
        name="case",
        description="",
        departure=end("QAAA", -half_nm * east, -half_nm * north, plane=plane),
        destination=end("QZZZ", half_nm * east, half_nm * north, plane=plane),
        motion=HERON,
        wind=CALM,
        margins=Margins(lateral_nm=0.5, vertical_ft=300.0),
        rules=NO_RULES,
        terrain=flat_terrain(0.0),
        land_deg=(),
        volumes=volumes,
        points=(),
    )
    return replace(stated, **changes)


def circle(
    east_nm: float,
    north_nm: float,
    radius_nm: float,
    inner_nm: float = 0.0,
    plane: LocalPlane = CENTER,
) -> Circle:
    lat_deg, lon_deg = place(east_nm, north_nm, plane)
    return Circle(lat_deg=lat_deg, lon_deg=lon_deg, radius_nm=radius_nm, inner_nm=inner_nm)


def polygon(
    corners_nm: Sequence[tuple[float, float]],
    *holes_nm: Sequence[tuple[float, float]],
    plane: LocalPlane = CENTER,
) -> Polygon:
    rings = [
        np.column_stack(plane.to_degrees(*np.transpose(ring))) for ring in (corners_nm, *holes_nm)
    ]
    return Polygon(corners_deg=rings[0], holes_deg=tuple(rings[1:]))


def box(west: float, south: float, east: float, north: float) -> Polygon:
    return polygon([(west, south), (east, south), (east, north), (west, north)])


def volume(
    footprint: Footprint,
    *,
    floor: tuple[str, float] = ("MSL", 0.0),
    ceiling: tuple[str, float] = ("MSL", 10_000.0),
    airspace_class: str = "D",
    name: str = "Q1",
    margin_nm: float | None = None,
) -> Volume:
    return Volume(
        id=name,
        name=f"Volume {name}",
        airspace_class=airspace_class,
        group=f"{name}-tower",
        facility=f"{name} Tower",
        floor=_height(floor),
        ceiling=_height(ceiling),
        footprint=footprint,
        lateral_margin_nm=margin_nm,
    )


def _height(height: tuple[str, float]) -> Height:
    reference, feet = height
    assert reference in ("MSL", "AGL", "SFC")
    return Height(reference=reference, ft=feet)  # type: ignore[arg-type]


def level_path(
    stated: WaysProblem, msl_ft: float, *corners_nm: tuple[float, float], speed_kt: float = 120.0
) -> FloatArray:
    """A path at one height over places in the plane, at one ground speed."""
    return path_of(stated, [(*corner, msl_ft) for corner in corners_nm], speed_kt=speed_kt)


def path_of(
    stated: WaysProblem, rows: Sequence[tuple[float, float, float]], speed_kt: float = 120.0
) -> FloatArray:
    """A path over places east, north [NM] and heights [ft], at one ground speed."""
    east_nm, north_nm, msl_ft = np.transpose(np.array(rows, dtype=float))
    lat_deg, lon_deg = stated.plane.to_degrees(east_nm, north_nm)
    steps_min = np.hypot(np.diff(east_nm), np.diff(north_nm)) * 60.0 / speed_kt
    after_min = np.concatenate([[0.0], np.cumsum(steps_min)])
    return np.column_stack([lat_deg, lon_deg, msl_ft, after_min])


def sloping_ground(west_ft: float, east_ft: float, half_deg: float = 1.0) -> Terrain:
    """Ground that rises evenly from west to east about the middle."""
    from lubberline.earth import Tile

    tile = Tile(
        south_deg=40.0,
        west_deg=-131.0 - half_deg,
        step_lat_deg=2.0,
        step_lon_deg=2.0 * half_deg,
        ground_ft=np.array([[west_ft, east_ft], [west_ft, east_ft]]),
    )
    return Terrain(tiles=(tile,), clamped=True)


def disc(name: str, floor: Height, ceiling: Height, airspace_class: str = "B") -> Volume:
    """A circle of 6 NM about the middle of the way."""
    lat_deg, lon_deg = place(0.0, 0.0)
    return Volume(
        id=name,
        name=name,
        airspace_class=airspace_class,
        group="talk",
        facility="Talk",
        floor=floor,
        ceiling=ceiling,
        footprint=Circle(lat_deg=lat_deg, lon_deg=lon_deg, radius_nm=6.0),
    )


def msl(ft: float) -> Height:
    return Height(reference="MSL", ft=ft)


SHELF = disc("Shelf", msl(3_000.0), msl(7_000.0))
FIELD = disc("Field", Height(reference="SFC", ft=0.0), msl(1_500.0), "D")
