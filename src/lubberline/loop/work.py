"""What the commands do, without words: files in, values out."""

from dataclasses import asdict, dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

import numpy as np

from lubberline.drift import DriftVerdict, Measure, drift_finding
from lubberline.drift import judge as judge_measure
from lubberline.errors import NoSolution, RangeError
from lubberline.fit import check_fit
from lubberline.flight import FLIGHT_FILE, Plan, Pledge, folder_of, latest_pledge, read_plan
from lubberline.flown import Flown
from lubberline.line import Finding, Verdict, finding_record, verdict_sentence
from lubberline.units import S_PER_MIN
from lubberline.ways import Way, evaluate_plan
from lubberline.wording import CAUTION

STORE_NAME: Final = "lubberline.db"
MOST_FLIGHTS: Final = 1_000  # own: what one chart can show


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """A flight with all its ways, the chosen one, and the findings for it."""

    plan: Plan
    ways: tuple[Way, ...]
    way: Way
    findings: tuple[Finding, ...]

    @property
    def number(self) -> int:
        """Number of the chosen way in the list."""
        return self.ways.index(self.way) + 1


def prepare(flight_path: Path, number: int | None) -> Prepared:
    """Read a flight, evaluate its ways, choose one and check it.

    Without a number the fastest way is taken with which nothing is outside its limits; if
    there is none, the fastest.
    """
    plan = read_plan(flight_path)
    ways = evaluate_plan(plan)
    if number is not None:
        return checked(plan, ways, _numbered(ways, number))
    fastest_first = (checked(plan, ways, way) for way in ways)
    kept = (one for one in fastest_first if not _breaks_a_limit(one))
    return next(kept, None) or checked(plan, ways, ways[0])


def checked(plan: Plan, ways: tuple[Way, ...], way: Way) -> Prepared:
    """One of a plan's ways with everything that can be decided about it."""
    findings = (*check_fit(plan, way), *way.findings)
    return Prepared(plan=plan, ways=ways, way=way, findings=findings)


def _numbered(ways: tuple[Way, ...], number: int) -> Way:
    if number > len(ways):
        raise RangeError(f"--way is {number}; expected 1 to {len(ways)} (see: lubberline ways)")
    return ways[number - 1]


def _breaks_a_limit(prepared: Prepared) -> bool:
    return any(finding.verdict is Verdict.OUTSIDE for finding in prepared.findings)


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """A printed card: where it lies, and the pledge it made."""

    card_path: Path
    pledge_path: Path
    png_path: Path | None
    pledge: Pledge
    prepared: Prepared


