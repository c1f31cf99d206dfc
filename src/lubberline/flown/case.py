"""Everything a measure may look at, and how a measured value becomes a finding.

A finding is judged by the tolerance that the chosen standard gives for its measure. Where the
standard gives none the finding is unknown, but keeps its value: no other standard is put in its
place. All findings of this room have keys ``flown.NAME``.
"""

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

import numpy as np

from lubberline.arrays import BoolArray, IntArray
from lubberline.earth import LocalPlane, Terrain
from lubberline.flight import Pledge, PledgedPoint
from lubberline.flown.even import EvenTrack
from lubberline.flown.height import FlownHeight
from lubberline.flown.model import Movement, MovementKind, Phase
from lubberline.flown.movements import Airborne
from lubberline.flown.standard import Standard
from lubberline.line import Finding, Limit, unknown
from lubberline.places import Places
from lubberline.recording import Gap, Track

END_NM: Final = 5.0  # own: how near its pledged aerodrome a take-off or landing lies
OTHER_DAY_S: Final = 43_200.0  # own: half a day from the pledged take-off is another flight
NOT_PLACED: Final = "a recording with positions"
NO_PLEDGE: Final = "a pledge: print the card before the flight"


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Case:
    """One recording with all that is known about it.

    ``takeoff`` and ``landing`` are those of the pledged flight, None where not recorded;
    ``aloft_index`` are the even steps of that flight, of all flights without a pledge.
    ``nearest_index`` is the sample nearest to each even step, -1 where none is near.
    """

    track: Track
    gaps: tuple[Gap, ...]
    even: EvenTrack
    phases: tuple[Phase, ...]
    height: FlownHeight
    places: Places
    terrain: Terrain | None
    pledge: Pledge | None
    standard: Standard
    takeoff: Movement | None
    landing: Movement | None
    aloft_index: IntArray
    nearest_index: IntArray

    @property
    def by_pressure(self) -> bool:
        """Whether differences of height come from pressure, not from satellites."""
        return self.even.by_pressure

    def where(self, step: int) -> str:
        """Moment and place of an even step, as a finding names them."""
        lat_deg, lon_deg = float(self.even.lat_deg[step]), float(self.even.lon_deg[step])
        at = f" at {place(lat_deg, lon_deg)}" if np.isfinite(lat_deg) else ""
        return f"{clock(float(self.even.time_s[step]))}{at}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """What is measured: the name of the finding, and of the tolerances that may judge it.

    The first of ``tolerances`` that the standard gives is used; ``remark`` says under its
    source that it was meant for something else.
    """

    name: str
    label: str
    unit: str
    tolerances: tuple[str, ...]
    remark: str = ""


def limit_for(measure: Measure, standard: Standard) -> Limit:
    """The limit that a standard sets to a measure, open on both sides if it sets none."""
    given = [one for name in measure.tolerances if (one := standard.tolerance(name)) is not None]
    if not given:
        return Limit(
            key=f"flown.{measure.name}",
            label=measure.label,
            unit=measure.unit,
            basis=standard.basis,
            source=f"{standard.document}: no tolerance for it",
        )
    first = given[0]
    borrowed = first.measure != measure.tolerances[0] and measure.remark
    return Limit(
        key=f"flown.{measure.name}",
        label=measure.label,
        unit=measure.unit,
        low=first.low,
        high=first.high,
        target=0.0,
        basis=standard.basis,
        source=standard.source(first) + (f" ({measure.remark})" if borrowed else ""),
    )


def measured(
    measure: Measure,
    standard: Standard,
    value: float,
    *,
    sigma: float,
    where: str = "",
    note: str = "",
) -> Finding:
    """A finding whose value is known."""
    limit = limit_for(measure, standard)
    return judged_by(limit, measure, value, sigma=sigma, where=where, note=note)


def judged_by(
    limit: Limit,
    measure: Measure,
    value: float,
    *,
    sigma: float,
    where: str = "",
    note: str = "",
) -> Finding:
    """A finding with a known value under a limit, which may be open on both sides."""
    is_open = limit.low is None and limit.high is None
    missing = f"a tolerance {measure.tolerances[0]} in the chosen standard" if is_open else ""
    return Finding(limit=limit, value=value, sigma=sigma, where=where, note=note, missing=missing)


def not_known(measure: Measure, standard: Standard, missing: str, *, note: str = "") -> Finding:
    """A finding whose value is not known, and what would supply it."""
    return unknown(limit_for(measure, standard), missing, note=note)


def pledged_movements(
    movements: tuple[Movement, ...], pledge: Pledge | None
) -> tuple[Movement | None, Movement | None]:
    """Take-off and landing of the pledged flight.

    The landing is the first at the pledged destination after the first take-off at the pledged
    departure (after the start of a recording that holds no such take-off); the take-off is the
    last one there before that landing. Near is within 5 NM of the pledge's first or last point;
    a recording without any position is taken to be of the pledged flight.
    """
    if pledge is None:
        return None, None
    starts = _near(movements, "take-off", pledge.points[0])
    ends = _near(movements, "landing", pledge.points[-1])
    after_s = starts[0].time_s if starts else -np.inf
    landing = next((one for one in ends if one.time_s > after_s), None)
    before_s = np.inf if landing is None else landing.time_s
    takeoff = next((one for one in reversed(starts) if one.time_s < before_s), None)
    return takeoff, landing


def other_day(movements: tuple[Movement, ...], pledge: Pledge | None) -> str:
    """That a recording is of another flight than the pledge, in a sentence; "" if it is not."""
    if pledge is None or not movements:
        return ""
    off_s = movements[0].time_s - pledge.takeoff_utc.timestamp()
    if abs(off_s) <= OTHER_DAY_S:
        return ""
    flown_on = datetime.fromtimestamp(movements[0].time_s, UTC)
    return (
        f"The recording is of {flown_on:%Y-%m-%d %H:%MZ}, the pledge of"
        f" {pledge.takeoff_utc:%Y-%m-%d %H:%MZ}: another flight. Neither its"
        " times nor its altimeter settings are held to it."
    )


def aloft_index(
    even: EvenTrack,
    flights: tuple[Airborne, ...],
    takeoff: Movement | None,
    landing: Movement | None,
) -> IntArray:
    """Even steps in the air, between that take-off and that landing where they are known."""
    aloft = np.zeros(len(even), dtype=bool)
    for flight in flights:
        part = slice(flight.stretch.start, flight.stretch.stop)
        aloft[part] = _between(even, flight.takeoff, flight.landing)[part]
    return np.flatnonzero(aloft & _between(even, takeoff, landing)).astype(np.int64)


def at_utc(time_s: float) -> datetime:
    """A moment of a recording as a date and time."""
    return datetime.fromtimestamp(float(time_s), UTC)


def clock(time_s: float) -> str:
    """A moment as hours, minutes and seconds UTC."""
    return f"{datetime.fromtimestamp(round(time_s), UTC):%H:%M:%S}Z"


def place(lat_deg: float, lon_deg: float) -> str:
    """A place in degrees, to about 10 m."""
    north = "N" if lat_deg >= 0.0 else "S"
    east = "E" if lon_deg >= 0.0 else "W"
    return f"{abs(lat_deg):.4f} {north} {abs(lon_deg):.4f} {east}"


def _near(
    movements: tuple[Movement, ...], kind: MovementKind, point: PledgedPoint
) -> list[Movement]:
    plane = LocalPlane(lat_deg=point.lat_deg, lon_deg=point.lon_deg)
    return [
        one
        for one in movements
        if one.kind == kind
        and (
            np.isnan(one.lat_deg)
            or float(np.hypot(*plane.to_plane_nm(one.lat_deg, one.lon_deg))) <= END_NM
        )
    ]


def _between(even: EvenTrack, takeoff: Movement | None, landing: Movement | None) -> BoolArray:
    start_s = -np.inf if takeoff is None else takeoff.time_s
    stop_s = np.inf if landing is None else landing.time_s
    return (even.time_s >= start_s) & (even.time_s <= stop_s)
