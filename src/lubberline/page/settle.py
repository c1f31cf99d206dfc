"""Which place each label of a picture takes, as the page does it in the browser.

Of the places that touch no other label and no mark, the one that the fewest lines run through; a
label without such a place is left out.
"""

from collections.abc import Iterator
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.page.frame import Area, Frame, box_of

APART_PX: Final = 6.0
STEP_PX: Final = 6.0  # how closely a line is looked at
Placed = tuple[str, str, Area]


def settled(content: dict[str, Any], frame: Frame) -> Iterator[Placed]:
    """Text, ink and area of each label that has a place."""
    if not content["labels"]:
        return
    *traces, spots = content["data"]
    x_px, y_px = frame.x_px(spots["x"]), frame.y_px(spots["y"])
    marks, lines = _marks(traces, frame), _lines(traces, frame)
    taken: list[Area] = []
    first = 0
    for count, within, gap_px in content["labels"]:
        bounds = frame.area if within is None else _part(frame.area, within)
        best: tuple[int, int, Area] | None = None
        for at in range(first, first + count):
            side = spots["textposition"][at]
            box = box_of(x_px[at], y_px[at], spots["text"][at], side, gap_px)
            if not _inside(box, bounds) or any(_touch(box, one) for one in (*marks, *taken)):
                continue
            crossed = _crossed(lines, box)
            if best is None or crossed < best[0]:
                best = (crossed, at, box)
        if best is not None:
            taken.append(best[2])
            yield spots["text"][best[1]], spots["textfont"]["color"][best[1]], best[2]
        first += count


def _marks(traces: list[dict[str, Any]], frame: Frame) -> list[Area]:
    """Where marks stand, smaller by what labels stay apart from each other."""
    marks = []
    for trace in (one for one in traces if one["mode"] == "markers"):
        half_px = trace["marker"]["size"] / 2.0 - APART_PX + 1.0
        places = zip(frame.x_px(trace["x"]), frame.y_px(trace["y"]), strict=True)
        marks += [(x - half_px, y - half_px, x + half_px, y + half_px) for x, y in places]
    return marks


def _lines(traces: list[dict[str, Any]], frame: Frame) -> FloatArray:
    """Places along every line that is drawn, (n, 2)."""
    drawn = [one for one in traces if one["mode"] == "lines" and one["line"]["width"] > 0.0]
    places = [np.empty((0, 2))]
    for trace in drawn:
        line = np.column_stack([frame.x_px(trace["x"]), frame.y_px(trace["y"])])
        steps_px = np.nan_to_num(np.hypot(*np.diff(line, axis=0).T))
        along_px = np.concatenate([[0.0], np.cumsum(steps_px)])
        at_px = np.arange(0.0, along_px[-1], STEP_PX)
        places.append(np.column_stack([np.interp(at_px, along_px, column) for column in line.T]))
    return np.vstack(places)


def _crossed(lines_px: FloatArray, box: Area) -> int:
    x_px, y_px = lines_px.T
    inside = (x_px > box[0]) & (x_px < box[2]) & (y_px > box[1]) & (y_px < box[3])
    return int(np.count_nonzero(inside))


def _part(area: Area, within: Area) -> Area:
    """A part of the plot, given in parts of its width and height from the lower left."""
    left, low, right, top = (min(max(part, 0.0), 1.0) for part in within)
    wide_px, high_px = area[2] - area[0], area[3] - area[1]
    return (
        area[0] + left * wide_px,
        area[3] - top * high_px,
        area[0] + right * wide_px,
        area[3] - low * high_px,
    )


def _inside(box: Area, bounds: Area) -> bool:
    return (
        box[0] >= bounds[0] - 1.0
        and box[2] <= bounds[2] + 1.0
        and box[1] >= bounds[1] - 1.0
        and box[3] <= bounds[3] + 1.0
    )


def _touch(one: Area, other: Area) -> bool:
    across = one[0] < other[2] + APART_PX and other[0] < one[2] + APART_PX
    return across and one[1] < other[3] + 2.0 and other[1] < one[3] + 2.0