def print_card(prepared: Prepared, *, png: bool, printed_utc: datetime | None = None) -> Printed:
    """Print the chosen way's card beside the flight file, now unless a time is given."""
    from lubberline import card

    plan, way, findings = prepared.plan, prepared.way, prepared.findings
    card_path, pledge_path, pledge = card.print_card(
        plan, way, findings, folder=plan.folder, printed_utc=printed_utc or datetime.now(UTC)
    )
    png_path = None
    if png:
        sheet = card.make_sheet(plan, way, findings, pledge_sha256=pledge.sha256)
        png_path = card_path.with_suffix(".png")
        png_path.write_bytes(card.render(sheet, "png"))
    return Printed(
        card_path=card_path,
        pledge_path=pledge_path,
        png_path=png_path,
        pledge=pledge,
        prepared=prepared,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A judged recording, what it was held to, and whether the store has it."""

    title: str
    recording_name: str
    flown: Flown
    pledge: Pledge | None
    kept: str

    def sentences(self) -> list[str]:
        """What happened when, in plain words."""
        moves = [
            f"{_clock(move.time_s)} {move.kind}"
            + (f" {move.aerodrome_id} {move.runway or ''}".rstrip() if move.aerodrome_id else "")
            + f" (±{move.sigma_s:.0f} s)"
            for move in self.flown.movements
        ]
        spent_min: dict[str, float] = {}
        for phase in self.flown.phases:
            length_min = (phase.end_s - phase.start_s) / S_PER_MIN
            spent_min[phase.name] = spent_min.get(phase.name, 0.0) + length_min
        phases = [f"{name} {minutes:.1f}" for name, minutes in spent_min.items()]
        held = "no pledge: none was printed"
        if self.pledge is not None:
            printed = f"{self.pledge.printed_utc:%Y-%m-%d %H:%MZ}"
            held = f"the pledge {self.pledge.sha256[:12]}, printed {printed}"
        return [
            "; ".join(moves) or "No take-off and no landing in this recording.",
            f"Minutes by phase: {', '.join(phases)}.",
            f"Held to {held}.",
            verdict_sentence(self.flown.findings),
        ]

    def record(self) -> dict[str, Any]:
        """The result as plain values."""
        return {
            "title": self.title,
            "recording": self.recording_name,
            "sha256": self.flown.recording.sha256,
            "account": list(self.flown.recording.account),
            "pledge": self.pledge.sha256 if self.pledge else None,
            "movements": [asdict(move) for move in self.flown.movements],
            "phases": [asdict(phase) for phase in self.flown.phases],
            "findings": [finding_record(finding) for finding in self.flown.findings],
            "kept": self.kept,
            "caution": CAUTION,
        }


def judge(
    flight_path: Path,
    recording_path: Path,
    *,
    columns: Path | None,
    standard: str | None,
    keep: bool,
) -> Judged:
    """Read a recording, hold it to the latest pledge and the standard, and keep the result."""
    from lubberline.flown import debrief, read_standard
    from lubberline.recording import read_recording

    plan = read_plan(flight_path)
    home = folder_of(plan.folder / FLIGHT_FILE)
    tolerances = read_standard(home / "standards" / f"{standard or plan.flight.standard}.toml")
    recording = read_recording(recording_path, column_map=columns)
    printed = latest_pledge(plan.folder)
    pledge = printed[1] if printed is not None else None
    flown = debrief(
        recording,
        places=plan.places,
        pledge=pledge,
        standard=tolerances,
        terrain=plan.terrain,
        approach_ias_kt=plan.aircraft.speeds.final_kt,
    )
    kept = _keep(home, plan, recording_path, flown, pledge) if keep else "not kept in the store"
    return Judged(
        title=plan.flight.title,
        recording_name=recording_path.name,
        flown=flown,
        pledge=pledge,
        kept=kept,
    )


def _keep(home: Path, plan: Plan, recording_path: Path, flown: Flown, pledge: Pledge | None) -> str:
    """Put the flight into the folder's store once; one sentence about what happened."""
    from lubberline.store import AlreadyThere, NewFlight, add_flight, open_store

    flight = NewFlight(
        flown_utc=datetime.fromtimestamp(float(flown.recording.track.time_s[0]), UTC),
        title=plan.flight.title,
        departure_id=plan.flight.departure_id,
        destination_id=plan.flight.destination_id,
        aircraft=plan.aircraft.call_sign,
        pilot=plan.pilot.name,
        movement_count=len(flown.movements),
        recording_name=recording_path.name,
        recording=recording_path.read_bytes(),
        findings=flown.findings,
        pledge=pledge.canonical() if pledge is not None else None,
    )
    path = home / STORE_NAME
    with open_store(path) as store, store.writing() as session:
        added = add_flight(session, flight)
    if isinstance(added, AlreadyThere):
        return f"already in {path} as flight {added.flight_id}: nothing was added"
    return f"kept in {path} as flight {added.flight_id}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Drifted:
    """One measure over the flights of a store, and the word about it."""

    measure: Measure
    verdict: DriftVerdict

    def record(self) -> dict[str, Any]:
        """The measure, its values and the word about it as plain values."""
        measure = self.measure
        return {
            "key": measure.key,
            "label": measure.label,
            "unit": measure.unit,
            "word": str(self.verdict.word),
            "flights_needed_count": self.verdict.flights_needed_count,
            "flights": [
                {"flown_utc": when.isoformat(), "title": title, "value": value, "sigma": sigma}
                for when, title, value, sigma in zip(
                    measure.flown_utc,
                    measure.titles,
                    measure.values.tolist(),
                    measure.sigmas.tolist(),
                    strict=True,
                )
            ],
            "finding": finding_record(drift_finding(measure, self.verdict)),
        }


def follow(directory: Path, key: str) -> Drifted:
    """The course of one finding over the latest flights of a folder's store."""
    from lubberline.store import measure_keys, measures, open_store

    path = directory / STORE_NAME if directory.is_dir() else directory
    if not path.exists():
        raise NoSolution(f"{path} has no flights yet; add one with: lubberline flown")
    with open_store(path) as store, store.reading() as session:
        flights = measures(session, key, limit=MOST_FLIGHTS)
        known = {each.key: each for each in measure_keys(session)}
    if key not in known:
        shown = ", ".join(sorted(known)) or "none yet"
        raise RangeError(f"--measure is {key!r}; expected one of: {shown}")
    measure = Measure(
        key=key,
        label=known[key].label,
        unit=known[key].unit,
        better="smaller",
        flown_utc=tuple(flight.flown_utc for flight in flights),
        values=np.abs([flight.value for flight in flights]),
        sigmas=np.array([flight.sigma for flight in flights]),
        titles=tuple(flight.title for flight in flights),
    )
    return Drifted(measure=measure, verdict=judge_measure(measure))


def _clock(time_s: float) -> str:
    return f"{datetime.fromtimestamp(time_s, UTC):%H:%M:%SZ}"
