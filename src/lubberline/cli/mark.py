"""The pilot's own marks, asked or given, before results are shown; every phase may be skipped."""

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import cast

import typer

from lubberline.cli.output import say, wrapped
from lubberline.flight import flight_folder_of
from lubberline.flown import (
    MARK_MEANS,
    MARK_WORDS,
    MARKED_PHASES,
    MarkedPhase,
    MarkWord,
    OwnMark,
    add_marks,
)


def mark_flight(flight: Path, given: Iterable[str], notes: Iterable[str]) -> None:
    """Write what is given; ask for every phase if nothing is."""
    folder = flight_folder_of(flight)
    words = _pairs(given, "--mark", MARK_WORDS)
    sentences = _pairs(notes, "--note", None)
    now_utc = datetime.now(UTC)
    marks = (
        [
            OwnMark(
                phase=phase,
                mark=cast(MarkWord, word),
                note=sentences.get(phase, ""),
                made_utc=now_utc,
            )
            for phase, word in words.items()
        ]
        if words
        else ask_marks(now_utc)
    )
    if not marks:
        say("nothing was marked")
        return
    say(f"wrote {add_marks(folder, marks)}: {', '.join(f'{m.phase} {m.mark}' for m in marks)}")


def ask_marks(now_utc: datetime) -> list[OwnMark]:
    """One question a phase; Enter leaves it out, and q all that are left."""
    wrapped("From memory, before you see the result. Enter skips a phase, q ends.")
    for word, means in MARK_MEANS.items():
        say(f"  {word[0]}  {word}: {means}")
    marks = []
    for phase in MARKED_PHASES:
        answer = typer.prompt(phase, default="", show_default=False).strip().lower()
        if answer == "q":
            break
        said = next((one for one in MARK_WORDS if answer and one.startswith(answer)), None)
        if said is not None:
            note = typer.prompt("  one sentence", default="", show_default=False).strip()
            marks.append(OwnMark(phase=phase, mark=said, note=note, made_utc=now_utc))
    return marks


def _pairs(
    given: Iterable[str], option: str, allowed: tuple[str, ...] | None
) -> Mapping[MarkedPhase, str]:
    """PHASE=TEXT as a mapping, or one clear refusal."""
    pairs: dict[MarkedPhase, str] = {}
    for text in given:
        phase, found, said = text.partition("=")
        if not found or phase not in MARKED_PHASES:
            raise typer.BadParameter(
                f"{text!r}: expected PHASE=..., with a phase of {', '.join(MARKED_PHASES)}",
                param_hint=option,
            )
        if allowed is not None and said not in allowed:
            raise typer.BadParameter(
                f"{text!r}: expected one of {', '.join(allowed)}", param_hint=option
            )
        pairs[phase] = said
    return pairs
