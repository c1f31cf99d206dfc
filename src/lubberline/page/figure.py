"""A picture as the page needs it: data and layout for the drawing library, and what it says."""

import json
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray

# Chosen to stay apart for color-blind eyes and on white and dark paper; dashes differ as well.
WAY_COLORS: Final = ("#0072b2", "#d55e00", "#009e73", "#cc79a7", "#8a6d00", "#56b4e9")
WAY_DASHES: Final = ("solid", "dash", "dashdot", "longdash", "dot", "longdashdot")


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One picture under its title; ``says`` is its text for those who do not see it."""

    name: str
    title: str
    says: str
    height_px: int
    json: str


def figure(
    name: str,
    title: str,
    says: str,
    *,
    traces: list[dict[str, Any]],
    layout: dict[str, Any],
    height_px: int,
) -> Figure:
    """The picture with the page's common layout under its own."""
    common: dict[str, Any] = {
        "autosize": True,
        "margin": {"l": 60, "r": 12, "t": 10, "b": 44},
        "paper_bgcolor": "rgba(0,0,0,0)",
        "plot_bgcolor": "rgba(0,0,0,0)",
        "font": {"size": 12},
        "showlegend": False,
        "hovermode": "closest",
        "dragmode": False,
    }
    content = json.dumps({"data": traces, "layout": {**common, **layout}}, allow_nan=False)
    return Figure(
        name=name, title=title, says=says, height_px=height_px, json=content.replace("</", "<\\/")
    )


def axis(title: str, **more: Any) -> dict[str, Any]:
    """An axis with its title and a thin grid."""
    return {"title": {"text": title}, "zeroline": False, "gridwidth": 0.5, **more}


def numbers(column: FloatArray, digits: int = 3) -> list[float | None]:
    """A column for JSON: rounded, and None where it is not known."""
    return [round(v, digits) if np.isfinite(v) else None for v in column.tolist()]
