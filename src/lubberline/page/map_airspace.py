"""Airspace on the map: edges as charted, hatched and shaded bands, and where its heights stand."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from lubberline.earth import LocalPlane
from lubberline.page.areas import filled, outlined, rings
from lubberline.page.charting import chart_style, hatching, heights_row, heights_texts, name_row
from lubberline.page.figure import Label, Spot, Stroke
from lubberline.places import Circle, Footprint, Volume, outline_deg

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

BAND_NM: Final = 0.6  # own: how wide a hatched or shaded band is
INSIDE_NM: Final = 1.3  # own: how far inside the edge the heights stand
SPOT_COUNT: Final = 16
OFF_NM: Final = 0.004  # a drawn circle is nowhere so far from the true one
GAP_PX: Final = 3.0


def airspace_traces(volumes: Sequence[Volume], plane: LocalPlane) -> Iterator[dict[str, Any]]:
    """Bands first, edges over them."""
    shapes = [(volume, shape_nm(volume, plane)) for volume in volumes]
    for volume, shape in shapes:
        yield from _band(volume, shape)
    for volume, shape in shapes:
        style = chart_style(volume)
        words = name_row(volume)
        for ring in rings(shape):
            yield outlined(ring, style.stroke, hoverinfo="text", text=words)


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
    """The footprint in the plane of the map; circles so close that no corner can be seen."""
    import shapely

    corners = [
        np.column_stack(plane.to_plane_nm(ring[:, 0], ring[:, 1]))
        for ring in outline_deg(volume.footprint, _corner_count(volume.footprint))
    ]
    return shapely.make_valid(shapely.Polygon(corners[0], corners[1:]))


def _corner_count(footprint: Footprint) -> int:
    """As many that the middle of a chord is no farther inside than ``OFF_NM``."""
    radius_nm = footprint.radius_nm if isinstance(footprint, Circle) else 0.0
    return max(72, int(np.ceil(np.pi * np.sqrt(radius_nm / (2.0 * OFF_NM)))))


def _band(volume: Volume, shape: "BaseGeometry") -> Iterator[dict[str, Any]]:
    """A band inside the edge: hatched, or shaded in two steps that fade inward."""
    style = chart_style(volume)
    ink = style.stroke.ink
    bare = Stroke(ink=ink, width_px=0.0)
    if style.hatched:
        band = shape.difference(shape.buffer(-BAND_NM))
        yield filled(band, bare, fillcolor=f"@{ink}", fillpattern=hatching(ink))
    if style.shaded:
        for part in (0.5, 1.0):
            band = shape.difference(shape.buffer(-BAND_NM * part))
            yield filled(band, bare, fillcolor=f"@{ink}/0.16")


def _spots(volume: Volume, seen: "BaseGeometry") -> Iterator[Spot]:
    inner = seen.buffer(-INSIDE_NM)
    if inner.is_empty:  # too narrow to write into: beside it, then
        yield from _beside(volume, seen)
        return
    edge = inner.boundary
    turns = np.arange(SPOT_COUNT) * 5 % SPOT_COUNT / SPOT_COUNT  # far apart from one to the next
    for text in heights_texts(volume):
        for turn in turns:
            place = edge.interpolate(turn, normalized=True)
            yield Spot(x=round(place.x, 2), y=round(place.y, 2), text=text)


def _beside(volume: Volume, seen: "BaseGeometry") -> Iterator[Spot]:
    """Round a small shape, or round the middle of a long and narrow one."""
    middle = seen.representative_point()
    edges = seen.bounds
    if max(edges[2] - edges[0], edges[3] - edges[1]) > 4.0 * INSIDE_NM:
        edges = middle.bounds
    west, south, east, north = (round(edge, 2) for edge in edges)
    x, y = round(middle.x, 2), round(middle.y, 2)
    for text in (*heights_texts(volume)[:1], heights_row(volume)):
        yield Spot(x=east, y=y, text=text, side="middle right")
        yield Spot(x=west, y=y, text=text, side="middle left")
        yield Spot(x=x, y=north, text=text, side="top center")
        yield Spot(x=x, y=south, text=text, side="bottom center")
