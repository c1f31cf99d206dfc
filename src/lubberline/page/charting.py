"""Airspace as the government's visual charts draw it: color, line, and heights in hundreds of feet.

Class B solid blue, C solid magenta, D dashed blue, E from the ground dashed magenta, E from
700 ft a magenta shade, E from 1,200 ft a blue one; prohibited, restricted and warning areas
hatched blue inside their edge, military operations and alert areas magenta; areas to be avoided
for national security thick dashed magenta, the veil of a busy airport thin magenta. Ceilings stand
over floors, that of class D in brackets. What the charts have no sign for is dotted grey [AIM3]_.
"""

from dataclasses import dataclass
from typing import Any, Final

from lubberline.page.figure import Stroke, plain
from lubberline.places import Height, Volume

HUNDRED_FT: Final = 100.0
LOW_E_FT: Final = 700.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartStyle:
    """One line; ``shaded`` fades inward from it, ``hatched`` is a hatched band inside it."""

    stroke: Stroke
    shaded: bool = False
    hatched: bool = False


_AREA: Final = ChartStyle(stroke=Stroke(ink="blue", width_px=1.2), hatched=True)
_CAUTION: Final = ChartStyle(stroke=Stroke(ink="magenta", width_px=1.2), hatched=True)
_LINES: Final = {
    "A": ChartStyle(stroke=Stroke(ink="grey", width_px=1.0)),
    "B": ChartStyle(stroke=Stroke(ink="blue", width_px=2.0)),
    "C": ChartStyle(stroke=Stroke(ink="magenta", width_px=2.0)),
    "D": ChartStyle(stroke=Stroke(ink="blue", width_px=1.6, dash="6px,4px")),
    "R": _AREA,
    "P": _AREA,
    "W": _AREA,
    "M": _CAUTION,
    "L": _CAUTION,
    "N": ChartStyle(stroke=Stroke(ink="magenta", width_px=2.8, dash="10px,6px")),
    "V": ChartStyle(stroke=Stroke(ink="magenta", width_px=0.8)),
}
_E_SURFACE: Final = ChartStyle(stroke=Stroke(ink="magenta", width_px=1.4, dash="6px,4px"))
_E_LOW: Final = ChartStyle(stroke=Stroke(ink="magenta", width_px=1.0), shaded=True)
_E_HIGH: Final = ChartStyle(stroke=Stroke(ink="blue", width_px=1.0), shaded=True)
_OTHER: Final = ChartStyle(stroke=Stroke(ink="grey", width_px=1.2, dash="3px,3px"))


def chart_style(volume: Volume) -> ChartStyle:
    """How the edge of a volume is drawn; dotted grey where the charts have no sign for it."""
    if volume.airspace_class == "E":
        return _class_e(volume.floor)
    return _LINES.get(volume.airspace_class, _OTHER)


def _class_e(floor: Height) -> ChartStyle:
    if on_surface(floor):
        return _E_SURFACE
    is_low = floor.reference == "AGL" and floor.ft <= LOW_E_FT
    return _E_LOW if is_low else _E_HIGH


def hatching(ink: str) -> dict[str, Any]:
    """The hatching of special use, as the drawing library takes it."""
    return {"shape": "/", "size": 5, "solidity": 0.35, "fgcolor": f"@{ink}"}


def heights_texts(volume: Volume) -> tuple[str, ...]:
    """Heights as on a chart, for the drawing library, the most telling text first.

    Ceiling over floor; class D in brackets; class E by its floor alone; special use with its name.
    """
    if volume.airspace_class in {"D", "E"}:
        return (heights_row(volume),)
    stacked = f"<u>{hundreds(volume.ceiling)}</u><br>{hundreds(volume.floor)}"
    if chart_style(volume).hatched:
        return f"{plain(volume.name)}<br>{heights_row(volume)}", stacked
    return (stacked,)


def heights_row(volume: Volume) -> str:
    """The same in one line."""
    if volume.airspace_class == "D" and on_surface(volume.floor):
        return f"[{hundreds(volume.ceiling)}]"
    if volume.airspace_class == "E":
        return f"E {hundreds(volume.floor)}"
    return f"{hundreds(volume.ceiling)}/{hundreds(volume.floor)}"


def class_row(volume: Volume) -> str:
    """Class and heights in one line, for the drawing library."""
    heights = heights_row(volume)
    return heights if heights.startswith("E ") else f"{plain(volume.airspace_class)} {heights}"


def name_row(volume: Volume) -> str:
    """Name, class and heights in one line, for the drawing library."""
    return f"{plain(volume.name)} {class_row(volume)}"


def height_words(height: Height) -> str:
    """A floor or ceiling in full: "2,500 ft MSL", "700 ft AGL", "the ground"."""
    if on_surface(height):
        return "the ground"
    return f"{height.ft:,.0f} ft {height.reference}"


def hundreds(height: Height) -> str:
    """A floor or ceiling in hundreds of feet, as it is charted."""
    if on_surface(height):
        return "SFC"
    above = "" if height.reference == "MSL" else " AGL"
    return f"{height.ft / HUNDRED_FT:g}{above}"


def on_surface(height: Height) -> bool:
    """Whether a floor or ceiling is the ground itself."""
    return height.reference == "SFC" or (height.reference == "AGL" and height.ft <= 0.0)
