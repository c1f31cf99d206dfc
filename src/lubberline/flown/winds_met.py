"""The winds that a flight met, layer by layer: where it turned enough, or its airspeed is known.

A layer is a thousand feet and a quarter of an hour. With heading and true airspeed recorded,
its wind is the median of the samples; else the courses that were flown in it must show it, in
cruise, in a holding, or round in circles: a pattern, a climb and a descent are flown at an airspeed
for each leg. A layer whose wind cannot be known is left out.
"""

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from math import ceil
from typing import Final

import numpy as np

from lubberline.air import isa_temperature_degc, tas_from_cas_kt, wind_from_east_north
from lubberline.arrays import BoolArray, FloatArray, IntArray, median
from lubberline.earth import variation_deg
from lubberline.flown.case import Case, clock
from lubberline.flown.even import QUICK_S, segment_bounds
from lubberline.flown.model import ON_GROUND, WindMet
from lubberline.flown.wind import wind_by_courses, wind_by_heading
from lubberline.wording import direction_text

LAYER_FT: Final = 1_000.0
SPAN_S: Final = 900.0
LEAST_S: Final = 60.0  # own: less than a minute in a layer is passing through
_CIRCLE_S: Final = 120.0  # own: within which somebody who circles has gone round ...
_CIRCLE_DEG: Final = 330.0  # ... so far
_STEEP_FPM: Final = 900.0  # own: beyond, the airspeed over the ground is not that along the path
_HELD_KT: Final = 2.0  # own: an airspeed from one course to another, if it was meant to be one
_COMPUTER_KT: Final = 1.5  # own: true airspeed and heading of an air data computer, as wind
# Own: an uncalibrated gauge within 2 kt, air 10 degrees off the standard 2 %, heading 1 degree.
_GAUGE_KT: Final = 3.5


def wind_words(one: WindMet) -> str:
    """One line: span, height, wind, doubt, how."""
    return (
        f"{clock(one.start_s)[:5]}Z to {clock(one.end_s)[:5]}Z, {round(one.msl_ft, -2):,.0f} ft:"
        f" wind {direction_text(one.from_true_deg)}° true {one.wind_kt:.0f} kt"
        f" ±{ceil(one.sigma_kt)}, by {one.by}"
    )


def winds_met(case: Case) -> tuple[WindMet, ...]:
    """The winds of a flight's layers, in order of time."""
    east_kt, north_kt = _over_ground(case)
    channels, aloft = _through_air(case), _aloft(case)
    found = (
        _by_channels(case, layer, east_kt, north_kt, *channels)
        if channels is not None
        else _by_turning(case, layer, east_kt, north_kt)
        for layer in _layers(case, aloft if channels is not None else _held(case, aloft))
    )
    return tuple(sorted((one for one in found if one), key=lambda one: one.start_s))


def _aloft(case: Case) -> IntArray:
    """Even steps off the ground: wheels on a runway do not drift."""
    rolls = _in_phases(case, (*ON_GROUND, "take-off", "landing"))
    return case.aloft_index[~rolls[case.aloft_index]]


def _held(case: Case, aloft: IntArray) -> IntArray:
    """Those at which one airspeed is meant: cruise, holding, and circles anywhere."""
    held = _in_phases(case, ("cruise", "holding"))
    even = case.even
    half = even.steps(_CIRCLE_S / 2.0)
    for start, stop in segment_bounds(even.segment_index):
        if stop - start > 2 * half:
            track_deg = np.unwrap(np.nan_to_num(even.turning_true_deg[start:stop]), period=360.0)
            circles = np.abs(track_deg[2 * half :] - track_deg[: -2 * half]) >= _CIRCLE_DEG
            for first in np.flatnonzero(circles):
                held[start + first : start + first + 2 * half] = True
    return aloft[held[aloft]]


def _in_phases(case: Case, names: Sequence[str]) -> BoolArray:
    """True at the even steps of phases of these names."""
    found = np.zeros(len(case.even), dtype=bool)
    for phase in case.phases:
        if phase.name in names:
            found |= (case.even.time_s >= phase.start_s) & (case.even.time_s < phase.end_s)
    return found


