"""Recorded channels at the even steps."""

from datetime import UTC, datetime
from typing import Final

import numpy as np

from lubberline.air import isa_temperature_degc
from lubberline.arrays import FloatArray
from lubberline.earth import variation_deg
from lubberline.flown.case import Case
from lubberline.recording import Track

OUTSIDE_DEGC: Final = (-80.0, 55.0)  # own: what is recorded beyond is no outside air


def at_even_steps(case: Case, name: str) -> FloatArray:
    """A recorded channel at every even step, from its nearest sample; NaN where none is near."""
    column = case.track.channels.get(name)
    if column is None:
        return np.full(case.even.time_s.shape, np.nan)
    return np.where(case.nearest_index >= 0, column[case.nearest_index], np.nan)


def outside_degc(case: Case) -> FloatArray:
    """Outside air at the even steps: recorded where it can be, else that of standard air."""
    recorded = at_even_steps(case, "oat_degc")
    can_be = (recorded >= OUTSIDE_DEGC[0]) & (recorded <= OUTSIDE_DEGC[1])
    height_ft = np.clip(case.even.height_ft, -1_000.0, 40_000.0)
    return np.where(can_be, recorded, isa_temperature_degc(height_ft))


def fuel_columns(track: Track, ending: str) -> list[FloatArray]:
    """Recorded columns of fuel in this unit; one of all tanks or engines before its parts."""
    found = {
        name: column for name, column in track.channels.items()
        if name.endswith(ending) and "fuel" in name and "used" not in name
        and np.isfinite(column).any()
    }  # fmt: skip
    whole = [column for name, column in found.items() if "total" in name]
    return whole[:1] or list(found.values())


def engine_rpm(case: Case) -> FloatArray | None:
    """Speed of the engine at every even step; None where none is recorded."""
    for name in ("engine_rpm", "rpm"):
        column = at_even_steps(case, name)
        if np.isfinite(column).any():
            return column
    return None


def true_heading_at(case: Case, time_s: float) -> float:
    """Recorded heading over true north at a moment, from the nearest sample; NaN if unknown."""
    for name in ("heading_true_deg", "heading_mag_deg"):
        column = case.track.channels.get(name)
        if column is None:
            continue
        near = np.flatnonzero(np.isfinite(column) & (np.abs(case.track.time_s - time_s) <= 2.0))
        if near.size:
            k = int(near[np.argmin(np.abs(case.track.time_s[near] - time_s))])
            turn_deg = 0.0 if name == "heading_true_deg" else _variation_deg(case, time_s)
            return float(column[k]) + turn_deg
    return float("nan")


def _variation_deg(case: Case, time_s: float) -> float:
    k = case.even.nearest(time_s)
    when_utc = datetime.fromtimestamp(time_s, UTC)
    place_deg = (float(case.even.lat_deg[k]), float(case.even.lon_deg[k]))
    return float(variation_deg(*place_deg, 0.0, when_utc))
