"""What closes each cell of a track: volumes, the ground, levels."""

import numpy as np

from lubberline.arrays import FloatArray, IntArray
from lubberline.ways.search._compiled import compiled
from lubberline.ways.search._ground import bands_between, layers_between
from lubberline.ways.search._scene import Scene
from lubberline.ways.search._shapes import length_of, misses_box, most_spans, put_spans

SAME_NM = 0.02


@compiled
def meetings(scene: Scene, corner_nm: FloatArray) -> FloatArray:
    """Where a track is too near volumes: (m, 3) of distance from and to along it, and volume."""
    out, count, before = np.empty((32, 3)), 0, 0.0
    for leg in range(corner_nm.shape[0] - 1):
        line_nm = (
            corner_nm[leg, 0],
            corner_nm[leg, 1],
            corner_nm[leg + 1, 0],
            corner_nm[leg + 1, 1],
        )
        length = length_of(line_nm[2] - line_nm[0], line_nm[3] - line_nm[1])
        for volume in scene.active:
            if misses_box(scene.sky, volume, line_nm):
                continue
            while count + most_spans(scene.sky, volume) > out.shape[0]:
                out = np.concatenate((out, np.empty_like(out)))
            end = put_spans(scene.sky, volume, line_nm, out, count)
            for row in range(count, end):
                out[row, 0] = before + out[row, 0] * length
                out[row, 1] = before + out[row, 1] * length
                out[row, 2] = volume
            count = end
        before += length
    return out[:count]


@compiled
def cut_track(
    along_nm: FloatArray, met: FloatArray, marks_nm: FloatArray, step_nm: float
) -> FloatArray:
    """Cell ends along a track: its corners, where volumes begin and end, and even steps."""
    fixed = np.sort(np.concatenate((met[:, 0], met[:, 1], marks_nm)))
    out, count = np.empty(along_nm.size + fixed.size + int(along_nm[-1] / step_nm) + 64), 0
    place = 0
    for leg in range(along_nm.size - 1):
        out[count] = along_nm[leg]
        count += 1
        while place < fixed.size and fixed[place] < along_nm[leg + 1] - SAME_NM:
            if fixed[place] > out[count - 1] + SAME_NM:
                out[count] = fixed[place]
                count += 1
            place += 1
    out[count] = along_nm[-1]
    ends = out[: count + 1]
    total = ends.size
    for cell in range(ends.size - 1):
        total += int((ends[cell + 1] - ends[cell]) / step_nm)
    filled, size = np.empty(total), 1
    filled[0] = 0.0
    for cell in range(ends.size - 1):
        length = ends[cell + 1] - ends[cell]
        parts = int(length / step_nm) + 1
        for part in range(1, parts + 1):
            filled[size] = ends[cell] + length * part / parts
            size += 1
    return filled[:size]


@compiled
def close_cells(
    scene: Scene,
    along_nm: FloatArray,
    met: FloatArray,
    low_ground_ft: FloatArray,
    high_ground_ft: FloatArray,
) -> tuple[IntArray, IntArray]:
    """Bits of the closed layers and bands of every cell."""
    count = along_nm.size - 1
    layers, bands = np.zeros(count, dtype=np.int64), np.zeros(count, dtype=np.int64)
    sky, layer_ft = scene.sky, scene.air.layer_ft
    for row in range(met.shape[0]):
        volume = int(met[row, 2])
        low_moves, high_moves = sky.low_follows[volume], sky.high_follows[volume]
        cell = max(np.searchsorted(along_nm, met[row, 0], side="right") - 1, 0)
        while cell < count and along_nm[cell] < met[row, 1] - 1e-9:
            if along_nm[cell + 1] > met[row, 0] + 1e-9:
                if low_moves or high_moves:
                    low = sky.low_ft[volume] + (low_ground_ft[cell] if low_moves else 0.0)
                    high = sky.high_ft[volume] + (high_ground_ft[cell] if high_moves else 0.0)
                    layers[cell] |= layers_between(layer_ft, low, high)
                    bands[cell] |= bands_between(layer_ft, low, high)
                else:
                    layers[cell] |= scene.level_bits[volume]
                    bands[cell] |= scene.band_bits[volume]
            cell += 1
    return layers, bands
