"""Smoothed motion of a whole recording: position, velocity, climb, turn, bank and load, with doubt.

Positions and heights go through a filter and smoother (``_smoother``) whose noise comes from the
samples themselves; a gap of the recording widens the doubt instead of being bridged in silence.
Bank and load come from recorded attitude where there is one, else from the turn: in a coordinated
turn the lift leans so far that its sideways part makes the turn. Sideways is to the path
through the air where a wind is given, else to the path over the ground.
"""

from dataclasses import dataclass, fields, replace
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray, IntArray, median, wrap_180_deg, wrap_360_deg
from lubberline.flown.even import nm_per_deg, unwrapped_deg
from lubberline.recording import Track
from lubberline.units import FT_PER_M, KT_PER_MPS, M_PER_FT, M_PER_NM, MPS_PER_KT, S_PER_MIN

G_MPS2: Final = 9.80665  # standard gravity, exact: 3rd CGPM (1901)
LEAST_STEP_S: Final = 0.2  # own: what comes quicker is averaged; its noise hangs together
JERK_DENSITY: Final = 1.0  # own, m^2/s^5: into a bank of 30 degrees in some seconds
HEIGHT_JERK_DENSITY: Final = 2.0  # own, m^2/s^5: a flare, a push-over
LEAST_SIGMA_M: Final = 0.1  # own: rounding, the antenna's swing
TURNING_KT: Final = 30.0  # own: slower than this nothing flies a coordinated turn
COORDINATED_DEG: Final = 1.0  # own: a slip of the ball in a turn
BANK_CHANNELS: Final = ("bank_deg", "roll_deg")


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class FlownMotion:
    """Columns of shape (n,) at the recording's moments, averaged over 0.2 s if they come quicker.

    ``height_ft`` is smoothed pressure height, else satellite height. Sigmas are standard
    uncertainties of scatter alone: what is off as a whole is not in them. Turn and bank are
    positive to the right. ``bank_by`` is "attitude" or "turning flight". Unknown is NaN.
    """

    time_s: FloatArray
    lat_deg: FloatArray
    lon_deg: FloatArray
    place_sigma_ft: FloatArray
    east_kt: FloatArray
    north_kt: FloatArray
    ground_sigma_kt: FloatArray
    height_ft: FloatArray
    height_sigma_ft: FloatArray
    climb_fpm: FloatArray
    climb_sigma_fpm: FloatArray
    turn_degps: FloatArray
    turn_sigma_degps: FloatArray
    bank_deg: FloatArray
    bank_sigma_deg: FloatArray
    load_ratio: FloatArray
    bank_by: str

    @property
    def ground_kt(self) -> FloatArray:
        """Speed over the ground."""
        return np.hypot(self.east_kt, self.north_kt)

    @property
    def track_true_deg(self) -> FloatArray:
        """Direction over the ground."""
        return wrap_360_deg(np.degrees(np.arctan2(self.east_kt, self.north_kt)))

    def part(self, rows: slice) -> "FlownMotion":
        """Some of its rows."""
        columns = (field.name for field in fields(self) if field.name != "bank_by")
        return replace(self, **{name: getattr(self, name)[rows] for name in columns})

    def at(self, name: str, time_s: float) -> float:
        """A column at a moment, straight between samples."""
        return float(np.interp(time_s, self.time_s, getattr(self, name)))


def flown_motion(track: Track, *, wind_toward_kt: tuple[float, float] = (0.0, 0.0)) -> FlownMotion:
    """The smoothed motion of a track.

    Parameters
    ----------
    track : Track
        At least one position.
    wind_toward_kt : tuple of float
        East and north component of the wind [kt], for the bank in turns.

    References
    ----------
    Filter and transition [BARSHALOM]_; smoother [RTS1965]_; bank and load of a coordinated turn,
    tan(bank) = a/g, n = sqrt((g + climb acceleration)^2 + a^2)/g [PHAK]_.
    """
    from lubberline.flown._smoother import smoothed

    time_s, columns = _averaged(track)
    lat_scale_m, lon_scale_m, lon_deg = _scales(columns["lat_deg"], columns["lon_deg"])
    values = np.vstack(
        [
            (columns["lat_deg"] - columns["lat_deg"][0]) * lat_scale_m,
            (lon_deg - lon_deg[0]) * lon_scale_m,
            columns["height_ft"] * M_PER_FT,
        ]
    )
    noise_m = np.array([_noise_m(row) for row in values])
    noise_m[:2] = noise_m[:2].max()
    density = np.array([JERK_DENSITY, JERK_DENSITY, HEIGHT_JERK_DENSITY])
    state = _known(values, smoothed(time_s, values, noise_m**2, density))
    return _columns(
        time_s, (columns["lat_deg"][0], lon_deg[0]), (lat_scale_m, lon_scale_m), state,
        bank_deg=columns.get("bank_deg"), wind_toward_kt=wind_toward_kt,
    )  # fmt: skip


