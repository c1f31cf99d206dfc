"""The wind that a flight met, from what it did over the ground.

An airplane that flies at one true airspeed draws, with its ground velocities, a circle around
the wind: the more courses it flies, the better the circle is known. A few degrees of one course
say nothing, and the answer is None. Where heading and true airspeed were recorded, each sample
gives the wind by itself.
"""

from dataclasses import dataclass
from math import degrees, hypot, sqrt
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from lubberline.air import wind_from_east_north
from lubberline.arrays import FloatArray, wrap_180_deg, wrap_360_deg
from lubberline.errors import ShapeError

FEWEST_COUNT: Final = 3  # three courses make three equations for wind and airspeed
LEAST_SPREAD_DEG: Final = 60.0  # own: on less, a knot of airspeed passes for several of wind
MOST_SIGMA_KT: Final = 5.0  # own: a wind that is known worse than this is not known
STEADY_KT: Final = 3.0  # own: with airspeed less steady than this, the circle is no circle
LEAST_AIRSPEED_KT: Final = 20.0  # own: what flies, flies faster; noise draws small circles, too
_NOISE_KT: Final = 0.5  # own: no ground speed is better than this over a few seconds
SECTOR_DEG: Final = 30.0  # own: courses that share how an airspeed was held
_ROBUST_KT: Final = 2.0  # own: what is further off than this pulls less and less


@dataclass(frozen=True, slots=True, kw_only=True)
class WindFound:
    """A wind with its doubt; ``sigma_kt`` is that of its least known component.

    ``airspeed_kt`` is the true airspeed that goes with it; ``spread_deg`` how much of the
    circle the courses through the air covered.
    """

    from_true_deg: float
    wind_kt: float
    east_kt: float
    north_kt: float
    sigma_kt: float
    from_sigma_deg: float
    airspeed_kt: float
    airspeed_sigma_kt: float
    spread_deg: float
    sample_count: int


def wind_by_courses(
    east_kt: ArrayLike,
    north_kt: ArrayLike,
    *,
    robust: bool = True,
    worth_count: float | None = None,
    held_sigma_kt: float = 0.0,
) -> WindFound | None:
    """Wind and true airspeed from ground velocities on several courses.

    Parameters
    ----------
    east_kt, north_kt : array_like, shape (n,)
        Over the ground; unknown samples are NaN and left out.
    robust : bool
        Let velocities far from the circle pull less.
    worth_count : float, optional
        How many independent samples they are worth; by default as many as they are.
    held_sigma_kt : float
        By how much the airspeed may have differed from one course to another [kt].

    Returns
    -------
    WindFound or None
        None where fewer than three velocities are known, where the courses (over the ground
        and through the air, one in fifty left out) cover less than 60 degrees, where the
        airspeed comes out below 20 kt or was not held within 3 kt, or where the wind is known
        worse than 5 kt.

    Raises
    ------
    ShapeError
        If the columns do not share one 1-d shape.

    References
    ----------
    |g - w| = V for every ground velocity g [GRAY1998]_, by least squares over the distances
    from the circle; covariance by the linear law at the solution [JCGM100]_.
    """
    east, north = np.asarray(east_kt, dtype=float), np.asarray(north_kt, dtype=float)
    if east.ndim != 1 or east.shape != north.shape:
        raise ShapeError(f"velocities {east.shape} and {north.shape} must share one 1-d shape")
    known = np.isfinite(east) & np.isfinite(north)
    ground_kt = np.column_stack([east[known], north[known]])
    if len(ground_kt) < FEWEST_COUNT:
        return None
    start = _by_equations(ground_kt)
    if start is None:
        return None
    from scipy.optimize import least_squares

    fit = least_squares(
        _off_circle, start, jac=_jacobian, args=(ground_kt,),
        loss="soft_l1" if robust else "linear", f_scale=_ROBUST_KT,
    )  # fmt: skip
    worth_count = len(ground_kt) if worth_count is None else worth_count
    return _judged(fit.x, ground_kt, worth_count, held_sigma_kt)


