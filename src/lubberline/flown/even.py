"""The track on even time steps, with speed, direction and climb by local straight-line fits.

Phases and measures need the same spacing whatever the recorder gave (0.2 to 50 Hz), so a track
is averaged into steps of one second, or interpolated to them; a recorder slower than 0.2 Hz gets
five steps per sample. Nothing is interpolated across a gap: the track falls apart into segments
there. Every derived column is the slope of a straight line fitted to a window of time, the least
noisy estimate of a rate under white noise.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, FloatArray, IntArray, median, wrap_180_deg, wrap_360_deg
from lubberline.flown._line_fit import line
from lubberline.flown.unplaced import is_placed, recorded_velocity_kt
from lubberline.recording import Gap, Track
from lubberline.units import FT_PER_NM, M_PER_NM, S_PER_H, S_PER_MIN

STEP_S: Final = 1.0
EVERY_STEP: Final = slice(None)
NM_PER_DEG: Final = 60.0  # of latitude, near enough
STEPS_PER_SAMPLE: Final = 5.0  # own: for recorders slower than 0.2 Hz
GAP_SAMPLES: Final = 3.5  # own: three lost samples are bridged
LEAST_STEP_FT: Final = 0.5  # a finer last digit hides in the noise
GAP_S: Final = 15.0  # own: and so is anything shorter than this

QUICK_S: Final = 4.0  # half window of the speed: a ground roll lasts longer than this
STEADY_S: Final = 10.0  # half window of what is judged, and of standing still
CLIMB_S: Final = 15.0  # half window of the climb rate

_EQUATOR_M: Final = 6_378_137.0  # WGS-84 semi-major axis [WGS84]
_ECCENTRICITY_SQUARED: Final = 6.694_379_990_14e-3  # WGS-84, derived constant [WGS84]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightSensors:
    """How fine the heights are: the scatter left in a step, and what the last digit is worth."""

    pressure_noise_ft: float
    gnss_noise_ft: float
    pressure_step_ft: float
    gnss_step_ft: float


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class EvenTrack:
    """Columns of shape (m,); ``segment_index`` grows by one at every gap.

    ``height_ft`` is pressure height where the recorder gave it, else satellite height: good for
    differences, above nothing in particular. ``ground_kt`` and ``turning_true_deg`` follow
    quickly, ``steady_kt`` and ``track_true_deg`` slowly. NaN where the sensor gave nothing nearby.
    """

    step_s: float
    time_s: FloatArray
    segment_index: IntArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    pressure_ft: FloatArray
    gnss_ft: FloatArray
    height_ft: FloatArray
    ground_kt: FloatArray
    turning_true_deg: FloatArray
    steady_kt: FloatArray
    track_true_deg: FloatArray
    climb_fpm: FloatArray
    sensors: HeightSensors

    def __len__(self) -> int:
        """Number of steps."""
        return int(self.time_s.size)

    @property
    def by_pressure(self) -> bool:
        """Whether ``height_ft`` is pressure height."""
        return self.height_ft is self.pressure_ft

    @property
    def grain_ft(self) -> float:
        """What the last digit of ``height_ft`` is worth; 0 if it shows no steps."""
        sensors = self.sensors
        return sensors.pressure_step_ft if self.by_pressure else sensors.gnss_step_ft

    def steps(self, duration_s: float) -> int:
        """The number of steps in a span of time, at least one."""
        return max(1, round(duration_s / self.step_s))

    def nearest(self, time_s: float) -> int:
        """The step nearest to a moment."""
        after = min(int(np.searchsorted(self.time_s, time_s)), len(self) - 1)
        before = max(after - 1, 0)
        earlier = time_s - self.time_s[before] <= self.time_s[after] - time_s
        return before if earlier else after

    def away_nm(
        self, lat_deg: float, lon_deg: float, steps: slice | int = EVERY_STEP
    ) -> FloatArray:
        """Distance of steps from a place near by, as on a flat earth."""
        north_nm = (self.lat_deg[steps] - lat_deg) * NM_PER_DEG
        east_nm = (self.lon_deg[steps] - lon_deg) * NM_PER_DEG
        return np.asarray(np.hypot(north_nm, east_nm * np.cos(np.radians(lat_deg))))

    def apart_nm(self, one: int, others: slice | int) -> FloatArray:
        """Distance of steps from another step near by."""
        return self.away_nm(float(self.lat_deg[one]), float(self.lon_deg[one]), others)


def even_track(track: Track, gaps: Sequence[Gap] = ()) -> EvenTrack:
    """The track on even steps.

    Nothing is made up where the position was not known for longer than three lost samples, nor
    in the gaps that the recording names. Where no position was recorded at all, speed is the one
    recorded over the ground, else through the air, and direction the recorded one or unknown.
    """
    usual_s = median(np.diff(track.time_s)) if len(track) > 1 else STEP_S
    step_s = max(STEP_S, usual_s / STEPS_PER_SAMPLE)
    gap_s = max(GAP_S, GAP_SAMPLES * usual_s)
    pieces = _pieces(track, gap_s, gaps)
    time_s = [_grid_s(track.time_s[piece], step_s) for piece in pieces]
    channels = {
        name: _joined(
            [
                _on_grid(grid_s, track.time_s[piece], column[piece], step_s, gap_s)
                for grid_s, piece in zip(time_s, pieces, strict=True)
            ]
        )
        for name, column in _columns(track).items()
    }
    lengths = [grid_s.size for grid_s in time_s]
    segment_index = np.repeat(np.arange(len(lengths)), lengths).astype(np.int64)
    averaged = max(1.0, step_s / usual_s) ** 0.5
    return _derived(
        step_s,
        _joined(time_s),
        segment_index,
        channels,
        HeightSensors(
            pressure_noise_ft=step_noise(track.pressure_ft) / averaged,
            gnss_noise_ft=step_noise(track.gnss_ft) / averaged,
            pressure_step_ft=_step_ft(track.pressure_ft),
            gnss_step_ft=_step_ft(track.gnss_ft),
        ),
    )


def nearest_samples(track: Track, even: EvenTrack) -> IntArray:
    """The recorded sample nearest to each even step, -1 where none is near."""
    time_s, even_s = track.time_s, even.time_s
    if time_s.size < 2:
        return np.full(even_s.shape, -1)
    after = np.clip(np.searchsorted(time_s, even_s), 1, time_s.size - 1)
    nearest = np.where(even_s - time_s[after - 1] < time_s[after] - even_s, after - 1, after)
    near = np.abs(time_s[nearest] - even_s) <= 2.0 * even.step_s
    return np.where(near, nearest, -1)


def local_line(
    values: FloatArray, segment_index: IntArray, half_count: int
) -> tuple[FloatArray, FloatArray]:
    """Level and slope per step of a straight line fitted around each sample, shape (m,).

    The window is cut at the ends of a segment and leaves out NaN; NaN where fewer than three
    samples are left.
    """
    level, slope = np.full(values.shape, np.nan), np.full(values.shape, np.nan)
    for start, stop in segment_bounds(segment_index):
        level[start:stop], slope[start:stop] = line(values[start:stop], half_count)
    return level, slope


def speed_kt(even: EvenTrack, half_s: float) -> FloatArray:
    """Ground speed over so many seconds on either side."""
    columns = {"lat_deg": even.lat_deg, "lon_deg": unwrapped_deg(even.lon_deg)}
    return np.hypot(*_velocity_kt(columns, even.segment_index, even.steps(half_s), even.step_s))


def step_noise(values: FloatArray) -> float:
    """Scatter from step to step: second differences, which steady change leaves out."""
    bend = np.abs(np.diff(values, 2)) if values.size > 2 else np.empty(0)
    bend = bend[np.isfinite(bend)]
    return 1.4826 * median(bend) / float(np.sqrt(6.0)) if bend.size else 0.0


def lowest_of(values: FloatArray, count: int) -> FloatArray:
    """The lowest of each so many values in a row, shape (n - count + 1,), from pairs of pairs."""
    low, width = values, 1
    while width < count:
        apart = min(width, count - width)
        low, width = np.minimum(low[:-apart], low[apart:]), width + apart
    return low


def segment_bounds(segment_index: IntArray) -> list[tuple[int, int]]:
    """First and one past the last step of each segment."""
    if segment_index.size == 0 or segment_index[0] == segment_index[-1]:
        return [(0, segment_index.size)] if segment_index.size else []
    cuts = np.flatnonzero(np.diff(segment_index)) + 1
    return list(zip([0, *cuts.tolist()], [*cuts.tolist(), segment_index.size], strict=True))


def runs(mask: BoolArray, segment_index: IntArray) -> list[tuple[int, int]]:
    """First and one past the last step of each stretch of True, cut at gaps."""
    found: list[tuple[int, int]] = []
    for start, stop in segment_bounds(segment_index):
        part = mask[start:stop]
        edges = (np.flatnonzero(part[1:] != part[:-1]) + (start + 1)).tolist()
        edges = [*([start] if part[0] else []), *edges, *([stop] if part[-1] else [])]
        found += list(zip(edges[::2], edges[1::2], strict=True))
    return found


def _columns(track: Track) -> dict[str, FloatArray]:
    columns = {
        "lat_deg": track.lat_deg,
        "lon_deg": unwrapped_deg(track.lon_deg),
        "pressure_ft": track.pressure_ft,
        "gnss_ft": track.gnss_ft,
    }
    return columns if is_placed(track) else {**columns, **recorded_velocity_kt(track)}


def unwrapped_deg(lon_deg: FloatArray) -> FloatArray:
    """Longitudes that run on over the date line."""
    known = np.isfinite(lon_deg)
    if not known.any() or np.ptp(lon_deg[known]) < 180.0:
        return lon_deg
    lon_deg = lon_deg.copy()
    lon_deg[known] = np.unwrap(lon_deg[known], period=360.0)
    return lon_deg


def _pieces(track: Track, gap_s: float, gaps: Sequence[Gap]) -> list[slice]:
    """Rows of the track from one gap to the next, each beginning and ending with a position."""
    placed_s = track.time_s
    if is_placed(track):
        placed_s = placed_s[np.isfinite(track.lat_deg) & np.isfinite(track.lon_deg)]
    if placed_s.size == 0:
        return []
    cut = np.append(np.diff(placed_s) > gap_s, True)
    for gap in gaps:
        cut[max(0, int(np.searchsorted(placed_s, gap.start_s, side="right")) - 1)] = True
    lasts_s = placed_s[cut]
    firsts_s = placed_s[np.concatenate([[True], cut[:-1]])]
    starts = np.searchsorted(track.time_s, firsts_s, side="left")
    stops = np.searchsorted(track.time_s, lasts_s, side="right")
    return [slice(int(start), int(stop)) for start, stop in zip(starts, stops, strict=True)]


def _grid_s(time_s: FloatArray, step_s: float) -> FloatArray:
    count = int((time_s[-1] - time_s[0]) / step_s + 1e-6) + 1
    return np.asarray(time_s[0] + step_s * np.arange(count))


def _on_grid(
    grid_s: FloatArray, time_s: FloatArray, column: FloatArray, step_s: float, gap_s: float
) -> FloatArray:
    """Mean of the samples in each step; between samples, the straight line."""
    known = np.isfinite(column)
    if not known.any():
        return np.full(grid_s.shape, np.nan)
    at_s, values = time_s[known], column[known]
    if grid_s.size < at_s.size:
        at_s, values = _binned(at_s, values, grid_s[0], step_s)
    after = np.clip(np.searchsorted(at_s, grid_s), 0, at_s.size - 1)
    before = np.clip(after - 1, 0, at_s.size - 1)
    bridged = at_s[after] - at_s[before] <= gap_s
    nearest_s = np.minimum(np.abs(at_s[after] - grid_s), np.abs(grid_s - at_s[before]))
    beyond = (grid_s < at_s[0]) | (grid_s > at_s[-1])
    good = np.where(beyond, nearest_s <= step_s, bridged | (nearest_s == 0.0))
    return np.where(good, np.interp(grid_s, at_s, values), np.nan)


def _binned(
    time_s: FloatArray, values: FloatArray, start_s: float, step_s: float
) -> tuple[FloatArray, FloatArray]:
    """Mean time and mean value of the samples around each step."""
    number = np.floor((time_s - start_s) / step_s + 0.5).astype(np.int64)
    starts = np.flatnonzero(np.concatenate([[True], np.diff(number) > 0]))
    count = np.diff(np.append(starts, number.size))
    first_s = time_s[0]
    mean_s = np.add.reduceat(time_s - first_s, starts) / count + first_s
    first = values[0]
    return mean_s, np.add.reduceat(values - first, starts) / count + first


def _joined(values: list[FloatArray]) -> FloatArray:
    return np.concatenate(values) if values else np.empty(0)


def _derived(
    step_s: float,
    time_s: FloatArray,
    segment_index: IntArray,
    channels: dict[str, FloatArray],
    sensors: HeightSensors,
) -> EvenTrack:
    pressure_ft, gnss_ft = channels["pressure_ft"], channels["gnss_ft"]
    mostly = np.isfinite(pressure_ft).sum() >= 0.9 * np.isfinite(gnss_ft).sum()
    height_ft = pressure_ft if mostly and np.isfinite(pressure_ft).any() else gnss_ft
    quick, steady = (max(1, round(half_s / step_s)) for half_s in (QUICK_S, STEADY_S))
    east_kt, north_kt = _velocity_kt(channels, segment_index, quick, step_s)
    steady_east_kt, steady_north_kt = _velocity_kt(channels, segment_index, steady, step_s)
    climb = local_line(height_ft, segment_index, max(1, round(CLIMB_S / step_s)))[1]
    return EvenTrack(
        step_s=step_s,
        time_s=time_s,
        segment_index=segment_index,
        height_ft=height_ft,
        ground_kt=np.hypot(east_kt, north_kt),
        turning_true_deg=_direction_deg(east_kt, north_kt),
        steady_kt=np.hypot(steady_east_kt, steady_north_kt),
        track_true_deg=_direction_deg(steady_east_kt, steady_north_kt),
        climb_fpm=climb / step_s * S_PER_MIN,
        sensors=sensors,
        lat_deg=channels["lat_deg"],
        lon_deg=wrap_180_deg(channels["lon_deg"]),
        pressure_ft=pressure_ft,
        gnss_ft=gnss_ft,
    )


def _direction_deg(east_kt: FloatArray, north_kt: FloatArray) -> FloatArray:
    return wrap_360_deg(np.degrees(np.arctan2(east_kt, north_kt)))


def _velocity_kt(
    channels: dict[str, FloatArray], segment_index: IntArray, half_count: int, step_s: float
) -> tuple[FloatArray, FloatArray]:
    """Ground speed to the east and to the north."""
    if "east_kt" in channels:
        return tuple(  # type: ignore[return-value] # two of them
            local_line(channels[name], segment_index, half_count)[0]
            for name in ("east_kt", "north_kt")
        )
    lat_rad = np.radians(channels["lat_deg"])
    east_nm, north_nm = nm_per_deg(lat_rad)
    per_h = S_PER_H / step_s
    lon_slope = local_line(channels["lon_deg"], segment_index, half_count)[1]
    lat_slope = local_line(channels["lat_deg"], segment_index, half_count)[1]
    return lon_slope * east_nm * per_h, lat_slope * north_nm * per_h


def nm_per_deg(lat_rad: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Length of a degree of longitude and of latitude from the ellipsoid's radii [WGS84]_."""
    flat = 1.0 - _ECCENTRICITY_SQUARED * np.sin(lat_rad) ** 2
    prime_m = _EQUATOR_M / np.sqrt(flat)
    meridian_m = prime_m * (1.0 - _ECCENTRICITY_SQUARED) / flat
    rad = np.pi / 180.0 / M_PER_NM
    return prime_m * np.cos(lat_rad) * rad, meridian_m * rad


def gradient_fraction(climb_fpm: FloatArray, ground_kt: FloatArray) -> FloatArray:
    """Climb over distance: 0.05 is a 3 degree path. NaN below walking pace."""
    forward_fpm = np.where(ground_kt > 3.0, ground_kt, np.nan) * FT_PER_NM / 60.0
    return climb_fpm / forward_fpm


def _step_ft(height_ft: FloatArray) -> float:
    """What the last digit of the recorder is worth; 0 if the heights show no steps."""
    change_ft = np.abs(np.diff(height_ft))
    change_ft = change_ft[np.isfinite(change_ft) & (change_ft > 0.01)]
    if change_ft.size < 10:
        return 0.0
    step_ft = float(change_ft.min())
    whole = np.abs(change_ft / step_ft - np.round(change_ft / step_ft)) < 0.05
    return step_ft if step_ft >= LEAST_STEP_FT and float(whole.mean()) > 0.9 else 0.0
