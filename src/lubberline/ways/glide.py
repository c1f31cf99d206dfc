"""Where along a way the airplane, its engine stopped, reaches neither land nor an aerodrome.

From each height a glide lasts so long; meanwhile the air drifts with the mean wind between there
and below. What is within gliding reach therefore lies in a disc around the drifted place, its
radius the glide through still air: exact for an airplane that turns at once and flies straight,
in a wind slower than it glides. Turning, a late decision and the engine's last minutes are not
in it. The field must be reached with room to land.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.air import isa_temperature_degc, tas_from_cas_kt
from lubberline.aircraft import Aircraft, glide
from lubberline.arrays import FloatArray
from lubberline.places import Aerodrome
from lubberline.ways.along import Along
from lubberline.ways.model import Spot
from lubberline.ways.motion import wind_toward_kt
from lubberline.ways.problem import WaysProblem
from lubberline.weather import WindsAloft

FIELD_FT: Final = 500.0  # own: to be left over a field, for a turn into its wind
_LEVELS: Final = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Beyond:
    """Minutes of a way out of gliding reach; ``short_nm`` is the worst lack, at ``spot``.

    ``beyond_min`` None is not known; then ``missing`` says what would supply it.
    """

    beyond_min: float | None
    short_nm: float = 0.0
    spot: Spot | None = None
    missing: str = ""


def drifted_reach(
    aircraft: Aircraft, aloft: WindsAloft, msl_ft: FloatArray, down_to_ft: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """How far the air drifts east and north in a glide down to a height, and its reach in it [NM].

    Parameters
    ----------
    aircraft, aloft
        Glide and best glide speed; wind.
    msl_ft : ndarray, shape (n,)
        Height at which the glide begins [ft MSL].
    down_to_ft : ndarray, shape (n,)
        Height at which it ends [ft MSL]. From below it nothing is reached.

    Returns
    -------
    tuple of ndarray, shape (n,)
        NaN where the airplane's file has no answer.

    References
    ----------
    [AFH]_, "Emergency Procedures", for the glide in still air; the drift is the wind triangle of
    [PHAK]_, chapter 16.
    """
    above_ft = np.maximum(msl_ft - down_to_ft, 0.0)
    told = {ft: glide(aircraft, agl_ft=ft).value for ft in np.unique(above_ft).tolist()}
    still_nm = np.array([told[ft] for ft in above_ft.tolist()], dtype=np.float64)
    middle_ft = msl_ft - above_ft / 2.0
    tas_kt = tas_from_cas_kt(
        aircraft.speeds.best_glide_kt, middle_ft, isa_temperature_degc(middle_ft)
    )
    glide_h = still_nm / tas_kt
    levels_ft = msl_ft - above_ft * np.linspace(0.0, 1.0, _LEVELS)[:, None]
    east_kt, north_kt = wind_toward_kt(aloft, levels_ft)
    return east_kt.mean(axis=0) * glide_h, north_kt.mean(axis=0) * glide_h, still_nm


_WIND: Final = "winds aloft ([[wind_aloft]] rows in flight.toml)"


def beyond_land(aircraft: Aircraft, problem: WaysProblem, along: Along) -> Beyond:
    """Minutes beyond gliding reach of land, from the planned heights, down to the sea.

    Without land on file nobody knows where the water is.
    """
    if not problem.wind.msl_ft.size:
        return Beyond(beyond_min=None, missing=_WIND)
    if not problem.land_deg:
        return Beyond(beyond_min=None, missing="land on file (lubberline places add land.geojson)")
    import shapely

    rings = [
        np.column_stack(along.plane.to_plane_nm(ring[:, 0], ring[:, 1]))
        for ring in problem.land_deg
    ]
    land = shapely.union_all([shapely.make_valid(shapely.Polygon(ring)) for ring in rings])
    shapely.prepare(land)
    here = shapely.points(along.east_nm, along.north_nm)
    east_nm, north_nm, reach_nm = drifted_reach(
        aircraft, problem.wind, along.msl_ft, np.zeros_like(along.msl_ft)
    )
    drifted = shapely.points(along.east_nm + east_nm, along.north_nm + north_nm)
    lack_nm = shapely.distance(drifted, land) - reach_nm
    return _beyond(along, np.where(shapely.intersects(here, land), -1.0, lack_nm))


def beyond_fields(
    aircraft: Aircraft, problem: WaysProblem, along: Along, fields: tuple[Aerodrome, ...]
) -> Beyond:
    """Minutes beyond gliding reach of every aerodrome with a runway."""
    if not problem.wind.msl_ft.size:
        return Beyond(beyond_min=None, missing=_WIND)
    lacks_nm = []
    for field in fields:
        down_ft = np.full_like(along.msl_ft, field.elev_msl_ft + FIELD_FT)
        east_nm, north_nm, reach_nm = drifted_reach(aircraft, problem.wind, along.msl_ft, down_ft)
        field_east_nm, field_north_nm = along.plane.to_plane_nm(field.lat_deg, field.lon_deg)
        off_east_nm = along.east_nm + east_nm - field_east_nm
        off_north_nm = along.north_nm + north_nm - field_north_nm
        lacks_nm.append(np.hypot(off_east_nm, off_north_nm) - reach_nm)
    if not lacks_nm:
        return Beyond(beyond_min=None, missing="aerodromes on file")
    return _beyond(along, np.min(lacks_nm, axis=0))


def _beyond(along: Along, lack_nm: FloatArray) -> Beyond:
    if np.isnan(lack_nm).any():
        return Beyond(beyond_min=None, missing="glide_nm for these heights in the airplane's file")
    out = lack_nm > 0.0
    steps_min = np.diff(along.after_min)
    # A step counts by the half of it that belongs to each of its samples.
    minutes = float((steps_min * (out[:-1].astype(float) + out[1:])).sum() / 2.0)
    worst = int(np.argmax(lack_nm))
    if not out.any():
        return Beyond(beyond_min=0.0)
    return Beyond(
        beyond_min=minutes,
        short_nm=float(lack_nm[worst]),
        spot=along.spot(float(along.after_min[worst])),
    )
