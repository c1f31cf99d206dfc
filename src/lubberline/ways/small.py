"""A problem of two volumes and a hill, to compile the search with."""

import numpy as np

from lubberline.earth import Terrain, Tile
from lubberline.places import Circle, Height, Polygon, Volume
from lubberline.ways.problem import Margins, Motion, Rules, WayEnd, WaysProblem
from lubberline.weather import WindsAloft


def small_problem() -> WaysProblem:
    """Forty miles of open ocean with a tower, a shelf above ground and a low hill."""
    surface, top = Height(reference="SFC", ft=0.0), Height(reference="MSL", ft=30_000.0)
    corners_deg = np.array([[41.05, -131.0], [41.3, -131.0], [41.3, -130.9], [41.05, -130.9]])
    return WaysProblem(
        name="small",
        description="",
        departure=WayEnd(id="QAAA", lat_deg=41.0, lon_deg=-131.4, elev_msl_ft=0.0),
        destination=WayEnd(id="QBBB", lat_deg=41.0, lon_deg=-130.6, elev_msl_ft=0.0),
        motion=Motion(
            climb_fpm=700.0,
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
        ),
        wind=WindsAloft(
            msl_ft=np.array([0.0, 6_000.0]),
            from_true_deg=np.array([240.0, 270.0]),
            wind_kt=np.array([10.0, 30.0]),
            oat_degc=np.array([15.0, 3.0]),
        ),
        margins=Margins(lateral_nm=0.5, vertical_ft=300.0),
        rules=Rules(
            min_agl_ft=500.0,
            aerodrome_radius_nm=5.0,
            hemispheric=True,
            hemispheric_above_agl_ft=3_000.0,
            variation_deg=12.0,
            level_fpm=100.0,
        ),
        terrain=Terrain(
            tiles=(
                Tile(
                    south_deg=40.0,
                    west_deg=-132.0,
                    step_lat_deg=1.0,
                    step_lon_deg=1.0,
                    ground_ft=np.array([[0.0, 0.0, 0.0], [0.0, 300.0, 0.0], [0.0, 0.0, 0.0]]),
                ),
            ),
            clamped=True,
        ),
        land_deg=(),
        volumes=(
            Volume(
                id="D1",
                name="tower",
                airspace_class="D",
                group="tower",
                facility="tower",
                floor=surface,
                ceiling=top,
                footprint=Circle(lat_deg=41.0, lon_deg=-131.0, radius_nm=4.0),
            ),
            Volume(
                id="R1",
                name="shelf",
                airspace_class="R",
                group="",
                facility="",
                floor=Height(reference="AGL", ft=1_000.0),
                ceiling=top,
                footprint=Polygon(corners_deg=corners_deg),
            ),
        ),
        points=(),
    )
