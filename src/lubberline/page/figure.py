"""A picture as the page needs it: data, layout and labels for drawing, and what it says in words.

Colors are names of the page's own inks (``@ink``, ``@blue/0.2``), which the page turns into
colors of its light or dark paper. Labels are places where a text may stand, the best first; the
page takes the first that touches no other label, and leaves out a text that has no room.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray

SIDES: Final = (
    *("middle right", "middle left", "top center", "bottom center"),
    *("top right", "bottom right", "top left", "bottom left"),
)
Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One place for a label: where in the picture's axes, and on which side of it."""

    x: Any
    y: Any
    text: str
    side: str = "middle center"


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A text with its places, best first; ``within`` (parts of the width and height) bounds it.

    ``gap_px`` is how far it stands from its place, on the side that the place names.
    """

    spots: tuple[Spot, ...]
    ink: str = "ink"
    within: Box | None = None
    gap_px: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """How a line is drawn, the same in the picture and in the legend under it.

    ``hatched`` is an area beside it.
    """

    ink: str
    width_px: float = 1.5
    dash: str = ""
    hatched: bool = False

    def line(self) -> dict[str, Any]:
        """The line as the drawing library takes it."""
        return {"color": f"@{self.ink}", "width": self.width_px, "dash": self.dash or "solid"}


@dataclass(frozen=True, slots=True, kw_only=True)
class LegendRow:
    """What a line in the picture means."""

    label: str
    ink: str
    width_px: float
    dash: str
    hatched: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Caption:
    """The words of a picture: its title, what it says to those who do not see it, its legend.

    ``name`` identifies it in the page; ``notes`` say what it could not show.
    """

    name: str
    title: str
    says: str
    legend: tuple[LegendRow, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One picture: its words, and its content as JSON that may stand in the page."""

    caption: Caption
    json: str


def figure(
    caption: Caption,
    *,
    traces: list[dict[str, Any]],
    layout: dict[str, Any],
    height_ratio: float,
    labels: Sequence[Label] = (),
) -> Figure:
    """The picture with the page's common layout under its own; its height follows its width."""
    common: dict[str, Any] = {
        "margin": {"l": 56, "r": 8, "t": 8, "b": 44},
        "font": {"size": 12, "color": "@ink", "family": "system-ui, sans-serif"},
        "paper_bgcolor": "@paper/0",
        "plot_bgcolor": "@paper/0",
        "showlegend": False,
        "hovermode": "closest",
        "hoverlabel": {"bgcolor": "@paper", "bordercolor": "@ink", "font": {"color": "@ink"}},
        "dragmode": False,
    }
    content = {
        "data": [*traces, *_label_traces(labels)],
        "layout": {**common, **layout},
        "labels": [[len(one.spots), one.within, one.gap_px] for one in labels],
        "ratio": round(height_ratio, 4),
    }
    return Figure(caption=caption, json=_for_page(content))


def legend(*rows: tuple[str, Stroke]) -> tuple[LegendRow, ...]:
    """What each line means, in the order given."""
    return tuple(
        LegendRow(
            label=text, ink=one.ink, width_px=one.width_px, dash=one.dash, hatched=one.hatched
        )
        for text, one in rows
    )


def axis(title: str, **more: Any) -> dict[str, Any]:
    """An axis with its title and a thin grid; it stays where it is."""
    return {
        "title": {"text": title, "standoff": 6},
        "zeroline": False,
        "gridcolor": "@rule",
        "gridwidth": 0.5,
        "fixedrange": True,
        **more,
    }


def curve(x: list[Any], y: list[Any], stroke: Stroke, **more: Any) -> dict[str, Any]:
    """A line in the picture that says nothing when it is pointed at."""
    line = stroke.line()
    common = {"type": "scatter", "mode": "lines", "hoverinfo": "skip", "showlegend": False}
    return {**common, "x": x, "y": y, "line": line, **more}


def numbers(column: FloatArray, digits: int = 3) -> list[float | None]:
    """A column for JSON: rounded, and None where it is not known."""
    return [round(v, digits) if np.isfinite(v) else None for v in column.tolist()]


def plain(text: str) -> str:
    """Text that the drawing library shows as it is: its signs for bold or links stay signs."""
    return escape(text, quote=False)


def around(x: Any, y: Any, text: str, sides: Sequence[str] = SIDES) -> tuple[Spot, ...]:
    """Places round a mark, the right-hand side first."""
    return tuple(Spot(x=x, y=y, text=text, side=side) for side in sides)


def _label_traces(labels: Sequence[Label]) -> list[dict[str, Any]]:
    """All places of all labels in one trace, the last of the picture: the page chooses."""
    spots = [(spot, label.ink) for label in labels for spot in label.spots]
    if not spots:
        return []
    return [
        {
            "type": "scatter",
            "mode": "text",
            "x": [spot.x for spot, _ in spots],
            "y": [spot.y for spot, _ in spots],
            "text": [spot.text for spot, _ in spots],
            "textposition": [spot.side for spot, _ in spots],
            "textfont": {"size": 11.5, "color": [f"@{ink}" for _, ink in spots]},
            "hoverinfo": "skip",
            "showlegend": False,
        }
    ]


def _for_page(content: dict[str, Any]) -> str:
    """JSON that cannot end the element it stands in."""
    text = json.dumps(content, allow_nan=False, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")
