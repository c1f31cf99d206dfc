"""Whether a turn went round one point of the ground: the circle of least squares and its rest."""

from typing import Final

import numpy as np

from lubberline.flown.airwork import Airwork

REST_FRACTION: Final = (
    0.15  # own: of the radius, root mean square; a steady bank in wind drifts more
)


def holds_a_radius(work: Airwork, start: int, stop: int) -> bool:
    """Whether the path stays on one circle, x^2 + y^2 = 2ax + 2by + c fitted linearly."""
    x_nm, y_nm = work.east_nm[start:stop], work.north_nm[start:stop]
    x_nm, y_nm = x_nm - x_nm.mean(), y_nm - y_nm.mean()
    terms = np.column_stack([2.0 * x_nm, 2.0 * y_nm, np.ones_like(x_nm)])
    a, b, c = np.linalg.lstsq(terms, x_nm**2 + y_nm**2, rcond=None)[0]
    radius_nm = float(np.sqrt(max(c + a * a + b * b, 1e-12)))
    rest_nm = np.hypot(x_nm - a, y_nm - b) - radius_nm
    return bool(np.sqrt(np.mean(rest_nm**2)) <= REST_FRACTION * radius_nm)