def wind_by_heading(
    east_kt: ArrayLike, north_kt: ArrayLike, heading_true_deg: ArrayLike, airspeed_kt: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """East and north components of the wind, sample by sample, from heading and true airspeed.

    Each shape (n,); NaN where anything is unknown. Over the ground = through the air + wind.
    """
    heading = np.radians(np.asarray(heading_true_deg, dtype=float))
    through = np.asarray(airspeed_kt, dtype=float)
    return (
        np.asarray(east_kt, dtype=float) - through * np.sin(heading),
        np.asarray(north_kt, dtype=float) - through * np.cos(heading),
    )


def covered_deg(directions_deg: ArrayLike) -> float:
    """The smallest arc that holds all directions [deg]."""
    order = np.sort(wrap_360_deg(np.asarray(directions_deg, dtype=float)))
    gaps = np.diff(order, append=order[0] + 360.0)
    return 360.0 - float(gaps.max())


def _mostly_covered_deg(velocity_kt: FloatArray) -> float:
    """The arc that holds all directions but one in fifty, those furthest from the others."""
    directions_deg = np.degrees(np.arctan2(*velocity_kt.T))
    middle = np.arctan2(*np.array([velocity_kt[:, 0].mean(), velocity_kt[:, 1].mean()]))
    off_deg = np.abs(wrap_180_deg(directions_deg - np.degrees(middle)))
    kept = off_deg <= np.quantile(off_deg, 0.98) if off_deg.size >= 50 else off_deg <= 180.0
    return covered_deg(directions_deg[kept])


def _by_equations(ground_kt: FloatArray) -> FloatArray | None:
    """East, north and airspeed by the linear equations 2 (g_i - g) w = |g_i|^2 - mean."""
    mean = ground_kt.mean(axis=0)
    square = (ground_kt**2).sum(axis=1)
    wind, _, rank, _ = np.linalg.lstsq(2.0 * (ground_kt - mean), square - square.mean(), rcond=1e-6)
    if rank < 2:
        return None
    return np.array([*wind, np.hypot(*(ground_kt - wind).T).mean()])


def _off_circle(unknown_kt: FloatArray, ground_kt: FloatArray) -> FloatArray:
    return np.asarray(np.hypot(*(ground_kt - unknown_kt[:2]).T) - unknown_kt[2])


def _jacobian(unknown_kt: FloatArray, ground_kt: FloatArray) -> FloatArray:
    through = ground_kt - unknown_kt[:2]
    length = np.maximum(np.hypot(*through.T), 1e-9)[:, None]
    return np.column_stack([-through / length, -np.ones(len(ground_kt))])


def _judged(
    unknown_kt: FloatArray, ground_kt: FloatArray, worth_count: float, held_sigma_kt: float
) -> WindFound | None:
    """The fit as a wind, unless the courses or the doubt do not allow it."""
    through = ground_kt - unknown_kt[:2]
    # Over the ground as well: velocities on one course lie on many a small circle.
    spread_deg = min(_mostly_covered_deg(through), _mostly_covered_deg(ground_kt))
    if spread_deg < LEAST_SPREAD_DEG or unknown_kt[2] < LEAST_AIRSPEED_KT:
        return None
    jacobian = _jacobian(unknown_kt, ground_kt)
    off = _off_circle(unknown_kt, ground_kt)
    freedom = max(worth_count - 3.0, 1.0)
    scatter = max(sqrt(float((off**2).mean()) * worth_count / freedom), _NOISE_KT)
    per_sample = scatter**2 * len(ground_kt) / worth_count
    inverse = np.asarray(np.linalg.pinv(jacobian.T @ jacobian), dtype=np.float64)
    together = _by_sector(jacobian, np.degrees(np.arctan2(*through.T)))
    spread = inverse * per_sample + held_sigma_kt**2 * inverse @ together @ inverse
    sigma_kt = sqrt(float(np.linalg.eigvalsh(spread[:2, :2])[-1]))
    if sigma_kt > MOST_SIGMA_KT or float(np.median(np.abs(off))) > STEADY_KT:
        return None
    east_kt, north_kt, airspeed_kt = (float(one) for one in unknown_kt)
    from_true_deg, wind_kt = (float(one) for one in wind_from_east_north(east_kt, north_kt))
    return WindFound(
        from_true_deg=from_true_deg,
        wind_kt=wind_kt,
        east_kt=east_kt,
        north_kt=north_kt,
        sigma_kt=sigma_kt,
        from_sigma_deg=_direction_sigma_deg(east_kt, north_kt, spread[:2, :2]),
        airspeed_kt=airspeed_kt,
        airspeed_sigma_kt=sqrt(float(spread[2, 2])),
        spread_deg=spread_deg,
        sample_count=len(ground_kt),
    )


def _by_sector(jacobian_ratio: FloatArray, directions_deg: FloatArray) -> FloatArray:
    """Sum over the sectors of what one knot of airspeed, the same all over a sector, does."""
    sector = np.floor(wrap_360_deg(directions_deg) / SECTOR_DEG).astype(np.int64)
    sums = [jacobian_ratio[sector == one].sum(axis=0) for one in np.unique(sector)]
    return np.asarray(sum(np.outer(one, one) for one in sums))


def _direction_sigma_deg(east_kt: float, north_kt: float, spread_kt2: FloatArray) -> float:
    """What the doubt across the wind does to its direction; all around where it is as large."""
    wind_kt = hypot(east_kt, north_kt)
    if wind_kt == 0.0:
        return 180.0
    across = np.array([-north_kt, east_kt]) / wind_kt
    sigma_kt = sqrt(max(float(across @ spread_kt2 @ across), 0.0))
    return min(degrees(sigma_kt / wind_kt), 180.0)
