"""The whole loop on the invented region: six flights pledged, flown, debriefed; five views."""

from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Final

from lubberline import loop
from lubberline.cli import output, show
from lubberline.cli.line_rows import line_rows
from lubberline.demo import FLIGHTS, DemoFlight, record_way, way_of, write_demo
from lubberline.line import Finding, Verdict, counts, verdict_sentence, worst_first
from lubberline.loop.debriefing import Judged, judge
from lubberline.wording import CAUTION

PRINTED_BEFORE: Final = timedelta(minutes=40)  # off block: when the card was printed
FIT_ROWS_COUNT, FLOWN_ROWS_COUNT = 3, 5
MEASURE: Final = "flown.cruise_height_rms"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Round:
    """One flight that went all the way round the loop."""

    flight: DemoFlight
    folder: Path
    recording_path: Path
    printed: loop.Printed
    judged: Judged


def run_demo(directory: Path) -> None:
    """Write the demo's folder, take every flight round the loop, and show what came of it."""
    folders = write_demo(directory)
    rounds = [
        _go_round(flight, folder, png=flight is FLIGHTS[-1])
        for flight, folder in zip(FLIGHTS, folders, strict=True)
    ]
    output.say("DEMO  Region, airplane, pilot, weather and flights: all of it is invented.")
    output.wrapped(CAUTION)
    _flights(rounds)
    _views(directory, rounds[-1])
    _where(directory, rounds[-1])


def _go_round(flight: DemoFlight, folder: Path, *, png: bool) -> _Round:
    """Evaluate, print the card before the flight, fly, read the recording back, debrief, keep."""
    prepared = loop.prepare(folder, None)
    plan, ways = prepared.plan, prepared.ways
    prepared = loop.checked(plan, ways, way_of(flight, ways))
    printed_utc = flight.off_block_utc - PRINTED_BEFORE
    printed = loop.print_card(prepared, png=png, printed_utc=printed_utc)
    recording_path, _ = record_way(plan, prepared.way, flight)
    judged = judge(folder, recording_path, keep=True)
    return _Round(
        flight=flight,
        folder=folder,
        recording_path=recording_path,
        printed=printed,
        judged=judged,
    )


def _flights(rounds: list[_Round]) -> None:
    """One row for each flight: the fault it was flown with, and what the debrief made of it."""
    output.say()
    output.say("Six flights: card printed, flown with a fault, recorded, read back, debriefed.")
    output.say(f"  {'date':12}{'fault flown':29}{'recorded':10}found outside the limits")
    for one in rounds:
        output.say(
            f"  {one.flight.off_block_utc:%Y-%m-%d}  {one.flight.fault:29}"
            f"{one.judged.flown.recording.format_name:10}{_outside(one.judged.flown.findings)}"
        )


def _outside(findings: tuple[Finding, ...]) -> str:
    """How many findings are outside, and the worst of them by its key."""
    count = counts(findings)[Verdict.OUTSIDE]
    if count == 0:
        return "nothing"
    name = worst_first(findings)[0].limit.key.partition(".")[2].replace("_", " ")
    return f"{count}: {name}{', ...' if count > 1 else ''}"


def _views(directory: Path, last: _Round) -> None:
    """The five views of the last flight, briefly."""
    prepared = last.printed.prepared
    output.say()
    output.say(f"The last flight, {last.judged.title}, {last.flight.off_block_utc:%Y-%m-%d}.")
    output.say("FIT  Are pilot and airplane legal and fit, with these numbers?")
    output.wrapped(verdict_sentence(prepared.findings))
    _line(prepared.findings, FIT_ROWS_COUNT)
    output.say()
    output.say("WAYS  Which ways lead there, what does each cost and demand?")
    show.ways_table(prepared)
    output.say()
    output.say(f"CARD  What to hold in the air, for way {prepared.number}: {prepared.way.name}")
    show.card_paths(last.printed)
    output.say()
    output.say("FLOWN  What was flown, against the pledge and the standard?")
    for sentence in last.judged.sentences():
        output.wrapped(sentence)
    _line(last.judged.flown.findings, FLOWN_ROWS_COUNT)
    output.say()
    show.drift(loop.follow(directory, MEASURE), as_json=False)


def _line(findings: tuple[Finding, ...], most: int) -> None:
    """The worst findings as the line, and how many more there are."""
    shown = worst_first(findings)[:most]
    for row in line_rows(shown):
        output.say(row)
    if len(findings) > len(shown):
        output.say(f"... and {len(findings) - len(shown)} more.")


def _where(directory: Path, last: _Round) -> None:
    from lubberline.page import write_report

    report_path = directory / "report.html"
    write_report(last.folder, report_path, recording_path=last.recording_path)
    output.say()
    for what, path in (
        ("folder", directory),
        ("recording", last.recording_path),
        ("report", report_path),
    ):
        output.say(f"{what:11}{path}")
    number = last.printed.prepared.number
    output.say(f"go on with: lubberline fit {last.folder} --way {number}")
