"""Several files of one flight: whose clocks differ, put on one time by what they share.

A panel's clock is often minutes off that of a satellite receiver. Where both files hold the
same quantity, the lag between them is the one at which the two agree best; how sharply they
agree says how well it is known. Where they do not agree, or at two lags alike, they are not
joined.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import sqrt
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.errors import NoSolution
from lubberline.recording.model import Recording, Track
from lubberline.recording.motion import motion

FARTHEST_LAG_S: Final = 6.0 * 3600.0  # own: a clock in another zone comes as whole hours, too
LEAST_OVERLAP_S: Final = 120.0  # own: less is a coincidence
LEAST_AGREEMENT_RATIO: Final = 0.8  # own: correlation of the same quantity from two sensors
RIVAL_FRACTION: Final = 0.8  # own: a second lag with this much of the evidence leaves it open
NOTHING_SHARED: Final = (
    "the two recordings share no speed, height or heading by which their clocks could be compared;"
    " --by-clock takes the times of both as they are"
)
_APART_S: Final = 30.0  # own: nearer than this, two lags are one peak
_PEAK_S: Final = 4  # own: around the best shift, a parabola serves that far
_LEAST_SIGMA_S: Final = 0.05  # own: interpolating to whole seconds costs as much
_BRIDGED_S: Final = 10.0  # own: values further apart than this are not joined
# What two recorders may share, the most telling first; heights of any kind move together.
_SHARED: Final = ("ground_kt", "ias_kt", "climb_fpm", "heading_mag_deg")
_HEIGHTS: Final = ("pressure_ft", "gnss_ft", "indicated_ft")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lag:
    """How much must be added to the times of the second recording, and by what it was found."""

    lag_s: float
    sigma_s: float
    shared: str
    agreement_ratio: float


def find_lag(first: Track, second: Track) -> Lag:
    """The lag between two tracks of one flight.

    Raises
    ------
    NoSolution
        If they share no quantity, never agree, or agree as well at another lag.

    References
    ----------
    Normalized cross-correlation by Fourier transform at one sample a second; the doubt is that
    of the best shift of a noisy copy, noise over slope ([JCGM100]_ 5.1.2).
    """
    found, reasons = [], []
    for name, one, other in _pairs(first, second):
        try:
            found.append(_lag(name, (first.time_s, one), (second.time_s, other)))
        except NoSolution as exc:
            reasons.append(f"{exc}")
    if not found:
        raise NoSolution("; ".join(reasons) or NOTHING_SHARED)
    return min(found, key=lambda lag: lag.sigma_s)


def joined(first: Recording, second: Recording, *, by_clock: bool = False) -> Recording:
    """The first recording with every channel of the second that it does not have itself.

    Nothing is taken where the second was silent for more than ten seconds. ``by_clock`` takes the
    second's times as they are, where the two share nothing to set them by.

    Raises
    ------
    NoSolution
        As ``find_lag``.
    """
    lag = None if by_clock else find_lag(first.track, second.track)
    lag_s = lag.lag_s if lag else 0.0
    told = "its times are taken as they are"
    if lag is not None:
        told = (
            f"its clock is {-lag.lag_s:+.1f} s off, within {lag.sigma_s:.1f} s, found by"
            f" {lag.shared} (correlation {lag.agreement_ratio:.3f})"
        )
    extra = {
        name: _onto(first.track.time_s, second.track.time_s + lag_s, column, name)
        for name, column in _columns(second.track).items()
        if name not in _columns(first.track)
    }
    heights = {name: extra.pop(name) for name in ("pressure_ft", "gnss_ft") if name in extra}
    account = (
        f"A second recording ({second.format_name}, {second.sha256[:12]}) was joined: {told}."
        " From it:"
        f" {', '.join(sorted([*extra, *heights])) or 'nothing new'}.",
    )
    track = replace(first.track, channels={**first.track.channels, **extra}, **heights)
    return replace(first, track=track, account=(*first.account, *account))


def _columns(track: Track) -> Mapping[str, FloatArray]:
    """Heights and channels that hold anything."""
    columns = {"pressure_ft": track.pressure_ft, "gnss_ft": track.gnss_ft, **track.channels}
    return {name: column for name, column in columns.items() if np.isfinite(column).any()}


def _with_speed(track: Track) -> Mapping[str, FloatArray]:
    """What a track holds, and the ground speed that its positions show where none was recorded."""
    columns = dict(_columns(track))
    if "ground_kt" not in columns and np.isfinite(track.lat_deg).sum() > 2:
        columns["ground_kt"] = motion(track).ground_kt
    return columns


def _pairs(first: Track, second: Track) -> Iterator[tuple[str, FloatArray, FloatArray]]:
    ones, others = _with_speed(first), _with_speed(second)
    yield from (
        (name, ones[name], others[name]) for name in _SHARED if name in ones and name in others
    )
    high, other_high = (
        next((columns[name] for name in _HEIGHTS if name in columns), None)
        for columns in (ones, others)
    )
    if high is not None and other_high is not None:
        yield "height", high, other_high


def _lag(
    name: str, first: tuple[FloatArray, FloatArray], second: tuple[FloatArray, FloatArray]
) -> Lag:
    """By one shared quantity, sampled once a second."""
    start_s, one = _grid(*first)
    other_start_s, other = _grid(*second)
    agreement, count, shifts = _correlation(one, other)
    allowed = np.abs(shifts + start_s - other_start_s) <= FARTHEST_LAG_S
    # What is left unexplained, over the whole overlap: a short one agrees by chance.
    evidence = np.where(
        allowed & (agreement > 0.0), -count * np.log1p(-np.minimum(agreement**2, 1.0 - 1e-9)), 0.0
    )
    best = int(evidence.argmax())
    if agreement[best] < LEAST_AGREEMENT_RATIO:
        raise NoSolution(f"{name} of the two recordings never agrees")
    rivals = np.abs(shifts - shifts[best]) > _APART_S
    if rivals.any() and evidence[rivals].max() > RIVAL_FRACTION * evidence[best]:
        raise NoSolution(f"{name} of the two recordings agrees as well at another time")
    shift_s, sigma_s = _refined(one, other, agreement, shifts, best)
    return Lag(
        lag_s=shift_s + start_s - other_start_s,
        sigma_s=sigma_s,
        shared=name,
        agreement_ratio=float(agreement[best]),
    )


def _grid(time_s: FloatArray, column: FloatArray) -> tuple[float, FloatArray]:
    """The column at whole seconds from its start; NaN where nothing was recorded nearby."""
    start_s = float(np.floor(time_s[0]))
    grid_s = start_s + np.arange(int(time_s[-1] - start_s) + 1, dtype=np.float64)
    return start_s, _onto(grid_s, time_s, column, "")


def _onto(at_s: FloatArray, time_s: FloatArray, column: FloatArray, name: str) -> FloatArray:
    """The column at other times, by straight lines between values at most ten seconds apart."""
    known = np.isfinite(column)
    if known.sum() < 2:
        return np.full(at_s.shape, np.nan)
    times_s, values = time_s[known], column[known]
    if name.endswith("_deg"):
        values = np.degrees(np.unwrap(np.radians(values)))
    after = np.clip(np.searchsorted(times_s, at_s), 1, times_s.size - 1)
    near = (times_s[after] - times_s[after - 1] <= _BRIDGED_S) | np.isin(at_s, times_s)
    inside = (at_s >= times_s[0]) & (at_s <= times_s[-1])
    result = np.where(near & inside, np.interp(at_s, times_s, values), np.nan)
    return result % 360.0 if name.endswith("_deg") else result


def _correlation(one: FloatArray, other: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Correlation at every whole shift of the second, the seconds of overlap, and the shifts.

    The second's sample j lies at one's sample j + shift. Sums over the overlap come from
    products of transforms, means and scatters being those of the overlap itself.
    """
    size = one.size + other.size - 1
    length = 1 << (size - 1).bit_length()

    def spectrum(column: FloatArray) -> np.ndarray[tuple[int], np.dtype[np.complex128]]:
        return np.fft.rfft(column, length)

    def sums(a: FloatArray, b: FloatArray) -> FloatArray:
        whole = np.fft.irfft(spectrum(a) * np.conj(spectrum(b)), length)
        return np.concatenate([whole[length - other.size + 1 :], whole[: one.size]])

    known, known_other = np.isfinite(one).astype(float), np.isfinite(other).astype(float)
    center = np.nanmean(one), np.nanmean(other)
    a, b = np.nan_to_num(one - center[0]), np.nan_to_num(other - center[1])
    count = np.maximum(sums(known, known_other), 1.0)
    sum_a, sum_b = sums(a, known_other), sums(known, b)
    var_a = sums(a * a, known_other) - sum_a**2 / count
    var_b = sums(known, b * b) - sum_b**2 / count
    floor = 1e-6 * max(float(np.nanvar(one)), float(np.nanvar(other)), 1e-12)
    usable = (count >= LEAST_OVERLAP_S) & (var_a > floor * count) & (var_b > floor * count)
    ratio = (sums(a, b) - sum_a * sum_b / count) / np.sqrt(np.where(usable, var_a * var_b, 1.0))
    shifts = np.arange(-(other.size - 1), one.size, dtype=float)
    return np.where(usable, np.clip(ratio, -1.0, 1.0), -1.0), count, shifts


