"""How the room of a way is drawn: margins hatched, heights not above and not below as steps."""

from collections.abc import Iterator
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray, IntArray
from lubberline.page.areas import filled
from lubberline.page.figure import Label, Spot, Stroke, curve, numbers
from lubberline.page.room import Room
from lubberline.page.strokes import LIMIT

NOT_ABOVE: Final = "not above, not below"
MARGIN: Final = Stroke(ink="soft", width_px=0.0, hatched=True)
GAP_PX: Final = 3.0
SHORT_FRACTION: Final = 0.02  # own: shorter steps, as part of the way, are not named
PARTS: Final = (0.5, 0.3, 0.7, 0.15, 0.85)  # where along a step its words may stand


def room_traces(room: Room, up_ft: tuple[float, float]) -> Iterator[dict[str, Any]]:
    """The margins as far as they are seen, and the edges of the room over them."""
    import shapely

    along_nm = room.along_nm
    shown = shapely.box(along_nm[0], up_ft[0], along_nm[-1], up_ft[1])
    seen = room.margins.intersection(shown)
    if not seen.is_empty:
        hatch = {"shape": "\\", "size": 5, "solidity": 0.18, "fgcolor": "@soft"}
        yield filled(seen, MARGIN, fillcolor="@soft", fillpattern=hatch)
    for step_ft in (room.not_above_ft, room.not_below_ft):
        kept = np.where(step_ft <= up_ft[1], step_ft, np.nan)
        rows = _corners(kept)
        if np.isfinite(kept[rows]).any():
            x_nm, y_ft = numbers(along_nm[rows], 2), numbers(kept[rows], 0)
            yield curve(x_nm, y_ft, LIMIT, connectgaps=False)


def room_labels(room: Room, up_ft: tuple[float, float]) -> Iterator[Label]:
    """The height of each step but the shortest, on its side away from the path."""
    short_nm = SHORT_FRACTION * float(np.ptp(room.along_nm))
    for words, side, step_ft in (
        ("not above", "top center", room.not_above_ft),
        ("not below", "bottom center", room.not_below_ft),
    ):
        for run in _level_runs(np.where(step_ft <= up_ft[1], step_ft, np.nan)):
            left_nm, right_nm = room.along_nm[run.start], room.along_nm[run.stop - 1]
            if right_nm - left_nm < short_nm:
                continue
            height_ft = float(step_ft[run.start])
            yield Label(
                spots=tuple(
                    Spot(
                        x=round(float(left_nm + part * (right_nm - left_nm)), 2),
                        y=round(height_ft),
                        text=text,
                        side=side,
                    )
                    for text in (f"{words} {height_ft:,.0f}", f"{height_ft:,.0f}")
                    for part in PARTS
                ),
                gap_px=GAP_PX,
            )


def _corners(step_ft: FloatArray) -> IntArray:
    """The rows that a line needs: all but the middle ones of level runs."""
    same = np.diff(step_ft) == 0.0
    inner = np.concatenate([[False], same[:-1] & same[1:], [False]])
    return np.flatnonzero(~inner)


def _level_runs(step_ft: FloatArray) -> list[slice]:
    """Runs of one height, the longest first."""
    starts = np.flatnonzero(np.concatenate([[True], np.diff(step_ft) != 0.0]))
    stops = np.append(starts[1:], step_ft.size)
    runs = [
        slice(int(start), int(stop))
        for start, stop in zip(starts, stops, strict=True)
        if stop - start > 1 and np.isfinite(step_ft[start])
    ]
    return sorted(runs, key=lambda run: run.start - run.stop)
