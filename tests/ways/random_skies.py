"""Random skies with a seed: everything that makes a search hard, near 41 N 131 W."""

from dataclasses import replace

import numpy as np
from ways_cases import HERON, NO_RULES, end, problem

from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane, Terrain, Tile
from lubberline.places import Circle, Footprint, Height, Polygon, Volume
from lubberline.ways import Margins, WaysProblem
from lubberline.weather import WindsAloft

CLASSES = ("B", "C", "D", "R", "P", "C", "D")


def random_sky(seed: int, *, count: int = 10, uneven: bool = False) -> WaysProblem:
    """A problem with so many volumes; ``uneven`` adds mountains and heights above ground."""
    rng = np.random.default_rng(seed)
    half_nm = float(rng.uniform(12.0, 60.0) if count <= 20 else rng.uniform(40.0, 90.0))
    plane = LocalPlane(41.0, -131.0)
    volumes = tuple(
        _volume(rng, plane, n, half_nm=half_nm, above_ground=uneven) for n in range(count)
    )
    ends = [
        end(name, x, 0.0, float(rng.integers(0, 500)))
        for name, x in (("QAAA", -half_nm), ("QBBB", half_nm))
    ]
    made = problem(*volumes, half_nm=half_nm)
    terrain = _mountains(rng) if uneven else made.terrain
    if uneven:
        ends = [
            replace(one, elev_msl_ft=float(terrain.ground_ft(one.lat_deg, one.lon_deg)))
            for one in ends
        ]
    motion = replace(
        HERON,
        climb_fpm=float(rng.uniform(500.0, 1_200.0)),
        zero_climb_ft=float(rng.choice([0.0, 16_000.0])),
        descent_fpm=float(rng.uniform(400.0, 900.0)),
        cruise_tas_kt=float(rng.uniform(95.0, 170.0)),
    )
    rules = replace(
        NO_RULES,
        min_agl_ft=float(rng.choice([0.0, 500.0, 1_000.0])),
        hemispheric=bool(rng.integers(2)),
        variation_deg=float(rng.uniform(-15.0, 15.0)),
    )
    return replace(
        made,
        name=f"sky {seed}",
        departure=ends[0],
        destination=ends[1],
        motion=motion,
        wind=_wind(rng),
        margins=Margins(lateral_nm=float(rng.uniform(0.0, 1.5)), vertical_ft=500.0),
        rules=rules,
        terrain=terrain,
    )


def _volume(
    rng: np.random.Generator, plane: LocalPlane, number: int, *, half_nm: float, above_ground: bool
) -> Volume:
    x, y = rng.uniform(-half_nm, half_nm), rng.normal(0.0, 0.35 * half_nm)
    floor_ft = float(rng.choice([0.0, 0.0, *np.arange(1_000.0, 8_000.0, 500.0)]))
    ceiling_ft = floor_ft + float(rng.choice([500.0, 1_500.0, 3_000.0, 8_000.0]))
    reference = "AGL" if above_ground and rng.random() < 0.3 else "MSL"
    kind = str(rng.choice(CLASSES))
    group = f"g{number % 5}" if kind in "BCD" else ""
    return Volume(
        id=f"V{number}",
        name=f"Volume {number}",
        airspace_class=kind,
        group=group,
        facility=group,
        floor=Height(reference="SFC", ft=0.0)
        if floor_ft == 0.0
        else Height(reference=reference, ft=floor_ft),  # type: ignore[arg-type]
        ceiling=Height(reference=reference, ft=ceiling_ft),  # type: ignore[arg-type]
        footprint=_footprint(rng, plane, x, y, half_nm),
    )


def _footprint(
    rng: np.random.Generator, plane: LocalPlane, x: float, y: float, half_nm: float
) -> Footprint:
    size_nm = min(float(rng.uniform(0.05, 0.25)) * half_nm, float(rng.uniform(1.5, 8.0)))
    lat_deg, lon_deg = (float(one) for one in plane.to_degrees(x, y))
    shape = rng.integers(3)
    if shape == 0:
        inner_nm = size_nm * 0.5 if rng.random() < 0.3 else 0.0
        return Circle(lat_deg=lat_deg, lon_deg=lon_deg, radius_nm=size_nm, inner_nm=inner_nm)
    corners = int(rng.integers(3, 9))
    angles = np.sort(rng.uniform(0.0, 2.0 * np.pi, corners))
    angles += np.arange(corners) * 1e-3
    radii = size_nm * rng.uniform(0.5, 1.4, corners) if shape == 1 else np.full(corners, size_nm)
    return Polygon(corners_deg=_ring(plane, x + radii * np.cos(angles), y + radii * np.sin(angles)))


def _ring(plane: LocalPlane, east_nm: FloatArray, north_nm: FloatArray) -> FloatArray:
    return np.column_stack(plane.to_degrees(east_nm, north_nm))


def _wind(rng: np.random.Generator) -> WindsAloft:
    heights = np.array([0.0, 3_000.0, 6_000.0, 9_000.0, 12_000.0])
    first = rng.uniform(0.0, 360.0)
    return WindsAloft(
        msl_ft=heights,
        from_true_deg=(first + np.cumsum(rng.normal(0.0, 20.0, 5))) % 360.0,
        wind_kt=np.clip(np.cumsum(rng.uniform(0.0, 12.0, 5)), 0.0, 60.0),
        oat_degc=np.full(5, np.nan),
    )


def _mountains(rng: np.random.Generator) -> Terrain:
    rows = np.cumsum(np.cumsum(rng.normal(0.0, 1.0, (50, 60)), axis=0), axis=1)
    ground_ft = 4_500.0 * (rows - rows.min()) / np.ptp(rows)
    tile = Tile(
        south_deg=39.5, west_deg=-133.0, step_lat_deg=0.06, step_lon_deg=0.07, ground_ft=ground_ft
    )
    return Terrain(tiles=(tile,), clamped=True)
