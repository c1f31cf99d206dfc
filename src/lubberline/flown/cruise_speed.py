"""True airspeed held in the judged cruise, against the airplane's table where it has one.

Airspeed is recorded true, else indicated, taken as calibrated in the outside air recorded, else
in standard air. Without a table the deviations are from their own mean, told and not judged.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.air import tas_from_cas_kt
from lubberline.aircraft import Aircraft, cruise_figures
from lubberline.flown.case import Case
from lubberline.flown.channels import at_even_steps, outside_degc
from lubberline.flown.cruise import SMOOTH_S, Held, judged_cruise, root_mean_square, smooth_curve
from lubberline.flown.gauge import Gauge, Reading
from lubberline.flown.model import HeldSpan, Steadiness
from lubberline.flown.steadiness import statistics

WORST: Final = Gauge(
    name="cruise_speed_worst", label="airspeed in cruise, worst", unit="kt",
    why="ten knots of the airplane's table", low=-10.0, high=10.0, tolerance="cruise_airspeed_kt",
)  # fmt: skip
RMS: Final = Gauge(
    name="cruise_speed_rms", label="airspeed in cruise, rms", unit="kt",
    why="half of ten knots, which then holds about 95 %", high=5.0,
)  # fmt: skip
TRUE_SIGMA_KT: Final = 1.5  # own: an air data computer
INDICATED_SIGMA_KT: Final = 3.5  # own: an indicator, and air that is not standard


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SpeedHeld:
    """Deviations from ``target_kt``, which is their own mean where ``source`` is empty."""

    held: Held
    target_kt: float
    source: str


def speed_held(case: Case, aircraft: Aircraft | None) -> SpeedHeld | None:
    """What was held; None where no airspeed was recorded or no cruise is judged."""
    names = [name for name in ("tas_kt", "ias_kt") if name in case.track.channels]
    index = judged_cruise(case) if names else np.empty(0, dtype=np.int64)
    if not index.size:
        return None
    height_ft = np.clip(case.even.height_ft[index], -1_000.0, 40_000.0)
    degc = outside_degc(case)[index]
    speed_kt = at_even_steps(case, names[0])[index]
    if names[0] == "ias_kt":
        speed_kt = np.asarray(tas_from_cas_kt(np.clip(speed_kt, 0.0, 600.0), height_ft, degc))
    known = np.isfinite(speed_kt)
    if not known.any():
        return None
    speed_kt = smooth_curve(speed_kt[known], case.even.steps(SMOOTH_S))
    table = None if aircraft is None else cruise_figures(
        aircraft, weight_lb=np.nan, pressure_ft=float(np.nanmedian(height_ft)),
        oat_degc=float(np.nanmedian(degc)),
    ).get("cruise_tas_kt")  # fmt: skip
    named = table is not None and table.value is not None
    target_kt = table.value if table is not None and table.value is not None else speed_kt.mean()
    sigma_kt = TRUE_SIGMA_KT if names[0] == "tas_kt" else INDICATED_SIGMA_KT
    return SpeedHeld(
        held=Held(index=index[known], values=speed_kt - target_kt, sigmas=(sigma_kt, 0.0)),
        target_kt=float(target_kt),
        source=table.source if table is not None and named else "",
    )


def speed_readings(case: Case, speed: SpeedHeld | None) -> list[Reading]:
    """Worst and root mean square against the table; none without one."""
    if speed is None or not speed.source:
        return []
    limit, held = WORST.limit(case.standard), speed.held
    ends = (int(np.argmin(held.values)), int(np.argmax(held.values)))
    at = min(ends, key=lambda k: limit.margin(float(held.values[k])))
    low, high = (np.inf if side is None else abs(side) for side in (limit.low, limit.high))
    share = 100.0 * float(np.mean((held.values >= -low) & (held.values <= high)))
    rms, rms_sigma = root_mean_square(held.values, held.sigmas[0])
    note = f"true airspeed, {speed.target_kt:.0f} kt in the table; {speed.source}"
    return [
        Reading(gauge=WORST, value=float(held.values[at]), sigma=held.sigmas[0],
                where=case.where(int(held.index[at])), note=f"inside for {share:.0f} %; {note}"),
        Reading(gauge=RMS, value=rms, sigma=rms_sigma, note=note),
    ]  # fmt: skip


def speed_spans(case: Case, speed: SpeedHeld | None) -> tuple[HeldSpan, ...]:
    """The same step by step, with its tolerance; none without a table."""
    if speed is None or not speed.source:
        return ()
    limit = WORST.limit(case.standard)
    return (
        HeldSpan(
            name="cruise_speed", label="airspeed in cruise", unit="kt",
            time_s=case.even.time_s[speed.held.index], values=speed.held.values,
            low=limit.low, high=limit.high, target=speed.target_kt,
        ),
    )  # fmt: skip


def speed_steadiness(case: Case, speed: SpeedHeld | None) -> tuple[Steadiness, ...]:
    """The statistics; share and recovery only where a speed was named."""
    if speed is None:
        return ()
    limit = WORST.limit(case.standard) if speed.source else None
    label = "airspeed in cruise" if speed.source else "airspeed in cruise, off its mean,"
    found = statistics(case, "kt", limit, speed.held)
    return (Steadiness(name="cruise_speed", label=label, statistics=found),)
