"""How the room of a way is drawn: margins hatched, heights not above and not below as steps."""

from collections.abc import Callable, Iterable, Iterator
from math import ceil, floor, nan
from typing import Any, Final, NamedTuple, TypeAlias

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.page.areas import filled
from lubberline.page.figure import Label, Spot, Stroke, curve, numbers
from lubberline.page.room import Room
from lubberline.page.strokes import LIMIT
from lubberline.ways import Stretch

Span: TypeAlias = tuple[float, float]
_Safe: TypeAlias = Callable[[float], int]
NOT_ABOVE: Final = "not above, not below"
MARGIN: Final = Stroke(ink="soft", width_px=0.0, hatched=True)
GAP_PX: Final = 3.0
SHORT_FRACTION: Final = 0.02  # own: shorter steps, as part of the way, are not named
PARTS: Final = (0.5, 0.3, 0.7, 0.15, 0.85)  # where along a step its words may stand


class _Step(NamedTuple):
    """A piece of the way with its height to keep."""

    from_nm: float
    to_nm: float
    ft: float


def room_traces(room: Room, across_nm: Span, up_ft: Span) -> Iterator[dict[str, Any]]:
    """The margins as far as they are seen, and the edges of the room over them."""
    import shapely

    shown = shapely.box(across_nm[0], up_ft[0], across_nm[1], up_ft[1])
    seen = room.margins.intersection(shown)
    if not seen.is_empty:
        hatch = {"shape": "\\", "size": 5, "solidity": 0.18, "fgcolor": "@soft"}
        yield filled(seen, MARGIN, fillcolor="@soft", fillpattern=hatch)
    for _, _, steps in _sides(room, up_ft):
        if steps:
            x_nm, y_ft = _line(steps)
            yield curve(numbers(x_nm, 2), numbers(y_ft, 0), LIMIT, connectgaps=False)


def room_labels(room: Room, across_nm: Span, up_ft: Span) -> Iterator[Label]:
    """The height of each step but the shortest, the longest first, on its side off the path."""
    short_nm = SHORT_FRACTION * (across_nm[1] - across_nm[0])
    for words, side, steps in _sides(room, up_ft):
        for one in sorted(steps, key=lambda one: one.from_nm - one.to_nm):
            if one.to_nm - one.from_nm < short_nm:
                continue
            yield Label(
                spots=tuple(
                    Spot(
                        x=round(one.from_nm + part * (one.to_nm - one.from_nm), 2),
                        y=round(one.ft),
                        text=text,
                        side=side,
                    )
                    for text in (f"{words} {one.ft:,.0f}", f"{one.ft:,.0f}")
                    for part in PARTS
                ),
                gap_px=GAP_PX,
            )


def _sides(room: Room, up_ft: Span) -> Iterator[tuple[str, str, list[_Step]]]:
    """Steps not above and not below as far as they are seen, to the safe ten feet."""
    above = ((one, one.not_above_ft, floor) for one in room.stretches)
    below = ((one, one.not_below_ft, ceil) for one in room.stretches)
    yield "not above", "top center", _steps(above, up_ft)
    yield "not below", "bottom center", _steps(below, up_ft)


def _steps(told: Iterable[tuple[Stretch, float | None, _Safe]], up_ft: Span) -> list[_Step]:
    """Neighbors of one height are one step."""
    steps: list[_Step] = []
    for one, ft, safe in told:
        if ft is None or ft > up_ft[1]:
            continue
        step = _Step(one.from_nm, one.to_nm, safe(round(ft / 10.0, 6)) * 10.0)
        if steps and (steps[-1].to_nm, steps[-1].ft) == (step.from_nm, step.ft):
            step = _Step(steps.pop().from_nm, step.to_nm, step.ft)
        steps.append(step)
    return steps


def _line(steps: list[_Step]) -> tuple[FloatArray, FloatArray]:
    """Steps as one line, broken where nothing bounds between two of them."""
    rows: list[tuple[float, float]] = []
    for step in steps:
        if rows and rows[-1][0] != step.from_nm:
            rows.append((step.from_nm, nan))
        rows += [(step.from_nm, step.ft), (step.to_nm, step.ft)]
    x_nm, y_ft = np.array(rows, dtype=float).T
    return x_nm, y_ft
