"""Degrees of an even raster of a plane: some places projected, the others between them.

The projection is smooth, and a raster has thousands of places. It is developed in Chebyshev
polynomials [TREFETHEN2013]_ of both coordinates and held against itself where these are worst.
"""

from typing import Final

import numpy as np
from numpy.polynomial.chebyshev import chebvander

from lubberline.arrays import FloatArray, wrap_180_deg
from lubberline.earth import LocalPlane

_DEGREE: Final = 9
_ENOUGH_DEG: Final = 1e-5  # own: one meter, where ground is known to a cell of 0.4 NM

# Corners and edges, where a development is worst, as parts of the raster.
_WORST: Final = np.array([[0.0, 0.0], [0.0, 1.0], [1.0, 0.0], [1.0, 1.0], [0.5, 1.0], [1.0, 0.5]])


def raster_degrees(
    plane: LocalPlane, east_nm: FloatArray, north_nm: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Latitude and longitude [deg], (n, e), of the crossings of (e,) easts and (n,) norths.

    Good to a meter; near a pole every crossing is projected.
    """
    node = np.cos(np.pi * (np.arange(_DEGREE + 1) + 0.5) / (_DEGREE + 1))
    lat_deg, lon_deg = plane.to_degrees(
        *np.meshgrid(_spread(node, east_nm), _spread(node, north_nm))
    )
    weight = chebvander(node, _DEGREE).T * 2.0 / node.size
    weight[0] /= 2.0
    along, up = (chebvander(_unit(axis), _DEGREE) @ weight for axis in (east_nm, north_nm))
    made_lat_deg = up @ lat_deg @ along.T
    made_lon_deg = wrap_180_deg(
        up @ wrap_180_deg(lon_deg - plane.lon_deg) @ along.T + plane.lon_deg
    )
    at = _WORST * np.array([north_nm.size - 1, east_nm.size - 1])
    north, east = at.astype(np.int64).T
    sure_lat_deg, sure_lon_deg = plane.to_degrees(east_nm[east], north_nm[north])
    apart_deg = np.abs(made_lat_deg[north, east] - sure_lat_deg) + np.abs(
        wrap_180_deg(made_lon_deg[north, east] - sure_lon_deg)
    )
    if apart_deg.max() > _ENOUGH_DEG:
        return plane.to_degrees(*np.meshgrid(east_nm, north_nm))
    return made_lat_deg, made_lon_deg


def _spread(node: FloatArray, axis: FloatArray) -> FloatArray:
    return np.asarray(axis[0] + (node + 1.0) / 2.0 * (axis[-1] - axis[0]))


def _unit(axis: FloatArray) -> FloatArray:
    return np.asarray((axis - axis[0]) / (axis[-1] - axis[0]) * 2.0 - 1.0)
