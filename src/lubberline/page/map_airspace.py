"""Airspace on the map: edges as charted, hatched and shaded bands, and where its heights stand."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.earth import LocalPlane
from lubberline.page.charting import chart_style, hatching, heights_row, heights_texts, name_row
from lubberline.page.figure import Label, Spot, Stroke, around, curve, numbers
from lubberline.places import Volume, outline_deg

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

BAND_NM: Final = 0.6  # own: how wide a hatched or shaded band is
INSIDE_NM: Final = 1.3  # own: how far inside the edge the heights stand
SPOT_COUNT: Final = 16
GAP_PX: Final = 10.0


def airspace_traces(volumes: Sequence[Volume], plane: LocalPlane) -> Iterator[dict[str, Any]]:
    """Bands first, edges over them."""
    shapes = [(volume, shape_nm(volume, plane)) for volume in volumes]
    for volume, shape in shapes:
        yield from _band(volume, shape)
    for volume, shape in shapes:
        style = chart_style(volume)
        words = name_row(volume)
        for ring in _rings(shape):
            yield _ring(ring, style.stroke, hoverinfo="text", text=words)


def airspace_labels(
    volumes: Sequence[Volume],
    plane: LocalPlane,
    east_nm: tuple[float, float],
    north_nm: tuple[float, float],
) -> list[Label]:
    """Heights of each volume just inside its edge, at several places all round it."""
    import shapely

    shown = shapely.box(east_nm[0], north_nm[0], east_nm[1], north_nm[1]).buffer(-INSIDE_NM)
    labels = []
    for volume in volumes:
        seen = shape_nm(volume, plane).intersection(shown)
        if not seen.is_empty:
            ink = chart_style(volume).stroke.ink
            labels.append(Label(spots=tuple(_spots(volume, seen)), ink=ink, gap_px=GAP_PX))
    return labels


def shape_nm(volume: Volume, plane: LocalPlane) -> "BaseGeometry":
    """The footprint in the plane of the map."""
    import shapely

    rings = [
        np.column_stack(plane.to_plane_nm(ring[:, 0], ring[:, 1]))
        for ring in outline_deg(volume.footprint)
    ]
    return shapely.Polygon(rings[0], rings[1:]).buffer(0.0)


def _band(volume: Volume, shape: "BaseGeometry") -> Iterator[dict[str, Any]]:
    """A band inside the edge: hatched, or shaded in two steps that fade inward."""
    style = chart_style(volume)
    ink = style.stroke.ink
    bare = Stroke(ink=ink, width_px=0.0)
    if style.hatched:
        band = shape.difference(shape.buffer(-BAND_NM))
        yield _filled(band, bare, fillcolor=f"@{ink}", fillpattern=hatching(ink))
    if style.shaded:
        for part in (0.5, 1.0):
            band = shape.difference(shape.buffer(-BAND_NM * part))
            yield _filled(band, bare, fillcolor=f"@{ink}/0.16")


def _spots(volume: Volume, seen: "BaseGeometry") -> Iterator[Spot]:
    inner = seen.buffer(-INSIDE_NM)
    if inner.is_empty:  # too narrow to write into: round its middle, then
        middle = seen.representative_point()
        yield from around(round(middle.x, 2), round(middle.y, 2), heights_row(volume))
        return
    edge = inner.boundary
    turns = np.arange(SPOT_COUNT) * 5 % SPOT_COUNT / SPOT_COUNT  # far apart from one to the next
    for text in heights_texts(volume):
        for turn in turns:
            place = edge.interpolate(turn, normalized=True)
            yield Spot(x=round(place.x, 2), y=round(place.y, 2), text=text)


def _rings(shape: "BaseGeometry") -> list[FloatArray]:
    """Every edge of a shape as its own closed line."""
    parts = getattr(shape, "geoms", [shape])
    return [
        np.asarray(ring.coords)[:, :2]
        for part in parts
        for ring in (part.exterior, *part.interiors)
    ]


def _ring(ring_nm: FloatArray, stroke: Stroke, **more: Any) -> dict[str, Any]:
    return curve(numbers(ring_nm[:, 0], 2), numbers(ring_nm[:, 1], 2), stroke, **more)


def _filled(shape: "BaseGeometry", stroke: Stroke, **more: Any) -> dict[str, Any]:
    """One filled trace with its holes left open: rings of opposite sense, with breaks between."""
    import shapely

    parts = [
        np.vstack([ring, [[np.nan, np.nan]]]) for ring in _rings(shapely.orient_polygons(shape))
    ]
    joined = np.vstack(parts) if parts else np.empty((0, 2))
    return _ring(joined, stroke, fill="toself", **more)
