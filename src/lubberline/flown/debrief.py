"""One recording judged: phases, movements, and everything that can be measured against a pledge.

Without a pledge only what needs none is judged; the other findings are there all the same,
unknown, so that nobody takes their absence for a good answer.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import takewhile
from typing import Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.earth import Terrain
from lubberline.flight import Pledge
from lubberline.flown.airspace import airspace
from lubberline.flown.airwork import Airwork, airwork
from lubberline.flown.approach import approach_airspeed, final_span
from lubberline.flown.case import Case, aloft_index, clock, other_day, pledged_movements
from lubberline.flown.changes import changes
from lubberline.flown.channels import engine_rpm
from lubberline.flown.corrections import (
    Correction,
    corrected_maneuvers,
    corrected_phases,
    on_day,
)
from lubberline.flown.cruise import cruise, cruise_held
from lubberline.flown.cruise_speed import speed_held, speed_readings, speed_spans, speed_steadiness
from lubberline.flown.engine import engine_sentences
from lubberline.flown.even import even_track, nearest_samples
from lubberline.flown.fuel import fuel_readings
from lubberline.flown.go_around import GoAround, go_arounds
from lubberline.flown.height import contacts, flown_height
from lubberline.flown.height_limits import height_limit_readings
from lubberline.flown.maneuver_measures import maneuver_findings
from lubberline.flown.maneuvers import maneuvers
from lubberline.flown.measures import (
    Aims,
    judged_findings,
    measured_movements,
    measured_sentences,
)
from lubberline.flown.model import ON_GROUND, Flown, FlownTrack, Phase
from lubberline.flown.motion import flown_motion
from lubberline.flown.movements import Airborne, airborne
from lubberline.flown.phases import phases
from lubberline.flown.route import track_distance
from lubberline.flown.standard import Standard
from lubberline.flown.steadiness import held_spans, steadiness
from lubberline.flown.timing import timing
from lubberline.flown.unplaced import is_placed
from lubberline.flown.winds_met import winds_met
from lubberline.places import Places
from lubberline.recording import Recording

NO_POSITION: Final = (
    "No position was recorded: take-off and landing are taken to be the pledged ones, by the speed"
    " and height recorded; nothing is known of places, track and runways, and slow taxi"
    " looks parked where only airspeed was recorded."
)
SILENT_S: Final = 30.0  # own: a shorter stop held no run-up


def debrief(  # noqa: PLR0913 - each is one thing that may be known of a flight
    recording: Recording,
    *,
    places: Places,
    pledge: Pledge | None,
    standard: Standard,
    terrain: Terrain | None = None,
    approach_ias_kt: float | None = None,
    stall_ias_kt: float | None = None,
    corrections: Sequence[Correction] = (),
    aims: Aims | None = None,
) -> Flown:
    """What was flown, against the pledge and the chosen standard.

    Parameters
    ----------
    recording : Recording
        The cleaned track, and above what its satellite heights are.
    places : Places
        Aerodromes and airspace; may be empty.
    pledge : Pledge or None
        The numbers that the flight was to keep.
    standard : Standard
        The tolerances that judge it.
    terrain : Terrain, optional
        Ground under airspace given above ground; without it, aerodromes nearby stand in.
    approach_ias_kt : float, optional
        The airspeed aimed at on final [kt].
    stall_ias_kt : float, optional
        Stall speed without flaps [kt], above 0; without it no slow flight or stall is found.
    corrections : sequence of Correction
        What the pilot corrects, with times of day.
    aims : Aims, optional
        The airplane with its speeds, the point aimed at, the height of the gate.

    Returns
    -------
    Flown
        Findings in a fixed order: times, cruise, track, approach, fuel, airspace, maneuvers,
        take-off, go-around, landing.
    """
    aims = aims or Aims(final_ias_kt=approach_ias_kt)
    even = even_track(recording.track, recording.gaps)
    flights = airborne(even, recording.track, places)
    movements = tuple(one for flight in flights for one in flight.movements)
    another = other_day(movements, pledge)
    of_its_day = None if another else pledge
    takeoff, landing = pledged_movements(movements, of_its_day)
    height = flown_height(
        even,
        contacts(even, flights, places),
        gnss_above_sea=recording.gnss_reference == "msl",
        pledge=of_its_day,  # so are its altimeter settings
    )
    if recording.track.time_s.size:
        corrections = on_day(corrections, float(np.mean(recording.track.time_s[[0, -1]])))
    case = Case(
        track=recording.track,
        gaps=recording.gaps,
        even=even,
        phases=(),
        height=height,
        places=places,
        terrain=terrain,
        pledge=pledge,
        standard=standard,
        takeoff=takeoff,
        landing=landing,
        aloft_index=aloft_index(even, flights, takeoff, landing),
        nearest_index=nearest_samples(recording.track, even),
    )
    flew = bool(movements or case.aloft_index.size) and is_placed(recording.track)
    motion = flown_motion(recording.track) if flew else None
    broken_off = () if motion is None else go_arounds(case, motion, movements)
    rpm = engine_rpm(case)
    found = phases(even, flights, places, broken_off=broken_off, engine_rpm=rpm)
    held, corrected = corrected_phases(found, corrections)
    case = replace(case, phases=held)
    approach = approach_airspeed(case, flights, approach_ias_kt)
    winds = winds_met(case)
    cruised = cruise_held(case)
    speed = speed_held(case, aims.aircraft)
    limits = height_limit_readings(
        case, not_above_msl_ft=aims.not_above_msl_ft, not_below_msl_ft=aims.not_below_msl_ft
    )
    work = airwork(case, winds)
    recognized = maneuvers(work, case.phases, stall_ias_kt)
    sure = tuple(one for one in broken_off if not one.note)
    measured = () if motion is None else measured_movements(case, motion, movements, sure, aims)
    practised, renamed = corrected_maneuvers(recognized, corrections)
    return Flown(
        recording=recording,
        phases=case.phases,
        movements=movements,
        findings=(
            *timing(case),
            *cruise(case, cruised),
            *(one.finding(standard) for one in speed_readings(case, speed)),
            *(one.finding(standard) for one in limits),
            *track_distance(case),
            approach,
            *(one.finding(standard) for one in fuel_readings(case)),
            *airspace(case),
            *maneuver_findings(work, practised, standard),
            *judged_findings(case, measured, aims),
        ),
        track=_aloft(case, work),
        measured=measured,
        account=(
            _story(flights),
            *([] if is_placed(recording.track) else [NO_POSITION]),
            *([another] if another else []),
            *measured_sentences(measured),
            *engine_sentences(case, aims.aircraft),
            *_doubtful(broken_off),
            *_silent_stops(found, rpm),
            *height.account,
            *corrected,
            *renamed,
        ),
        winds=winds,
        maneuvers=practised,
        steadiness=(*steadiness(case, cruised), *speed_steadiness(case, speed)),
        spans=(
            *held_spans(case, cruised),
            *speed_spans(case, speed),
            *final_span(case, flights, approach_ias_kt),
        ),
        found_phases=found if found != held else (),
        changes=changes(recording.track),
    )


def _doubtful(broken_off: tuple[GoAround, ...]) -> list[str]:
    """What may have been a go-around or a touch of the wheels."""
    return [
        f"At {clock(one.lowest_s)} it came down to {one.runway} and climbed again; {one.note}."
        for one in broken_off
        if one.note
    ]


def _silent_stops(found: tuple[Phase, ...], rpm: FloatArray | None) -> list[str]:
    """What is not known of the stop before a take-off where no engine speed was recorded."""
    sentences = []
    for number, phase in enumerate(found):
        before = list(takewhile(lambda one: one.name in ON_GROUND, reversed(found[:number])))
        stops = [one for one in before[:-1] if one.name == "parked"]  # the last one is the stand
        if rpm is None and phase.name == "take-off" and stops:
            begins, ends = clock(stops[0].start_s), clock(stops[0].end_s)
            if stops[0].end_s - stops[0].start_s >= SILENT_S:
                sentences.append(
                    f"Whether the stop from {begins} to {ends} was a run-up,"
                    " a recorded engine speed (rpm) would tell."
                )
    return sentences


def _aloft(case: Case, work: Airwork) -> FlownTrack:
    """The steps in the air with the height that was judged."""
    aloft, even = case.aloft_index, case.even
    return FlownTrack(
        time_s=even.time_s[aloft],
        segment_index=even.segment_index[aloft],
        lat_deg=even.lat_deg[aloft],
        lon_deg=even.lon_deg[aloft],
        indicated_ft=case.height.indicated_ft[aloft],
        ground_kt=even.ground_kt[aloft],
        track_true_deg=even.track_true_deg[aloft],
        climb_fpm=even.climb_fpm[aloft],
        ias_kt=work.ias_kt,
        bank_deg=work.bank_deg,
    )


def _story(flights: tuple[Airborne, ...]) -> str:
    """How many flights were found, in one sentence."""
    if not flights:
        return "Nothing in the recording shows a flight: no phase of flight, no movement."
    seen = [one.kind for flight in flights for one in flight.movements]
    counted = ", ".join(
        f"{seen.count(kind)} {kind}" for kind in ("take-off", "touch-and-go", "landing")
    )
    stretch = "1 stretch" if len(flights) == 1 else f"{len(flights)} stretches"
    return f"{stretch} of flight; movements: {counted}."