def _layers(case: Case, aloft: IntArray) -> Iterator[IntArray]:
    """Those even steps of the flight that belong together, those of a steep climb left out."""
    even = case.even
    height_ft = case.height.indicated_ft[aloft]
    usable = np.isfinite(height_ft) & (np.abs(even.climb_fpm[aloft]) < _STEEP_FPM)
    aloft, height_ft = aloft[usable], height_ft[usable]
    if not aloft.size:
        return
    span = (even.time_s[aloft] - even.time_s[aloft[0]]) // SPAN_S
    keys = np.column_stack([even.segment_index[aloft], span, height_ft // LAYER_FT])
    _, which = np.unique(keys, axis=0, return_inverse=True)
    for number in range(int(which.max()) + 1):
        layer = aloft[which.ravel() == number]
        if layer.size * even.step_s >= LEAST_S:
            yield layer


def _over_ground(case: Case) -> tuple[FloatArray, FloatArray]:
    track = np.radians(case.even.turning_true_deg)
    return case.even.ground_kt * np.sin(track), case.even.ground_kt * np.cos(track)


def _through_air(case: Case) -> tuple[FloatArray, FloatArray, float] | None:
    """True heading and true airspeed at the even steps, if recorded, and the doubt of the latter.

    A magnetic heading is turned by the variation of the place; an indicated airspeed is taken as
    calibrated, in air of standard temperature at the recorded heights.
    """
    time_s, even = case.track.time_s, case.even
    after = np.clip(np.searchsorted(time_s, even.time_s), 0, time_s.size - 1)
    far = np.abs(time_s[after] - even.time_s) > 2.0 * even.step_s

    def channel(name: str) -> FloatArray | None:
        column = case.track.channels.get(name)
        if column is None or not np.isfinite(column).any():
            return None
        return np.where(far, np.nan, column[after])

    heading, magnetic = channel("heading_true_deg"), channel("heading_mag_deg")
    if heading is None and magnetic is not None:
        middle = len(case.even) // 2
        place_deg = (float(case.even.lat_deg[middle]), float(case.even.lon_deg[middle]))
        when_utc = datetime.fromtimestamp(float(case.even.time_s[middle]), UTC)
        heading = magnetic + variation_deg(*place_deg, 0.0, when_utc)
    airspeed, indicated = channel("tas_kt"), channel("ias_kt")
    if heading is None or (airspeed is None and indicated is None):
        return None
    if airspeed is not None:
        return heading, airspeed, _COMPUTER_KT
    assert indicated is not None
    height_ft = np.clip(case.even.height_ft, -1_000.0, 40_000.0)
    cas_kt = np.clip(indicated, 0.0, 600.0)
    return heading, tas_from_cas_kt(cas_kt, height_ft, isa_temperature_degc(height_ft)), _GAUGE_KT


def _by_turning(
    case: Case, layer: IntArray, east_kt: FloatArray, north_kt: FloatArray
) -> WindMet | None:
    """Speeds over the ground are means over several seconds: neighbors say the same."""
    worth_count = layer.size * case.even.step_s / (2.0 * QUICK_S)
    wind = wind_by_courses(
        east_kt[layer], north_kt[layer], worth_count=worth_count, held_sigma_kt=_HELD_KT
    )
    if wind is None:
        return None
    return WindMet(
        **_where(case, layer),
        from_true_deg=wind.from_true_deg,
        wind_kt=wind.wind_kt,
        sigma_kt=wind.sigma_kt,
        by="courses",
    )


def _by_channels(
    case: Case,
    layer: IntArray,
    east_kt: FloatArray,
    north_kt: FloatArray,
    heading_deg: FloatArray,
    airspeed_kt: FloatArray,
    airspeed_sigma_kt: float,
) -> WindMet | None:
    winds = wind_by_heading(east_kt[layer], north_kt[layer], heading_deg[layer], airspeed_kt[layer])
    known = np.isfinite(winds[0]) & np.isfinite(winds[1])
    if known.sum() * case.even.step_s < LEAST_S:
        return None
    east, north = (median(column[known]) for column in winds)
    off_kt = np.hypot(winds[0][known] - east, winds[1][known] - north)
    worth_count = max(known.sum() * case.even.step_s / (2.0 * QUICK_S), 1.0)
    from_true_deg, wind_kt = (float(one) for one in wind_from_east_north(east, north))
    return WindMet(
        **_where(case, layer[known]),
        from_true_deg=from_true_deg,
        wind_kt=wind_kt,
        sigma_kt=float(np.hypot(median(off_kt) / np.sqrt(worth_count), airspeed_sigma_kt)),
        by="heading and airspeed",
    )


def _where(case: Case, layer: IntArray) -> dict[str, float]:
    time_s = case.even.time_s[layer]
    return {
        "start_s": float(time_s[0]),
        "end_s": float(time_s[-1]),
        "msl_ft": median(case.height.indicated_ft[layer]),
    }