def _refined(
    one: FloatArray, other: FloatArray, agreement: FloatArray, shifts: FloatArray, best: int
) -> tuple[float, float]:
    """The shift to a fraction of a second, and its doubt.

    The top of a parabola through the correlations around the best. Its curvature is the mean
    square slope of the shared quantity over its variance, free of the noise of either sensor;
    what is unexplained, over that, is the variance of the shift.
    """
    near = slice(max(0, best - _PEAK_S), best + _PEAK_S + 1)
    away = shifts[near] - shifts[best]
    curve, tilt, _ = np.polyfit(away, agreement[near], 2)
    top = float(agreement[best])
    shift = int(shifts[best])
    if curve >= 0.0:
        return float(shift), float(_PEAK_S)
    at = np.arange(max(0, shift), min(one.size, shift + other.size))
    left = one[at] - other[at - shift]
    left = left[np.isfinite(left)]
    worth = left.size / _repeats(left - left.mean())
    steep = -2.0 * curve / top
    sigma_s = sqrt((1.0 - top**2) / top**2 / (worth * steep))
    return shift + float(np.clip(-tilt / (2.0 * curve), -1.0, 1.0)), max(sigma_s, _LEAST_SIGMA_S)


def _repeats(left: FloatArray) -> float:
    """How many samples say what one would if neighbors did not resemble each other."""
    whole = float((left**2).sum())
    if left.size < 3 or whole == 0.0:
        return 1.0
    ratio = float(np.clip((left[1:] * left[:-1]).sum() / whole, 0.0, 0.99))
    return (1.0 + ratio) / (1.0 - ratio)
