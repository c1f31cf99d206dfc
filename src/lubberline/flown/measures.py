"""Take-offs, approaches, landings and go-arounds of a flight measured, each by its own module.

The findings of a flight are those of one take-off and one landing: the pledged ones, else the
first and the last; of go-arounds the last. All others are kept beside, each with its findings.
"""

from dataclasses import dataclass
from typing import Final

from lubberline.aircraft import Aircraft
from lubberline.flown.arrival import arrival
from lubberline.flown.case import Case, clock
from lubberline.flown.circuit import pattern_readings
from lubberline.flown.departure import takeoff_readings
from lubberline.flown.descent import descent_readings
from lubberline.flown.engine import engine_readings
from lubberline.flown.gates import GATE_FT, final_readings, limit_speed_readings
from lubberline.flown.go_around import GoAround, go_around_readings
from lubberline.flown.landing import landing_readings
from lubberline.flown.model import Measured, Movement
from lubberline.flown.motion import FlownMotion
from lubberline.line import Finding


@dataclass(frozen=True, slots=True, kw_only=True)
class Aims:
    """What the pilot aimed at: airspeed on final, a point past the threshold, a gate's height.

    Half of ``gust_kt``, the gust over the mean wind, is meant to be in the airspeed already. The
    two heights are those that the flight asked not to leave.
    """

    aircraft: Aircraft | None = None
    final_ias_kt: float | None = None
    point_ft: float | None = None
    gate_ft: float = GATE_FT
    gust_kt: float = 0.0
    not_above_msl_ft: float | None = None
    not_below_msl_ft: float | None = None


NO_AIMS: Final = Aims()


def measured_movements(
    case: Case,
    motion: FlownMotion,
    movements: tuple[Movement, ...],
    broken_off: tuple[GoAround, ...],
    aims: Aims,
) -> tuple[Measured, ...]:
    """Every movement and go-around with its findings, in order of time."""
    found = [_movement(case, motion, one, aims) for one in movements]
    found += [
        Measured(
            kind="go-around", time_s=one.time_s, runway=one.runway,
            findings=tuple(
                reading.finding(case.standard)
                for reading in go_around_readings(case, one, aims.aircraft)
            ),
        )
        for one in broken_off
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda one: one.time_s))


def judged_findings(case: Case, measured: tuple[Measured, ...], aims: Aims) -> tuple[Finding, ...]:
    """Those of its take-off, last go-around and landing, of the way down, and the speed limits."""
    takeoffs = [one for one in measured if one.kind == "take-off"]
    landings = [one for one in measured if one.kind in ("landing", "touch-and-go")]
    broken_off = [one for one in measured if one.kind == "go-around"]
    chosen = [
        *_chosen(takeoffs[:1], takeoffs, case.takeoff),
        *broken_off[-1:],
        *_chosen(landings[-1:], landings, case.landing),
    ]
    whole = [
        *engine_readings(case, aims.aircraft),
        *descent_readings(case, aims.aircraft),
        *limit_speed_readings(case, aims.aircraft),
    ]
    speeds = (one.finding(case.standard) for one in whole)
    return (*(finding for one in chosen for finding in one.findings), *speeds)


def measured_sentences(measured: tuple[Measured, ...]) -> tuple[str, ...]:
    """The go-arounds in plain words."""
    return tuple(
        f"Go-around at {clock(one.time_s)} on {one.runway}, begun at"
        f" {one.findings[0].value:.0f} ft above it, lowest {one.findings[1].value:.0f} ft."
        for one in measured
        if one.kind == "go-around"
    )


def _chosen(
    usual: list[Measured], all_of_them: list[Measured], pledged: Movement | None
) -> list[Measured]:
    if pledged is None:
        return usual
    return [one for one in all_of_them if one.time_s == pledged.time_s] or usual


def _movement(case: Case, motion: FlownMotion, move: Movement, aims: Aims) -> Measured:
    if move.kind == "take-off":
        readings = takeoff_readings(case, motion, move, aims.aircraft)
    else:
        flown = arrival(case, motion, move)
        readings = [] if flown is None else [
            *pattern_readings(case, flown),
            *final_readings(case, flown, target_ias_kt=aims.final_ias_kt, gate_ft=aims.gate_ft),
            *landing_readings(case, flown, aim_ft=aims.point_ft, target_ias_kt=aims.final_ias_kt),
        ]  # fmt: skip
    return Measured(
        kind=move.kind,
        time_s=move.time_s,
        runway=f"{move.aerodrome_id or ''} {move.runway or ''}".strip(),
        findings=tuple(one.finding(case.standard) for one in readings),
    )
