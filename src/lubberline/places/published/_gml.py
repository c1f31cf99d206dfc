"""Outlines from GML: rings of curves of strings and arcs, in the order of axes that they state.

In degrees with the latitude first, angles turn from north to east, as bearings do; with the
longitude first from east to north. From a smaller to a greater angle an arc follows that sense.
Straight lines in degrees are followed by further corners where they leave the geodesic.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from math import degrees
from typing import Final
from xml.etree.ElementTree import Element

from lubberline.places.published._account import Unfit
from lubberline.places.published._arcs import (
    Place,
    Turn,
    turn_by_angles,
    turn_through,
    whole_circle,
)
from lubberline.places.published._outline import Piece, straight_in_degrees
from lubberline.places.published._table import number
from lubberline.places.published._xml import said
from lubberline.units import M_PER_FT, M_PER_NM, M_PER_SM

MOST_DEEP: Final = 20  # own: curves in curves

_M_PER: Final = {
    **dict.fromkeys(("NM", "NMI", "[NMI_I]", "NAUTICALMILE"), M_PER_NM),
    **dict.fromkeys(("M", "METER", "METRE", "URN:OGC:DEF:UOM:EPSG::9001"), 1.0),
    **dict.fromkeys(("FT", "[FT_I]"), M_PER_FT),
    **dict.fromkeys(("MI", "[MI_I]", "SM"), M_PER_SM),
    "KM": 1_000.0,
}
_LATITUDE_FIRST: Final = ("4326", "4979", "4258", "4269", "WGS84E_2D")
_LONGITUDE_FIRST: Final = ("CRS84", "CRS:84", "CRS:83", "CRS84H")

Find = Callable[[str], Element | None]


@dataclass(frozen=True, slots=True)
class Axes:
    """The order and number of the coordinates of a position."""

    latitude_first: bool = True
    dimension: int = 2

    def of(self, node: Element) -> "Axes":
        """Those that an element states, or else has from what it is in."""
        axes, name = self, node.get("srsName", "")
        if name:
            ending = name.replace("/", ":").rpartition(":")[2].rpartition("#")[2].upper()
            if ending in _LATITUDE_FIRST:
                axes = replace(axes, latitude_first=True)
            elif ending in _LONGITUDE_FIRST or name.upper() in _LONGITUDE_FIRST:
                axes = replace(axes, latitude_first=False)
            else:
                raise Unfit(f"coordinates in {name[:60]}")
        count = node.get("srsDimension", "")
        return replace(axes, dimension=int(count)) if count in ("2", "3") else axes

    def places(self, text: str | None) -> list[Place]:
        """Positions one after another."""
        values = [number(part) for part in (text or "").split()]
        if not values or len(values) % self.dimension or any(value != value for value in values):
            raise Unfit(f"positions {(text or '').strip()[:40]!r}")
        first, second = values[:: self.dimension], values[1 :: self.dimension]
        lat, lon = (first, second) if self.latitude_first else (second, first)
        return list(zip(lat, lon, strict=True))


def length_nm(node: Element | None) -> float:
    """A length with its unit."""
    unit = "" if node is None else node.get("uom", "")
    value = number((node.text or "").strip()) if node is not None else 0.0
    if unit.upper() not in _M_PER or not value > 0.0:
        raise Unfit(f"a length of {'' if node is None else node.text!r} {unit!r}")
    return value * _M_PER[unit.upper()] / M_PER_NM


@dataclass(frozen=True, slots=True)
class Curves:
    """Reads outlines; ``find`` looks up what is only referred to."""

    find: Find

    def ring(self, ring: Element, axes: Axes, deep: int = 0) -> list[Piece]:
        """The pieces of a ring or of any curve, in their order.

        Raises
        ------
        Unfit
            If part of it is not understood: without that it would be another.
        """
        if deep > MOST_DEEP:
            raise Unfit("curves that are nested without end")
        axes = axes.of(ring)
        if ring.tag in ("LinearRing", "LineString"):
            return list(straight_in_degrees(self.places(ring, axes)))
        if ring.tag in ("Curve", "ElevatedCurve"):
            segments = (one for part in ring.findall("segments") for one in part)
            return [piece for one in segments for piece in self._segment(one, axes.of(one))]
        if ring.tag in ("Ring", "CompositeCurve"):
            members = [self._target(one) for one in ring.findall("curveMember")]
            return [piece for one in members for piece in self.ring(one, axes, deep + 1)]
        if ring.tag == "OrientableCurve":
            base = self._target(ring.find("baseCurve"))
            pieces = self.ring(base, axes, deep + 1)
            return _reversed(pieces) if ring.get("orientation") == "-" else pieces
        raise Unfit(f"an edge of kind {ring.tag}")

    def places(self, node: Element, axes: Axes) -> list[Place]:
        """All positions of an element."""
        return [place for one in node for place in self._positions(one, axes)]

    def place(self, node: Element, axes: Axes) -> Place:
        """The one position of an element, or of the point that it refers to."""
        found = self.places(node, axes.of(node))
        if len(found) != 1:
            raise Unfit(f"{len(found)} positions instead of one")
        return found[0]

    def _positions(self, node: Element, axes: Axes) -> Iterator[Place]:
        if node.tag in ("pos", "posList"):
            yield from axes.of(node).places(node.text)
        elif node.tag in ("pointProperty", "pointRep"):
            point = self._target(node)
            if (location := point.find("timeSlice/*/location/*")) is not None:  # a fix or aid
                point = location
            yield self.place(point, axes)

    def _target(self, node: Element | None) -> Element:
        """What an element holds or refers to."""
        href = "" if node is None else node.get("href", "")
        found = self.find(href) if href else next(iter(node if node is not None else ()), None)
        if found is None:
            raise Unfit(f"refers to {href[:60] or 'nothing'}, which is not in the file")
        return found

    def _segment(self, node: Element, axes: Axes) -> list[Piece]:
        match node.tag:
            case "GeodesicString" | "Geodesic":
                return list(self.places(node, axes))
            case "LineStringSegment":
                return list(straight_in_degrees(self.places(node, axes)))
            case "CircleByCenterPoint":
                return [whole_circle(self.place(node, axes), length_nm(node.find("radius")))]
            case "ArcByCenterPoint":
                return [self._arc(node, axes)]
            case "Arc" | "ArcString":
                return list(_through(self.places(node, axes)))
            case "Circle":
                (turn,) = _through(self.places(node, axes))
                return [whole_circle((turn.lat_deg, turn.lon_deg), turn.radius_nm)]
        raise Unfit(f"an edge with {node.tag}")

    def _arc(self, node: Element, axes: Axes) -> Turn:
        start_deg, end_deg = (_angle_deg(node.find(f"{side}Angle")) for side in ("start", "end"))
        center, radius_nm = self.place(node, axes), length_nm(node.find("radius"))
        if abs(end_deg - start_deg) >= 360.0:
            return whole_circle(center, radius_nm)
        forward = end_deg >= start_deg
        if not axes.latitude_first:
            start_deg, end_deg, forward = 90.0 - start_deg, 90.0 - end_deg, not forward
        return turn_by_angles(center, radius_nm, (start_deg, end_deg), clockwise=forward)


def _angle_deg(node: Element | None) -> float:
    value = number(said(node, "."))
    if node is None or value != value:
        raise Unfit("an arc without angles")
    return degrees(value) if node.get("uom", "deg").lower() in ("rad", "radian") else value


def _through(places: list[Place]) -> Iterator[Turn]:
    """Arcs through three places each, the last of one being the first of the next."""
    if len(places) < 3 or len(places) % 2 == 0:
        raise Unfit(f"arcs through {len(places)} places")
    for n in range(0, len(places) - 2, 2):
        yield turn_through(places[n], places[n + 1], places[n + 2])


def _reversed(pieces: list[Piece]) -> list[Piece]:
    return [one.reversed() if isinstance(one, Turn) else one for one in reversed(pieces)]
