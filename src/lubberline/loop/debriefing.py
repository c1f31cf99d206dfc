"""From a recording to what was flown, held to the latest pledge, and kept in the store once."""

from dataclasses import asdict, dataclass, replace
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from lubberline.flight import FLIGHT_FILE, Plan, Pledge, folder_of, latest_pledge, read_plan
from lubberline.flown import (
    NO_AIMS,
    Aims,
    Flown,
    MarkBeside,
    Measured,
    beside,
    clock,
    debrief,
    logbook_row,
    logbook_words,
    read_corrections,
    read_marks,
    read_standard,
    three_sentences,
    wind_words,
)
from lubberline.line import finding_record, verdict_sentence
from lubberline.loop.course import store_path
from lubberline.loop.same_flight import overlap
from lubberline.loop.taken import NOTHING_ASKED, LogAsked, Role, role_of, role_words, take_row
from lubberline.recording import MAPS_FOLDER, Clock, Recording, fitting_map, joined, read_recording
from lubberline.units import S_PER_MIN
from lubberline.wording import CAUTION

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A judged recording, what it was held to, and whether the store has it."""

    title: str
    recording_name: str
    flown: Flown
    pledge: Pledge | None
    kept: str
    role: Role
    logged: str
    marks: tuple[MarkBeside, ...] = ()

    def summary(self) -> list[str]:
        """Best, costliest and next, each pointing at its evidence."""
        return [one.text for one in three_sentences(self.flown.findings)]

    def sentences(self) -> list[str]:
        """What happened when, in plain words."""
        moves = [
            f"{clock(move.time_s)} {move.kind}{' (stop-and-go)' if move.stop_and_go else ''}"
            + (f" {move.aerodrome_id} {move.runway or ''}".rstrip() if move.aerodrome_id else "")
            + f" (±{ceil(move.sigma_s)} s)"
            for move in self.flown.movements
        ]
        spent_min: dict[str, float] = {}
        for phase in self.flown.phases:
            length_min = (phase.end_s - phase.start_s) / S_PER_MIN
            spent_min[phase.words] = spent_min.get(phase.words, 0.0) + length_min
        phases = [f"{name} {minutes:.1f}" for name, minutes in spent_min.items()]
        held = "no pledge: none was printed"
        if self.pledge is not None:
            printed = f"{self.pledge.printed_utc:%Y-%m-%d %H:%MZ}"
            held = f"the pledge {self.pledge.sha256[:12]}, printed {printed}"
        row = logbook_row(self.flown)
        return [
            "; ".join(moves) or "No take-off and no landing in this recording.",
            f"Minutes by phase: {', '.join(phases)}.",
            f"Held to {held}.",
            *(f"{wind_words(wind)}." for wind in self.flown.winds),
            *([f"Logbook: {logbook_words(row)}."] if row is not None else []),
            *([f"{role_words(self.role)} {self.logged}"] if row is not None else []),
            verdict_sentence(self.flown.findings),
        ]

    def record(self) -> dict[str, Any]:
        """The result as plain values."""
        row = logbook_row(self.flown)
        return {
            "title": self.title,
            "summary": [asdict(one) for one in three_sentences(self.flown.findings)],
            "recording": self.recording_name,
            "sha256": self.flown.recording.sha256,
            "account": list(self.flown.recording.account),
            "pledge": self.pledge.sha256 if self.pledge else None,
            "movements": [asdict(move) for move in self.flown.movements],
            "phases": [asdict(phase) for phase in self.flown.phases],
            "phases_found": [asdict(phase) for phase in self.flown.found_phases],
            "changes": [asdict(one) for one in self.flown.changes],
            "maneuvers": [asdict(one) for one in self.flown.maneuvers],
            "held": [asdict(one) for one in self.flown.steadiness],
            "marks": [_mark_record(one) for one in self.marks],
            "logbook": None if row is None else asdict(row),
            "role": asdict(self.role),
            "logged": self.logged,
            "measured": [_measured_record(one) for one in self.flown.measured],
            "winds": [asdict(wind) for wind in self.flown.winds],
            "findings": [finding_record(finding) for finding in self.flown.findings],
            "kept": self.kept,
            "caution": CAUTION,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """How the pilot wants a recording read and judged.

    ``also`` are further recordings of the same flight, put on the time of the first (``by_clock``:
    their own times are kept). A CSV is read by ``columns``, else by the map in ``recordings/``
    that fits it, else by a guess; ``clock`` says the times of a recording that holds none.
    ``standard`` is a name in ``standards/``, else the flight's own.
    ``aims`` are the pilot's for the landing; the airplane and its speed on final are added.
    """

    columns: Path | None = None
    also: tuple[Path, ...] = ()
    by_clock: bool = False
    clock: Clock | None = None
    standard: str | None = None
    aims: Aims = NO_AIMS


PLAINLY: Final = Asked()


def judge(
    flight_path: Path,
    recording_path: Path,
    *,
    asked: Asked = PLAINLY,
    keep: bool,
    log: LogAsked = NOTHING_ASKED,
) -> Judged:
    """Read a recording, hold it to the latest pledge and the standard, and keep the result.

    ``log`` is what is wanted of the logbook.
    """
    plan = read_plan(flight_path)
    home = folder_of(plan.folder / FLIGHT_FILE)
    tolerances = read_standard(
        home / "standards" / f"{asked.standard or plan.flight.standard}.toml"
    )
    recording = _recording(home, recording_path, asked)
    printed = latest_pledge(plan.folder)
    pledge = printed[1] if printed is not None else None
    search = plan.flight.search
    final_ias_kt = plan.aircraft.speeds.final_kt + asked.aims.gust_kt / 2.0
    flown = debrief(
        recording,
        places=plan.places,
        pledge=pledge,
        standard=tolerances,
        terrain=plan.terrain,
        approach_ias_kt=final_ias_kt,
        stall_ias_kt=plan.aircraft.speeds.stall_clean_kt,
        corrections=read_corrections(plan.folder),
        aims=replace(
            asked.aims,
            aircraft=plan.aircraft,
            final_ias_kt=final_ias_kt,
            not_above_msl_ft=search.not_above_msl_ft if search else None,
            not_below_msl_ft=search.not_below_msl_ft if search else None,
        ),
    )
    role = role_of(plan, log.role)
    kept = "not kept in the store"
    if keep:
        kept = _keep(home, plan, recording_path, flown, pledge, role)
    return Judged(
        title=plan.flight.title,
        recording_name=recording_path.name,
        flown=flown,
        pledge=pledge,
        kept=kept,
        role=role,
        logged=take_row(home, plan, flown, role, log),
        marks=beside(read_marks(plan.folder), flown.findings),
    )


def _recording(home: Path, path: Path, asked: Asked) -> Recording:
    """All that was recorded of the flight, as one recording."""
    maps = home / MAPS_FOLDER
    column_map = asked.columns or fitting_map(maps, path)
    recording = read_recording(path, column_map=column_map, clock=asked.clock)
    for other in asked.also:
        second = read_recording(other, column_map=fitting_map(maps, other))
        recording = joined(recording, second, by_clock=asked.by_clock)
    return recording


def _keep(
    home: Path,
    plan: Plan,
    recording_path: Path,
    flown: Flown,
    pledge: Pledge | None,
    role: Role,
) -> str:
    """Put the flight into the folder's store once; one sentence about what happened."""
    from lubberline.loop.debriefing_kept import new_flight
    from lubberline.loop.debriefing_word import read_word
    from lubberline.store import AlreadyThere, add_flight, add_marks, open_store

    word = read_word(plan.folder)
    said = role.name if role.by else None
    flight = new_flight(plan, recording_path, flown, pledge, word=word, role=said)
    path = store_path(home)
    with open_store(path) as store, store.writing() as session:
        added = add_flight(session, flight)
        if not isinstance(added, AlreadyThere):
            other = _other_recording(session, added.flight_id, plan.pilot.name)
            beside = f", beside another recording of it, flight {other}" if other else ""
            return f"kept in {path} as flight {added.flight_id}{beside}"
        marked = add_marks(session, added.flight_id, word.marks)
    what = f"{marked} own marks were added" if marked else "nothing was added"
    return f"already in {path} as flight {added.flight_id}: {what}"


def _other_recording(session: "Session", flight_id: int, pilot: str) -> int | None:
    """A kept flight that is the same one, recorded by something else."""
    from lubberline.store.courses import spans_of

    spans = {number: (first, last) for number, first, last in spans_of(session, pilot=pilot)}
    own = spans.pop(flight_id, None)
    return next((n for n, span in spans.items() if own is not None and overlap(own, span)), None)


def _measured_record(one: Measured) -> dict[str, Any]:
    """A movement or go-around with its findings."""
    findings = [finding_record(finding) for finding in one.findings]
    return {"kind": one.kind, "time_s": one.time_s, "runway": one.runway, "findings": findings}


def _mark_record(one: MarkBeside) -> dict[str, Any]:
    return {
        "phase": one.phase,
        "own": None if one.own is None else asdict(one.own),
        "measured": None if one.measured is None else str(one.measured),
        "decided_by": None if one.decided_by is None else one.decided_by.limit.key,
        "agrees": one.agrees,
    }
