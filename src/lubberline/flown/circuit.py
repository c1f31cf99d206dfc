"""The traffic pattern before a landing: height and spacing of the downwind, the turn to final."""

from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, IntArray
from lubberline.flown.arrival import Arrival
from lubberline.flown.case import Case, clock
from lubberline.flown.gauge import PLACE_COMMON_FT, Gauge, Reading
from lubberline.units import FT_PER_NM

HEIGHT: Final = Gauge(name="pattern_height", label="height on downwind, off the pattern's, worst",
                      unit="ft", why="as the published standard", low=-100.0, high=100.0,
                      tolerance="pattern_height_ft")  # fmt: skip
SPACING: Final = Gauge(name="pattern_spacing", label="downwind beside the runway", unit="NM",
                       why="half a mile to a mile, and half of one more", low=0.4,
                       high=1.5)  # fmt: skip
DRIFT: Final = Gauge(name="pattern_drift", label="downwind off the runway's direction, toward it",
                     unit="deg", why="parallel to it: the wind allowed for", low=-5.0,
                     high=5.0)  # fmt: skip
OVERSHOOT: Final = Gauge(name="final_overshoot", label="turn to final beyond the centerline",
                         unit="ft", why="no second turn back", high=300.0)  # fmt: skip
BANK: Final = Gauge(name="pattern_bank", label="steepest bank from downwind to final", unit="deg",
                    why="no steeper than 30 degrees low and slow", high=30.0)  # fmt: skip
BACK_DEG: Final = 25.0  # off the runway's opposite direction
WIDE_NM: Final = (0.25, 2.5)
HIGH_FT: Final = 2_000.0
SETTLED_S: Final = 10.0
LEAST_FT: Final = 2_000.0  # own: of downwind, for its direction


def downwind(flown: Arrival) -> BoolArray:
    """True on the last downwind before the threshold was passed abeam."""
    back_deg = np.abs((flown.track_true_deg - flown.strip.true_deg) % 360.0 - 180.0)
    wide_nm = np.abs(flown.right_ft) / FT_PER_NM
    fits = (back_deg <= BACK_DEG) & (wide_nm >= WIDE_NM[0]) & (wide_nm <= WIDE_NM[1])
    fits &= (flown.above_ft <= HIGH_FT) & (flown.time_s < flown.movement.time_s)
    return np.asarray(fits)


def pattern_readings(case: Case, flown: Arrival) -> list[Reading]:
    """Measures of the pattern; none where no downwind beside a published runway was flown."""
    fits = downwind(flown)
    abeam = fits & (flown.along_ft >= 0.0)  # until abeam the threshold: there the descent begins
    straight = np.flatnonzero(abeam)
    straight = straight[flown.time_s[straight] >= flown.time_s[straight[0]] + SETTLED_S] \
        if straight.size else straight  # fmt: skip
    if not straight.size or not flown.strip.published:
        return []
    off_ft = flown.above_ft[straight] - flown.strip.pattern_agl_ft
    worst = int(np.argmax(np.abs(off_ft)))
    side = float(np.sign(np.median(flown.right_ft[straight])))
    turned = np.flatnonzero(fits)[-1]
    until = (np.arange(flown.time_s.size) > turned) & (flown.above_ft > 50.0)
    until &= flown.time_s < flown.movement.time_s
    bank_deg = np.abs(flown.bank_deg[until])
    bank_deg = bank_deg[np.isfinite(bank_deg)]
    place_ft = float(np.hypot(flown.place_sigma_ft, PLACE_COMMON_FT))
    wide_nm = np.abs(flown.right_ft[straight]) / FT_PER_NM
    return [
        Reading(gauge=HEIGHT, value=float(off_ft[worst]),
                sigma=float(np.hypot(flown.height_sigma_ft, 15.0)),
                where=clock(float(flown.time_s[straight][worst])),
                note=f"mean {off_ft.mean():+.0f} ft, until abeam the threshold"),
        Reading(gauge=SPACING, value=float(wide_nm.mean()), sigma=place_ft / FT_PER_NM + 0.01,
                note=f"{wide_nm.min():.2f} to {wide_nm.max():.2f} NM, "
                f"{'left' if side < 0 else 'right'} hand"),
        _drift(flown, straight, place_ft),
        _overshoot(flown, until, place_ft, left_hand=side < 0.0),
        Reading(gauge=BANK, value=float(bank_deg.max()) if bank_deg.size else np.nan, sigma=2.0),
    ]  # fmt: skip


def _overshoot(flown: Arrival, until: BoolArray, place_ft: float, *, left_hand: bool) -> Reading:
    """How far it came beyond the extended centerline, to which side of it, and when."""
    rows = np.flatnonzero(until & np.isfinite(flown.right_ft))
    beyond_ft = flown.right_ft[rows] if left_hand else -flown.right_ft[rows]
    if not rows.size:
        return Reading(gauge=OVERSHOOT, value=np.nan, sigma=0.0)
    worst = int(np.argmax(beyond_ft))
    value_ft = max(float(beyond_ft[worst]), 0.0)
    at = rows[worst]
    out_nm = -float(flown.along_ft[at]) / FT_PER_NM
    return Reading(
        gauge=OVERSHOOT, value=value_ft, sigma=place_ft,
        where=clock(float(flown.time_s[at])) if value_ft else "",
        note=f"{'right' if left_hand else 'left'} of it, {out_nm:.1f} NM before the threshold"
        if value_ft else "never beyond it",
    )  # fmt: skip


def _drift(flown: Arrival, straight: IntArray, place_ft: float) -> Reading:
    """The angle at which a straight line through the downwind closes in on the runway."""
    along_ft, beside_ft = flown.along_ft[straight], np.abs(flown.right_ft[straight])
    length_ft = float(np.ptp(along_ft))
    if length_ft < LEAST_FT:
        return Reading(gauge=DRIFT, value=np.nan, sigma=0.0, missing="a longer downwind")
    slope = float(np.polyfit(along_ft, beside_ft, 1)[0])
    return Reading(gauge=DRIFT, value=float(np.degrees(np.arctan(slope))),
                   sigma=float(np.degrees(2.0 * place_ft / length_ft)))  # fmt: skip
