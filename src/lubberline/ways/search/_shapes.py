"""Where straight lines pass nearer than its margin to a volume, in the plane.

A footprint with its margin is a ring between circles, or the union of capsules round the edges
of a polygon and what lies inside them. All is exact. Each line goes from a to b; spans are
fractions of it.
"""

from typing import NamedTuple

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray
from lubberline.ways.search._compiled import leaf

# Tuples of numbers, not rows of arrays: what is looked at a million times shall not be counted.
Line = tuple[float, float, float, float]


class Sky(NamedTuple):
    """Volumes to keep clear of, as columns; v of them with e edges in all.

    ``round_nm`` (v, 4) is center, outer and inner radius with the margin applied, outer 0 for
    a polygon; ``edges_nm`` (e, 4) where an edge begins and how far it goes. Nothing is allowed
    strictly between ``low_ft`` and ``high_ft``, which count from the ground where ``follows``.
    """

    box_nm: FloatArray
    round_nm: FloatArray
    first_edge: IntArray
    edges_nm: FloatArray
    margin_nm: FloatArray
    low_ft: FloatArray
    high_ft: FloatArray
    low_follows: BoolArray
    high_follows: BoolArray


@leaf
def length_of(run_x: float, run_y: float) -> float:
    """How long a step is; quicker than ``np.hypot``, which minds numbers that no map has."""
    return float(np.sqrt(run_x * run_x + run_y * run_y))


@leaf
def row_of(table: FloatArray, row: int) -> Line:
    """Four numbers of a table (n, 4)."""
    return table[row, 0], table[row, 1], table[row, 2], table[row, 3]


@leaf
def misses_box(sky: Sky, volume: int, line_nm: Line) -> bool:
    """Whether a line (ax, ay, bx, by) stays clear of a volume's bounding box."""
    box = sky.box_nm
    return bool(
        (line_nm[0] <= box[volume, 0] and line_nm[2] <= box[volume, 0])
        or (line_nm[0] >= box[volume, 2] and line_nm[2] >= box[volume, 2])
        or (line_nm[1] <= box[volume, 1] and line_nm[3] <= box[volume, 1])
        or (line_nm[1] >= box[volume, 3] and line_nm[3] >= box[volume, 3])
    )


@leaf
def disc_span(
    line_nm: Line, east_nm: float, north_nm: float, radius_nm: float
) -> tuple[float, float]:
    """Fractions at which the line is nearer to a point than a radius; empty if out of order."""
    from_x, from_y = line_nm[0] - east_nm, line_nm[1] - north_nm
    run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
    square = run_x * run_x + run_y * run_y
    beyond = from_x * from_x + from_y * from_y - radius_nm * radius_nm
    if square == 0.0:
        return (0.0, 1.0) if beyond < 0.0 else (1.0, 0.0)
    half = from_x * run_x + from_y * run_y
    root = half * half - square * beyond
    if root <= 0.0:
        return 1.0, 0.0
    root = np.sqrt(root)
    return max((-half - root) / square, 0.0), min((-half + root) / square, 1.0)


@leaf
def clip(first: float, last: float, start_nm: float, run_nm: float) -> tuple[float, float]:
    """The part of a span where a linear value, start + run * fraction, is positive."""
    if run_nm == 0.0:
        return (first, last) if start_nm > 0.0 else (1.0, 0.0)
    zero = -start_nm / run_nm
    if run_nm > 0.0:
        return max(first, zero), last
    return first, min(last, zero)


@leaf
def edge_span(line_nm: Line, edge_nm: Line, margin_nm: float) -> tuple[float, float]:
    """Fractions at which the line is beside an edge, nearer than the margin."""
    length = np.sqrt(edge_nm[2] * edge_nm[2] + edge_nm[3] * edge_nm[3])
    unit_x, unit_y = edge_nm[2] / length, edge_nm[3] / length
    from_x, from_y = line_nm[0] - edge_nm[0], line_nm[1] - edge_nm[1]
    run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
    across, run_across = from_x * unit_y - from_y * unit_x, run_x * unit_y - run_y * unit_x
    first, last = clip(0.0, 1.0, margin_nm + across, run_across)
    first, last = clip(first, last, margin_nm - across, -run_across)
    if first >= last:
        return 1.0, 0.0
    along, run_along = from_x * unit_x + from_y * unit_y, run_x * unit_x + run_y * unit_y
    first, last = clip(first, last, along, run_along)
    return clip(first, last, length - along, -run_along)


