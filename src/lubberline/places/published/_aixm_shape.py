"""The parts that an AIXM airspace is made of: volumes of its own and of others, joined and cut.

A union stays several parts, each with its own limits. A part that is cut out is taken away only
where it reaches over all heights of the other; else the other stays whole, and its note says so.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Final
from xml.etree.ElementTree import Element

from lubberline.places.model import Footprint, Height
from lubberline.places.published._account import Unfit
from lubberline.places.published._aixm import Library
from lubberline.places.published._gml import Axes, Curves, length_nm
from lubberline.places.published._limits import limit_of
from lubberline.places.published._outline import airway_of, combined, footprints_of
from lubberline.places.published._table import joined
from lubberline.places.published._xml import said

MOST_PARTS: Final = 2_000  # own: of one airspace
MOST_DEEP: Final = 10  # own: airspace that is made of airspace

Limit = tuple[Height, str]
SliceOf = Callable[[Element], Element | None]

_INHERITED: Final = ("", "CEILING", "FLOOR")  # the limit is that of the airspace it is part of
_CUT: Final = ("SUBTR", "INTERS")


@dataclass(frozen=True, slots=True)
class Part:
    """One footprint with its limits; None where the airspace that it is part of gives them."""

    footprint: Footprint
    lower: Limit | None
    upper: Limit | None
    note: str = ""

    def within(self, lower: Limit | None, upper: Limit | None) -> "Part":
        """The part with the limits that it lacks."""
        return replace(self, lower=self.lower or lower, upper=self.upper or upper)


class Shapes:
    """Reads the parts of airspace; ``slice_of`` says what holds of another airspace."""

    def __init__(self, library: Library, slice_of: SliceOf) -> None:
        self._library = library
        self._slice_of = slice_of
        self._curves = Curves(library.find)

    def parts(self, airspace: Element, deep: int = 0) -> list[Part]:
        """All parts of an airspace, told by a time slice of it.

        Raises
        ------
        Unfit
            If any of them is not understood.
        """
        if deep > MOST_DEEP:
            raise Unfit("airspace that is made of airspace without end")
        made: list[Part] = []
        components = airspace.findall("geometryComponent/AirspaceGeometryComponent")
        if not components:
            raise Unfit("no geometry")
        for component in sorted(components, key=_sequence):
            operation = said(component, "operation").upper()
            found = list(self._volume(_volume_of(component), deep))
            if operation in _CUT and made:
                made = [left for part in made for left in _cut(part, found, operation)]
            elif operation in _CUT:
                raise Unfit(f"begins with {operation}")
            else:
                made += found
            if len(made) > MOST_PARTS:
                raise Unfit(f"over {MOST_PARTS:,} parts")
        return made

    def _volume(self, volume: Element, deep: int) -> Iterator[Part]:
        lower, upper = _limit(volume, "lower"), _limit(volume, "upper")
        dependencies = volume.findall("contributorAirspace/AirspaceVolumeDependency")
        for one in dependencies:
            for part in self._contributor(one, deep):
                flat = said(one, "dependency").upper() == "HORZ_PROJECTION"
                yield (replace(part, lower=None, upper=None) if flat else part).within(lower, upper)
        footprints = list(self._footprints(volume))
        if not footprints and not dependencies:
            raise Unfit("no horizontal extent")
        for footprint in footprints:
            yield Part(footprint, lower, upper)

    def _contributor(self, dependency: Element, deep: int) -> list[Part]:
        reference = dependency.find("theAirspace")
        href = "" if reference is None else reference.get("href", "")
        feature = self._library.find(href)
        other = None if feature is None else self._slice_of(feature)
        if other is None:
            raise Unfit(f"is made of airspace {href[:60]!r}, which is not in the file")
        return self.parts(other, deep + 1)

    def _footprints(self, volume: Element) -> Iterator[Footprint]:
        projection, axes = volume.find("horizontalProjection"), Axes()
        if projection is not None:
            found = self._library.find(projection.get("href", "")) or projection
            yield from self._surface(found, axes)
        line = volume.find("centreline")
        if line is not None and len(line):
            pieces = self._curves.ring(line[0], axes)
            places = [piece for piece in pieces if isinstance(piece, tuple)]
            if len(places) < len(pieces):
                raise Unfit("an arc as the middle of a band")
            yield from airway_of(places, length_nm(volume.find("width")))

    def _surface(self, node: Element, axes: Axes) -> Iterator[Footprint]:
        axes = axes.of(node)
        if node.tag in ("PolygonPatch", "Polygon"):
            sides = {side: self._rings(node, side, axes) for side in ("exterior", "interior")}
            if len(sides["exterior"]) != 1:
                raise Unfit(f"{len(sides['exterior'])} outer edges")
            yield from footprints_of(sides["exterior"][0], sides["interior"])
            return
        for child in node:
            yield from self._surface(child, axes)

    def _rings(self, patch: Element, side: str, axes: Axes) -> list[list]:  # type: ignore[type-arg]
        return [self._curves.ring(ring, axes) for ring in patch.findall(f"{side}/*")]


def _sequence(component: Element) -> tuple[bool, float]:
    """Bases first, then in the order that is stated."""
    order = said(component, "operationSequence")
    is_base = said(component, "operation").upper() == "BASE"
    return not is_base, float(order) if order.isdecimal() else 0.0


def _volume_of(component: Element) -> Element:
    holder = component.find("theAirspaceVolume")
    volume = None if holder is None else holder.find("AirspaceVolume")
    if volume is None:
        volume = holder
    if volume is None:
        raise Unfit("a component without volume")
    return volume


def _limit(volume: Element, side: str) -> Limit | None:
    node = volume.find(f"{side}Limit")
    text = said(volume, f"{side}Limit")
    if node is None or text.upper() in _INHERITED:
        return None
    unit, reference = node.get("uom", ""), said(volume, f"{side}LimitReference")
    return limit_of(
        text, unit=unit if unit != "OTHER" else "", reference=reference, upper=side == "upper"
    )


def _cut(part: Part, others: list[Part], operation: str) -> list[Part]:
    """What is left of a part after others are taken away, or where it meets them."""
    if operation == "SUBTR":
        through = [other.footprint for other in others if _reaches_over(other, part)]
        note = "" if len(through) == len(others) else "a part cut out at some heights is left in"
        left = combined(part.footprint, through, "difference") if through else [part.footprint]
    else:
        left = combined(part.footprint, [one.footprint for one in others], "intersection")
        note = "limits of the whole, not of where it meets others"
    return [replace(part, footprint=one, note=joined(part.note, note)) for one in left]


def _reaches_over(other: Part, part: Part) -> bool:
    """Whether one part reaches over all heights of another, for sure."""
    lower = other.lower is None or _not_above(other.lower, part.lower)
    upper = other.upper is None or (part.upper is not None and _not_above(part.upper, other.upper))
    return lower and upper


def _not_above(first: Limit, second: Limit | None) -> bool:
    if first[0].reference == "SFC":
        return True
    if second is None or (first[0].reference == "MSL") != (second[0].reference == "MSL"):
        return False
    return first[0].ft <= second[0].ft
