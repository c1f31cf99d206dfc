"""Height as the altimeter showed it, from what the recorder kept, with its doubt.

Cruising heights and airspace are written for the altimeter. Pressure height becomes indicated
height with the pledge's altimeter settings, passing evenly from the one at departure to the one
at destination, because nobody recorded when the knob was turned. Satellite height is true
height; the air's temperature, not known here, widens its doubt.

The ground is the check: at a take-off or landing on a known aerodrome the height has to read its
elevation. A small difference is left alone, a larger one is corrected, and where nothing else
fixes the zero (no setting, or a satellite height above the ellipsoid) the ground alone does. If
it cannot either, the height is not known. All sigmas are our own estimates.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from lubberline.air import indicated_altitude_ft
from lubberline.arrays import FloatArray
from lubberline.flight import Pledge
from lubberline.flown.even import EvenTrack
from lubberline.flown.model import Movement
from lubberline.flown.movements import Airborne
from lubberline.places import Aerodrome, Places

STANDARD_INHG: Final = 29.92
CONTACT_S: Final = 60.0  # so much of the time before a take-off or after a landing is used
PRESSURE_SIGMA_FT: Final = 20.0  # own: two sensors, each within 14 CFR 43, appendix E at low level
GNSS_SIGMA_FT: Final = 25.0
CHANGE_SIGMA_FT: Final = 20.0  # own: the pressure elsewhere, if it is known at one place only
PRESSURE_OFF_FT: Final = 30.0  # a difference on the ground up to this is left alone
GNSS_OFF_FT: Final = 50.0
TEMPERATURE_FRACTION: Final = 0.04  # of the height: 10 degC off standard, as one sigma

NO_SETTING: Final = (
    "an altimeter setting in the pledge, or a take-off or landing on a known aerodrome"
)
NO_GEOID: Final = (
    "pressure height, or a take-off or landing on a known aerodrome: this recording's"
    " satellite height is not above mean sea level"
)
NO_HEIGHT: Final = "a recorder that keeps heights"


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class FlownHeight:
    """Indicated height at each even step, shape (m,); all NaN and ``missing`` said if not known.

    ``sigma_ft`` is the doubt that neighboring steps share (zero, setting, last digit), and
    ``noise_ft`` the scatter of the recorder from step to step.
    """

    indicated_ft: FloatArray
    sigma_ft: FloatArray
    noise_ft: float
    account: tuple[str, ...]
    missing: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """A take-off or landing on a known aerodrome: when, how high the ground is there."""

    time_s: float
    elev_msl_ft: float
    aerodrome_id: str
    start: int
    stop: int


def contacts(even: EvenTrack, flights: tuple[Airborne, ...], places: Places) -> tuple[Contact, ...]:
    """The moments at which the height of the recorder is known from the map, in order of time."""
    found = []
    for movement in (one for flight in flights for one in flight.movements):
        aerodrome = places.aerodromes.get(movement.aerodrome_id or "")
        if aerodrome is None or movement.kind == "touch-and-go":
            continue
        start, stop = _ground_steps(even, movement)
        found.append(
            Contact(
                time_s=movement.time_s,
                elev_msl_ft=_elevation_ft(aerodrome, movement.runway),
                aerodrome_id=aerodrome.id,
                start=start,
                stop=stop,
            )
        )
    return tuple(found)


def flown_height(
    even: EvenTrack,
    grounded: tuple[Contact, ...],
    *,
    gnss_above_sea: bool,
    pledge: Pledge | None,
) -> FlownHeight:
    """Indicated height along the recording: from pressure if it can be, else from satellites."""
    pressure = _from_pressure(even, grounded, pledge)
    if not pressure.missing:
        return pressure
    satellites = _from_gnss(even, grounded, gnss_above_sea=gnss_above_sea, pledge=pledge)
    return satellites if not satellites.missing or pressure.missing == NO_HEIGHT else pressure


def _from_pressure(
    even: EvenTrack, grounded: tuple[Contact, ...], pledge: Pledge | None
) -> FlownHeight:
    if not _mostly_known(even.pressure_ft):
        return _not_known(even, NO_HEIGHT)
    settings = _settings(pledge)
    if not settings and not grounded:
        return _not_known(even, NO_SETTING)
    ends_inhg = settings or (STANDARD_INHG, STANDARD_INHG)
    when_s = _ends_s(even, grounded, pledge)
    setting_inhg = np.interp(even.time_s, when_s, ends_inhg)
    base_ft = indicated_altitude_ft(even.pressure_ft, setting_inhg)
    off = _ground_off(base_ft, grounded, PRESSURE_OFF_FT if settings else 0.0)
    shift_ft = _shift_ft(even, off)
    shown_ft = base_ft + shift_ft
    moved_ft = (shown_ft - even.pressure_ft)[np.isfinite(base_ft)]
    change_ft = float(np.ptp(moved_ft)) / np.sqrt(12.0)
    one_sided = CHANGE_SIGMA_FT if not settings and len(grounded) == 1 else 0.0
    sigma_ft = float(np.sqrt(PRESSURE_SIGMA_FT**2 + change_ft**2 + one_sided**2))
    account = [_setting_sentence(settings), *_off_sentences(off, grounded)]
    return FlownHeight(
        indicated_ft=shown_ft,
        sigma_ft=np.full(
            len(even), np.hypot(sigma_ft, even.sensors.pressure_step_ft / np.sqrt(12.0))
        ),
        noise_ft=even.sensors.pressure_noise_ft,
        account=tuple(account),
    )


def _from_gnss(
    even: EvenTrack,
    grounded: tuple[Contact, ...],
    *,
    gnss_above_sea: bool,
    pledge: Pledge | None,
) -> FlownHeight:
    if not _mostly_known(even.gnss_ft):
        return _not_known(even, NO_HEIGHT)
    if not gnss_above_sea and not grounded:
        return _not_known(even, NO_GEOID)
    off = _ground_off(even.gnss_ft, grounded, GNSS_OFF_FT if gnss_above_sea else 0.0)
    true_ft = even.gnss_ft + _shift_ft(even, off)
    station_ft = [one.elev_msl_ft for one in grounded]
    if not station_ft and pledge is not None:
        station_ft = [pledge.points[0].msl_ft, pledge.points[-1].msl_ft]
    above_ft = true_ft - (float(np.mean(station_ft)) if station_ft else 0.0)
    warm_ft = TEMPERATURE_FRACTION * np.abs(above_ft)
    start = (
        "above mean sea level" if gnss_above_sea else "above the ellipsoid or not said above what"
    )
    account = [
        f"Heights come from satellites, {start}; the temperature, not recorded, widens their doubt"
        " against the altimeter by 4 % of the height above the aerodrome.",
        *_off_sentences(off, grounded),
    ]
    return FlownHeight(
        indicated_ft=true_ft,
        sigma_ft=np.nan_to_num(np.hypot(GNSS_SIGMA_FT, warm_ft), nan=GNSS_SIGMA_FT),
        noise_ft=even.sensors.gnss_noise_ft,
        account=tuple(account),
    )


def _not_known(even: EvenTrack, missing: str) -> FlownHeight:
    nothing = np.full(len(even), np.nan)
    return FlownHeight(
        indicated_ft=nothing,
        sigma_ft=np.zeros(len(even)),
        noise_ft=0.0,
        account=(f"The height above the sea is not known; it would take {missing}.",),
        missing=missing,
    )


def _mostly_known(height_ft: FloatArray) -> bool:
    return bool(height_ft.size) and float(np.isfinite(height_ft).mean()) >= 0.9


def _settings(pledge: Pledge | None) -> tuple[float, float] | None:
    """Altimeter settings at departure and destination [inHg]; the one that is known for both."""
    if pledge is None:
        return None
    both = (pledge.departure_altimeter_inhg, pledge.destination_altimeter_inhg)
    known = [setting for setting in both if setting is not None]
    if not known:
        return None
    return known[0], known[-1]


def _ends_s(
    even: EvenTrack, grounded: tuple[Contact, ...], pledge: Pledge | None
) -> tuple[float, float]:
    """Between which moments the setting passes from one to the other."""
    if len(grounded) >= 2:
        return grounded[0].time_s, grounded[-1].time_s
    if pledge is not None:
        ends = (pledge.takeoff_utc.timestamp(), pledge.landing_utc.timestamp())
        if ends[1] > ends[0]:
            return ends
    return float(even.time_s[0]), float(even.time_s[-1]) + 1.0


def _ground_off(
    height_ft: FloatArray, grounded: tuple[Contact, ...], least_ft: float
) -> list[tuple[float, float, float]]:
    """For each contact its time, how far the ground lies above the height, what is corrected."""
    found = []
    for contact in grounded:
        here_ft = height_ft[contact.start : contact.stop]
        here_ft = here_ft[np.isfinite(here_ft)]
        if here_ft.size:
            off_ft = contact.elev_msl_ft - float(np.median(here_ft))
            found.append((contact.time_s, off_ft, off_ft if abs(off_ft) > least_ft else 0.0))
    return found


def _shift_ft(even: EvenTrack, off: list[tuple[float, float, float]]) -> FloatArray:
    if not off:
        return np.zeros(len(even))
    return np.interp(even.time_s, [one[0] for one in off], [one[2] for one in off])


def _setting_sentence(settings: tuple[float, float] | None) -> str:
    if settings is None:
        return "Heights come from pressure, set on the ground at a known aerodrome."
    first, last = settings
    if first == last:
        return f"Heights come from pressure with the pledge's setting, {first:.2f} inHg."
    return (
        f"Heights come from pressure with the pledge's settings, passing from {first:.2f} to"
        f" {last:.2f} inHg along the flight."
    )


def _off_sentences(
    off: list[tuple[float, float, float]], grounded: tuple[Contact, ...]
) -> list[str]:
    """What the ground said about the height at each contact."""
    return [
        f"On the ground at {contact.aerodrome_id} the height read {abs(off_ft):.0f} ft"
        f" {'below' if off_ft > 0.0 else 'above'} the elevation;"
        f" {'corrected by that' if corrected_ft else 'left as it is'}."
        for (_, off_ft, corrected_ft), contact in zip(off, grounded, strict=False)
    ]


def _ground_steps(even: EvenTrack, movement: Movement) -> tuple[int, int]:
    """Steps on the ground beside a movement, within its segment."""
    at = even.nearest(movement.time_s)
    segment = even.segment_index[at]
    first = int(np.searchsorted(even.segment_index, segment, side="left"))
    last = int(np.searchsorted(even.segment_index, segment, side="right"))
    if movement.kind == "take-off":
        return max(first, at - even.steps(CONTACT_S)), max(first + 1, at)
    return at, min(last, at + even.steps(CONTACT_S))


def _elevation_ft(aerodrome: Aerodrome, runway: str | None) -> float:
    """Elevation of the middle of the runway, else of the aerodrome."""
    for strip, end in aerodrome.runway_ends():
        if end.name == runway:
            return (strip.ends[0].elev_msl_ft + strip.ends[1].elev_msl_ft) / 2.0
    return aerodrome.elev_msl_ft