@leaf
def capsule_span(line_nm: Line, edge_nm: Line, margin_nm: float, part: int) -> tuple[float, float]:
    """Fractions at which the line is too near an edge: beside it (part 0), or to its start."""
    if part == 0:
        return edge_span(line_nm, edge_nm, margin_nm)
    return disc_span(line_nm, edge_nm[0], edge_nm[1], margin_nm)


@leaf
def edge_is_far(line_nm: Line, edge_nm: Line, margin_nm: float) -> bool:
    """Whether bounding boxes alone say that the line stays away from an edge and its start."""
    low_x, high_x = (
        min(edge_nm[0], edge_nm[0] + edge_nm[2]),
        max(edge_nm[0], edge_nm[0] + edge_nm[2]),
    )
    low_y, high_y = (
        min(edge_nm[1], edge_nm[1] + edge_nm[3]),
        max(edge_nm[1], edge_nm[1] + edge_nm[3]),
    )
    return bool(
        max(line_nm[0], line_nm[2]) <= low_x - margin_nm
        or min(line_nm[0], line_nm[2]) >= high_x + margin_nm
        or max(line_nm[1], line_nm[3]) <= low_y - margin_nm
        or min(line_nm[1], line_nm[3]) >= high_y + margin_nm
    )


@leaf
def inside(sky: Sky, volume: int, east_nm: float, north_nm: float) -> bool:
    """Whether a point lies inside the edges of a polygon, holes taken out."""
    odd = False
    for edge in range(sky.first_edge[volume], sky.first_edge[volume + 1]):
        start_x, start_y, run_x, run_y = row_of(sky.edges_nm, edge)
        end_y = start_y + run_y
        if (start_y > north_nm) != (end_y > north_nm):
            if east_nm < start_x + run_x * (north_nm - start_y) / run_y:
                odd = not odd
    return odd


@leaf
def touches(sky: Sky, volume: int, line_nm: Line) -> bool:
    """Whether a line anywhere comes nearer than the margin."""
    if misses_box(sky, volume, line_nm):
        return False
    if sky.round_nm[volume, 2] > 0.0:
        return touches_ring(sky, volume, line_nm)
    margin_nm = sky.margin_nm[volume]
    for edge in range(sky.first_edge[volume], sky.first_edge[volume + 1]):
        edge_nm = row_of(sky.edges_nm, edge)
        if edge_is_far(line_nm, edge_nm, margin_nm):
            continue
        for part in range(2):
            first, last = capsule_span(line_nm, edge_nm, margin_nm, part)
            if first < last:
                return True
    return inside(sky, volume, line_nm[0], line_nm[1])


@leaf
def touches_ring(sky: Sky, volume: int, line_nm: Line) -> bool:
    """The same for a circle or ring."""
    east_nm, north_nm, outer_nm, inner_nm = row_of(sky.round_nm, volume)
    first, last = disc_span(line_nm, east_nm, north_nm, outer_nm)
    if first >= last:
        return False
    if inner_nm <= 0.0:
        return True
    start = length_of(line_nm[0] - east_nm, line_nm[1] - north_nm)
    end = length_of(line_nm[2] - east_nm, line_nm[3] - north_nm)
    return bool(max(start, end) > inner_nm)


@leaf
def most_spans(sky: Sky, volume: int) -> int:
    """Rows that `put_spans` may need."""
    return max(2 * int(sky.first_edge[volume + 1] - sky.first_edge[volume]), 2)


@leaf
def put_spans(sky: Sky, volume: int, line_nm: Line, out: FloatArray, begin: int) -> int:
    """Fractions at which the line is nearer than the margin, in order, disjoint.

    They go to the first two columns of ``out``, from row ``begin``; returns the row after them.
    """
    if sky.round_nm[volume, 2] > 0.0:
        return put_ring_spans(sky, volume, line_nm, out, begin)
    end, margin_nm = begin, sky.margin_nm[volume]
    for edge in range(sky.first_edge[volume], sky.first_edge[volume + 1]):
        edge_nm = row_of(sky.edges_nm, edge)
        if edge_is_far(line_nm, edge_nm, margin_nm):
            continue
        for part in range(2):
            first, last = capsule_span(line_nm, edge_nm, margin_nm, part)
            if first < last:
                end = joined(out, begin, end, (first, last))
    return filled(sky, volume, line_nm, out, begin, end)


