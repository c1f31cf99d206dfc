"""Areas in a picture: their edges, and fillings that leave holes open."""

from typing import TYPE_CHECKING, Any

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.page.figure import Stroke, curve, numbers

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry


def rings(shape: "BaseGeometry") -> list[FloatArray]:
    """Every edge of a shape as its own closed line."""
    import shapely

    return [
        np.asarray(ring.coords)[:, :2]
        for part in shapely.get_parts(shape)
        if part.geom_type == "Polygon"
        for ring in (part.exterior, *part.interiors)
    ]


def outlined(path: FloatArray, stroke: Stroke, **more: Any) -> dict[str, Any]:
    """One line through the rows of a path, (m, 2)."""
    return curve(numbers(path[:, 0], 2), numbers(path[:, 1], 2), stroke, **more)


def filled(shape: "BaseGeometry", stroke: Stroke, **more: Any) -> dict[str, Any]:
    """One filled trace with its holes left open: rings of opposite sense, with breaks between."""
    import shapely

    parts = [
        np.vstack([ring, [[np.nan, np.nan]]]) for ring in rings(shapely.orient_polygons(shape))
    ]
    joined = np.vstack(parts) if parts else np.empty((0, 2))
    return outlined(joined, stroke, fill="toself", **more)