def _averaged(track: Track) -> tuple[FloatArray, dict[str, FloatArray]]:
    """Samples from the first position to the last, averaged where they come too quickly."""
    placed = np.flatnonzero(np.isfinite(track.lat_deg) & np.isfinite(track.lon_deg))
    part = slice(int(placed[0]), int(placed[-1]) + 1)
    pressure = np.isfinite(track.pressure_ft).sum() >= 0.9 * np.isfinite(track.gnss_ft).sum()
    named = {
        "lat_deg": track.lat_deg,
        "lon_deg": track.lon_deg,
        "height_ft": track.pressure_ft if pressure else track.gnss_ft,
    }
    for name in BANK_CHANNELS:
        if name in track.channels:
            named["bank_deg"] = track.channels[name]
    time_s = track.time_s[part]
    columns = {name: column[part] for name, column in named.items()}
    if time_s.size < 3 or median(np.diff(time_s)) >= 0.75 * LEAST_STEP_S:
        return time_s, columns
    number = np.floor((time_s - time_s[0]) / LEAST_STEP_S)
    starts = np.flatnonzero(np.diff(number, prepend=-1.0)).astype(np.int64)
    return _means(time_s, starts), {name: _means(one, starts) for name, one in columns.items()}


def _means(column: FloatArray, starts: IntArray) -> FloatArray:
    """Mean of the known samples of every group; NaN where it has none."""
    known = np.isfinite(column)
    base = float(column[known][0]) if known.any() else 0.0
    total = np.add.reduceat(np.where(known, column - base, 0.0), starts)
    count = np.add.reduceat(known.astype(np.float64), starts)
    return np.where(count > 0.0, base + total / np.maximum(count, 1.0), np.nan)


def _scales(lat_deg: FloatArray, lon_deg: FloatArray) -> tuple[float, float, FloatArray]:
    """Meters per degree at the first place, and longitudes without a date line."""
    east_nm, north_nm = nm_per_deg(np.radians(lat_deg[0]))
    return float(north_nm) * M_PER_NM, float(east_nm) * M_PER_NM, unwrapped_deg(lon_deg)


def _noise_m(values_m: FloatArray) -> float:
    """Scatter from sample to sample: third differences, which speed and steady turns leave out."""
    bend_m = np.abs(np.diff(values_m, 3))
    bend_m = bend_m[np.isfinite(bend_m)]
    noise_m = 1.4826 * median(bend_m) / float(np.sqrt(20.0)) if bend_m.size else 0.0
    return max(noise_m, LEAST_SIGMA_M)


def _known(
    values: FloatArray, state: tuple[FloatArray, FloatArray]
) -> tuple[FloatArray, FloatArray]:
    """NaN for a channel that was never recorded."""
    never = ~np.isfinite(values).any(axis=1)
    for one in state:
        one[never] = np.nan
    return state


def _columns(
    time_s: FloatArray,
    first_deg: tuple[float, float],
    scale_m: tuple[float, float],
    state: tuple[FloatArray, FloatArray],
    *,
    bank_deg: FloatArray | None,
    wind_toward_kt: tuple[float, float],
) -> FlownMotion:
    (north, east, height), variance = state
    lat_deg = first_deg[0] + north[0] / scale_m[0]
    # A degree of longitude is shorter farther from the equator: rates by the scale of the place.
    here = nm_per_deg(np.radians(lat_deg))[0] * M_PER_NM / scale_m[1]
    velocity = np.stack([east[1] * here, north[1]])
    acceleration = np.stack([east[2] * here, north[2]])
    place_sigma, _, height_sigma = np.sqrt(np.maximum(variance, 0.0))
    speed = np.maximum(np.hypot(*velocity), 0.5)
    turning = (velocity[1] * acceleration[0] - velocity[0] * acceleration[1]) / speed**2
    air = velocity - np.array(wind_toward_kt)[:, None] * MPS_PER_KT
    through = np.maximum(np.hypot(*air), 0.5)
    aside = (air[1] * acceleration[0] - air[0] * acceleration[1]) / through
    lift = G_MPS2 + np.nan_to_num(height[2])
    flying = speed * KT_PER_MPS >= TURNING_KT
    turn_bank_deg = np.where(flying, np.degrees(np.arctan2(aside, lift)), np.nan)
    bank_sigma = np.hypot(np.degrees(place_sigma[2] / lift), COORDINATED_DEG)
    attitude = bank_deg is not None and bool(np.isfinite(bank_deg).any())
    return FlownMotion(
        time_s=time_s,
        lat_deg=lat_deg,
        lon_deg=wrap_180_deg(first_deg[1] + east[0] / scale_m[1]),
        place_sigma_ft=place_sigma[0] * FT_PER_M,
        east_kt=velocity[0] * KT_PER_MPS,
        north_kt=velocity[1] * KT_PER_MPS,
        ground_sigma_kt=place_sigma[1] * KT_PER_MPS,
        height_ft=height[0] * FT_PER_M,
        height_sigma_ft=height_sigma[0] * FT_PER_M,
        climb_fpm=height[1] * FT_PER_M * S_PER_MIN,
        climb_sigma_fpm=height_sigma[1] * FT_PER_M * S_PER_MIN,
        turn_degps=np.degrees(turning),
        turn_sigma_degps=np.degrees(place_sigma[2] / speed),
        bank_deg=bank_deg if attitude and bank_deg is not None else turn_bank_deg,
        bank_sigma_deg=np.full(time_s.shape, COORDINATED_DEG) if attitude else bank_sigma,
        load_ratio=np.hypot(lift, aside) / G_MPS2,
        bank_by="attitude" if attitude else "turning flight",
    )
