"""Heights that the flight asked not to leave: the highest and, between the fields, the lowest.

The lowest counts from the first cruise to the last: climb and descent lie below it. The worst of
either side is told with its moment; zero is the limit itself.
"""

from collections.abc import Iterator
from typing import Final

import numpy as np

from lubberline.flown.case import Case
from lubberline.flown.cruise import smooth_height_ft
from lubberline.flown.gauge import Gauge, Reading

ABOVE: Final = Gauge(
    name="height_above", label="over the highest asked, worst", unit="ft",
    why="not_above_msl_ft of the flight", high=0.0,
)  # fmt: skip
BELOW: Final = Gauge(
    name="height_below", label="over the lowest asked, worst", unit="ft",
    why="not_below_msl_ft of the flight, from first to last cruise", low=0.0,
)  # fmt: skip


def height_limit_readings(
    case: Case, *, not_above_msl_ft: float | None, not_below_msl_ft: float | None
) -> Iterator[Reading]:
    """A reading for each side that the flight asked for."""
    shown_ft = smooth_height_ft(case)[case.aloft_index]
    missing = case.height.missing or "the height in flight"
    if not_above_msl_ft is not None:
        yield _read(case, ABOVE, shown_ft - not_above_msl_ft, missing)
    if not_below_msl_ft is not None:
        over_ft = shown_ft - not_below_msl_ft
        time_s = case.even.time_s[case.aloft_index]
        cruises = [one for one in case.phases if one.name == "cruise"]
        inside = np.zeros(over_ft.shape, dtype=bool)
        if cruises:
            inside = (time_s >= cruises[0].start_s) & (time_s <= cruises[-1].end_s)
        yield _read(case, BELOW, -np.where(inside, over_ft, np.nan), missing, sign_factor=-1.0)


def _read(
    case: Case, gauge: Gauge, beyond_ft: np.ndarray, missing: str, *, sign_factor: float = 1.0
) -> Reading:
    """The greatest of a column, where it is known."""
    if not np.isfinite(beyond_ft).any():
        return Reading(gauge=gauge, value=np.nan, sigma=0.0, missing=missing)
    worst = int(np.nanargmax(beyond_ft))
    step = int(case.aloft_index[worst])
    return Reading(
        gauge=gauge, value=sign_factor * float(beyond_ft[worst]),
        sigma=float(np.hypot(case.height.sigma_ft[step], case.height.noise_ft)),
        where=case.where(step),
    )  # fmt: skip