@leaf
def put_ring_spans(sky: Sky, volume: int, line_nm: Line, out: FloatArray, begin: int) -> int:
    """The same for a circle or ring."""
    east_nm, north_nm, outer_nm, inner_nm = row_of(sky.round_nm, volume)
    first, last = disc_span(line_nm, east_nm, north_nm, outer_nm)
    if first >= last:
        return begin
    leave, enter = 1.0, 0.0
    if inner_nm > 0.0:
        leave, enter = disc_span(line_nm, east_nm, north_nm, inner_nm)
    if leave >= enter:
        out[begin, 0], out[begin, 1] = first, last
        return begin + 1
    end = begin
    if first < leave:
        out[end, 0], out[end, 1] = first, leave
        end += 1
    if enter < last:
        out[end, 0], out[end, 1] = enter, last
        end += 1
    return end


@leaf
def joined(out: FloatArray, begin: int, end: int, span: tuple[float, float]) -> int:
    """Put one more span among those of some rows, which are in order and disjoint."""
    first, last = span
    place = begin
    while place < end and out[place, 1] < first:
        place += 1
    after = place
    while after < end and out[after, 0] <= last:
        first, last = min(first, out[after, 0]), max(last, out[after, 1])
        after += 1
    gone = after - place - 1
    if gone < 0:
        for row in range(end, place, -1):
            out[row, 0], out[row, 1] = out[row - 1, 0], out[row - 1, 1]
    elif gone > 0:
        for row in range(after, end):
            out[row - gone, 0], out[row - gone, 1] = out[row, 0], out[row, 1]
    out[place, 0], out[place, 1] = first, last
    return end - gone


@leaf
def filled(sky: Sky, volume: int, line_nm: Line, out: FloatArray, begin: int, end: int) -> int:
    """Spans beside edges together with the gaps between them that lie inside."""
    if begin == end:
        if not inside(sky, volume, line_nm[0], line_nm[1]):
            return begin
        out[begin, 0], out[begin, 1] = 0.0, 1.0
        return begin + 1
    run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
    if out[begin, 0] > 0.0 and inside(sky, volume, line_nm[0], line_nm[1]):
        out[begin, 0] = 0.0
    kept = begin
    for row in range(begin + 1, end):
        middle = (out[kept, 1] + out[row, 0]) / 2.0
        if inside(sky, volume, line_nm[0] + middle * run_x, line_nm[1] + middle * run_y):
            out[kept, 1] = out[row, 1]
        else:
            kept += 1
            out[kept, 0], out[kept, 1] = out[row, 0], out[row, 1]
    if out[kept, 1] < 1.0 and inside(sky, volume, line_nm[2], line_nm[3]):
        out[kept, 1] = 1.0
    return kept + 1


@leaf
def first_and_last(sky: Sky, volume: int, line_nm: Line) -> tuple[float, float]:
    """Fractions at which the line first and last is nearer than the margin; 1 and 0 if never."""
    if sky.round_nm[volume, 2] > 0.0:
        east_nm, north_nm, outer_nm, inner_nm = row_of(sky.round_nm, volume)
        first, last = disc_span(line_nm, east_nm, north_nm, outer_nm)
        if first < last and inner_nm > 0.0:
            leave, enter = disc_span(line_nm, east_nm, north_nm, inner_nm)
            if leave < enter:
                first, last = enter if leave <= first else first, leave if enter >= last else last
        return (first, last) if first < last else (1.0, 0.0)
    first = 0.0 if inside(sky, volume, line_nm[0], line_nm[1]) else 1.0
    last = 1.0 if inside(sky, volume, line_nm[2], line_nm[3]) else 0.0
    margin_nm = sky.margin_nm[volume]
    for edge in range(sky.first_edge[volume], sky.first_edge[volume + 1]):
        edge_nm = row_of(sky.edges_nm, edge)
        if edge_is_far(line_nm, edge_nm, margin_nm):
            continue
        for part in range(2):
            start, end = capsule_span(line_nm, edge_nm, margin_nm, part)
            if start < end:
                first, last = min(first, start), max(last, end)
    return first, last
