"""The ground in the plane, the height to keep above it, and which layers that leaves."""

from typing import NamedTuple

from lubberline.arrays import FloatArray
from lubberline.ways.search._compiled import leaf
from lubberline.ways.search._shapes import Line, Sky, first_and_last, length_of

STEP_NM = 1.0  # own: lines are looked at this often over uneven ground


class Ground(NamedTuple):
    """Ground on a raster and what is asked above it.

    ``raster_nm`` is west, south and step; ``ends_nm`` (2, 2) the aerodromes, within
    ``radius_nm`` of which the height above ground falls to nothing; ``excess_ft`` (2,) is how
    far the raster stands above each field.
    """

    flat: bool
    raster_nm: FloatArray
    ground_ft: FloatArray
    ends_nm: FloatArray
    excess_ft: FloatArray
    radius_nm: float
    least_agl_ft: float
    level_agl_ft: float


@leaf
def ground_at(ground: Ground, east_nm: float, north_nm: float) -> float:
    """Ground height, bilinear, held at the edges."""
    if ground.flat:
        return float(ground.ground_ft[0, 0])
    rows, columns = ground.ground_ft.shape
    column = (east_nm - ground.raster_nm[0]) / ground.raster_nm[2]
    row = (north_nm - ground.raster_nm[1]) / ground.raster_nm[2]
    column = min(max(column, 0.0), columns - 1.000001)
    row = min(max(row, 0.0), rows - 1.000001)
    west, south = int(column), int(row)
    right, up = column - west, row - south
    feet = ground.ground_ft
    low = feet[south, west] * (1.0 - right) + feet[south, west + 1] * right
    high = feet[south + 1, west] * (1.0 - right) + feet[south + 1, west + 1] * right
    return float(low * (1.0 - up) + high * up)


@leaf
def need_at(ground: Ground, east_nm: float, north_nm: float) -> float:
    """Least height above mean sea level at a place."""
    share, floor = 1.0, ground_at(ground, east_nm, north_nm)
    for end in range(2):
        off_x, off_y = east_nm - ground.ends_nm[end, 0], north_nm - ground.ends_nm[end, 1]
        if abs(off_x) >= ground.radius_nm or abs(off_y) >= ground.radius_nm:
            continue
        part = min(length_of(off_x, off_y) / ground.radius_nm, 1.0)
        floor -= (1.0 - part) * max(ground.excess_ft[end], 0.0)
        share = min(share, part)
    return float(floor + ground.least_agl_ft * share)


@leaf
def ground_between(ground: Ground, line_nm: Line) -> tuple[float, float, float]:
    """Least and greatest ground under a line, and the greatest need above it."""
    run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
    count = 2 if ground.flat else max(int(length_of(run_x, run_y) / STEP_NM) + 1, 2)
    low, high, need = 1e9, -1e9, -1e9
    for place in range(count + 1):
        x = line_nm[0] + run_x * place / count
        y = line_nm[1] + run_y * place / count
        feet = ground_at(ground, x, y)
        low, high = min(low, feet), max(high, feet)
        need = max(need, need_at(ground, x, y))
    return low, high, need


@leaf
def layers_between(layer_ft: FloatArray, low_ft: float, high_ft: float) -> int:
    """Bits of the layers strictly between two heights."""
    bits = 0
    for layer in range(layer_ft.size):
        if low_ft < layer_ft[layer] < high_ft:
            bits |= 1 << layer
    return bits


@leaf
def bands_between(layer_ft: FloatArray, low_ft: float, high_ft: float) -> int:
    """Bits of the bands (from each layer to the next) that overlap a range of heights."""
    bits = 0
    for layer in range(layer_ft.size - 1):
        if low_ft < layer_ft[layer + 1] and layer_ft[layer] < high_ft:
            bits |= 1 << layer
    return bits


@leaf
def closed_span_ft(sky: Sky, ground: Ground, volume: int, line_nm: Line) -> tuple[float, float]:
    """The heights that a volume closes anywhere along a line."""
    low_ft, high_ft = sky.low_ft[volume], sky.high_ft[volume]
    if not (sky.low_follows[volume] or sky.high_follows[volume]):
        return low_ft, high_ft
    least, most, _ = ground_between(ground, line_nm)
    return (
        low_ft + (least if sky.low_follows[volume] else 0.0),
        high_ft + (most if sky.high_follows[volume] else 0.0),
    )


@leaf
def follows(sky: Sky, volume: int) -> bool:
    """Whether a volume's heights go up and down with the ground."""
    return bool(sky.low_follows[volume] or sky.high_follows[volume])


@leaf
def part_near(sky: Sky, volume: int, line_nm: Line) -> Line:
    """The part of a line from where it first comes too near a volume to where it last is."""
    first, last = first_and_last(sky, volume, line_nm)
    if first >= last:
        return line_nm
    run_x, run_y = line_nm[2] - line_nm[0], line_nm[3] - line_nm[1]
    return (
        line_nm[0] + first * run_x,
        line_nm[1] + first * run_y,
        line_nm[0] + last * run_x,
        line_nm[1] + last * run_y,
    )
