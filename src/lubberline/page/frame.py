"""Where a picture's values stand on paper: the frame of its axes, and the texts of its labels."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from html import unescape
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray

LETTER_PX: Final = 10.5
EM_FRACTION: Final = 0.6021  # every letter of DejaVu Sans Mono is so wide: 1,233 of 2,048
LINE_PX: Final = 12.5
STEPS: Final = (1.0, 2.0, 5.0)
Area = tuple[float, float, float, float]  # left, top, right, bottom


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """The area of a plot [px] and the values at its left, bottom, right and top edges."""

    area: Area
    across: tuple[float, float]
    up: tuple[float, float]

    def x_px(self, column: Sequence[float | None]) -> FloatArray:
        """Values of the lower axis on paper; NaN for None."""
        return _between(column, self.across, self.area[0], self.area[2])

    def y_px(self, column: Sequence[float | None]) -> FloatArray:
        """Values of the upright axis on paper; NaN for None."""
        return _between(column, self.up, self.area[3], self.area[1])


def _between(
    column: Sequence[float | None], span: tuple[float, float], from_px: float, to_px: float
) -> FloatArray:
    values = np.array(column, dtype=np.float64)
    return np.asarray(from_px + (values - span[0]) / (span[1] - span[0]) * (to_px - from_px))


def frame_of(
    layout: dict[str, Any], height_ratio: float, *, wide_px: float, top_px: float
) -> Frame:
    """The frame of a picture so wide, its upper margin beginning at ``top_px``."""
    margin = layout["margin"]
    left_px, right_px = float(margin["l"]), wide_px - margin["r"]
    high_px = top_px + margin["t"]
    return Frame(
        area=(left_px, high_px, right_px, high_px + (right_px - left_px) * height_ratio),
        across=tuple(layout["xaxis"]["range"]),
        up=tuple(layout["yaxis"]["range"]),
    )


def ticks(axis: dict[str, Any], span: tuple[float, float], *, most_count: int) -> list[float]:
    """Round values along an axis, at its own step if it has one."""
    wide = (span[1] - span[0]) / most_count
    power = 10.0 ** np.floor(np.log10(wide))
    step = axis.get("dtick") or next((s * power for s in STEPS if s * power >= wide), 10.0 * power)
    first, last = np.ceil(span[0] / step - 1e-9), np.floor(span[1] / step + 1e-9)
    return [float(step * n) for n in range(int(first), int(last) + 1)]


def size_px(text: str) -> tuple[float, float]:
    """How wide and high a label is, with its marks taken away."""
    lines = [unescape(re.sub("<.*?>", "", line)) for line in text.split("<br>")]
    return max(map(len, lines)) * EM_FRACTION * LETTER_PX, len(lines) * LINE_PX


def box_of(x_px: float, y_px: float, text: str, side: str, gap_px: float) -> Area:
    """The area that a label takes on one side of a place."""
    wide_px, high_px = size_px(text)
    upright, along = side.split()
    down = {"top": -1.0, "middle": 0.0, "bottom": 1.0}[upright]
    across = {"left": -1.0, "center": 0.0, "right": 1.0}[along]
    off_px = gap_px * 0.6 if down and across else gap_px
    x_px += across * (off_px + wide_px / 2.0)
    y_px += down * (off_px + high_px / 2.0)
    half = np.array([wide_px, high_px]) / 2.0
    return x_px - half[0], y_px - half[1], x_px + half[0], y_px + half[1]
