"""The pilot's own marks: one word for each phase, from memory, before results are seen.

They lie in ``marks.toml`` in the flight's folder. The words are those of a verdict, so that a mark
can stand beside what was measured: inside, close (held, with luck or effort) or outside.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Final, Literal, get_args

from pydantic import Field

from lubberline.line import Finding, Verdict, worst_first
from lubberline.tomlfile import Schema, read_toml

MARKS_FILE: Final = "marks.toml"
MarkWord = Literal["inside", "close", "outside"]
MARK_WORDS: Final[tuple[MarkWord, ...]] = get_args(MarkWord)
MARK_MEANS: Final = {
    "inside": "held to the standard with something to spare",
    "close": "just held, or in doubt",
    "outside": "not held",
}
MarkedPhase = Literal["take-off", "climb", "cruise", "maneuvers", "descent", "approach", "landing"]
MARKED_PHASES: Final[tuple[MarkedPhase, ...]] = get_args(MarkedPhase)
# Which findings speak of a phase: the first words of their keys, after "flown.".
SPOKEN_OF: Final[dict[str, tuple[str, ...]]] = {
    "take-off": ("takeoff", "liftoff"),
    "climb": ("climb",),
    "cruise": ("cruise", "course", "track", "checkpoint", "height_"),
    "maneuvers": (
        *("steep_", "chandelle", "lazy_eight", "ground_reference", "slow_flight"),
        *("power_o", "accelerated_stall", "level_turn", "eights_on_pylons", "emergency_descent"),
    ),
    "descent": ("descent", "top_of_descent", "cooling"),
    "approach": (
        *("approach", "gate", "pattern", "path_", "final_", "go_around", "base_", "downwind"),
        *("stable_by", "on_speed_by", "configured_by", "flap_speed", "gear_speed"),
    ),
    "landing": ("touchdown", "threshold", "flare", "float", "rollout", "braking"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnMark:
    """One phase marked by the pilot: the word, one sentence, and when it was said."""

    phase: MarkedPhase
    mark: MarkWord
    note: str
    made_utc: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkBeside:
    """An own mark beside what was measured: the worst verdict of the phase and its finding.

    ``measured`` is None where nothing of the phase is known; ``agrees`` too.
    """

    phase: MarkedPhase
    own: OwnMark | None
    measured: Verdict | None
    decided_by: Finding | None

    @property
    def agrees(self) -> bool | None:
        """Whether both say the same; None where one of them says nothing."""
        if self.own is None or self.measured is None:
            return None
        return self.own.mark == str(self.measured)


class _MarkForm(Schema):
    phase: Annotated[MarkedPhase, Field(examples=["'approach'"])]
    mark: Annotated[MarkWord, Field(examples=["'close'"])]
    note: Annotated[str, Field(max_length=300, examples=["'fast over the fence'"])] = ""
    made_utc: Annotated[datetime, Field(examples=["2026-11-25T19:05:00Z"])]


class _MarksForm(Schema):
    mark: tuple[_MarkForm, ...] = ()


def read_marks(folder: Path) -> tuple[OwnMark, ...]:
    """The marks in a flight's folder, the last one of each phase; none without the file.

    Raises
    ------
    BadFile
        If the file does not fit the form.
    """
    path = folder / MARKS_FILE
    if not path.exists():
        return ()
    last = {
        one.phase: OwnMark(
            phase=one.phase,
            mark=one.mark,
            note=one.note,
            made_utc=one.made_utc.replace(tzinfo=one.made_utc.tzinfo or UTC),
        )
        for one in read_toml(path, _MarksForm).mark
    }
    return tuple(last[phase] for phase in MARKED_PHASES if phase in last)


def add_marks(folder: Path, marks: Sequence[OwnMark]) -> Path:
    """Write marks behind those that are there; what was said before stays. The file's path."""
    path = folder / MARKS_FILE
    before = path.read_text(encoding="utf-8") if path.exists() else _HEAD
    path.write_text(before + "".join(_written(one) for one in marks), encoding="utf-8")
    return path


def beside(marks: Sequence[OwnMark], findings: Sequence[Finding]) -> tuple[MarkBeside, ...]:
    """Each phase that was marked or measured, the own mark beside the worst known verdict."""
    own = {one.phase: one for one in marks}
    rows = []
    for phase in MARKED_PHASES:
        known = [
            one
            for one in findings
            if one.limit.key.removeprefix("flown.").startswith(SPOKEN_OF[phase])
            and not one.limit.key.endswith("takeoff_time")  # the clock is no part of a take-off
            and one.verdict is not Verdict.UNKNOWN
        ]
        worst = worst_first(known)[0] if known else None
        if phase in own or worst is not None:
            rows.append(
                MarkBeside(
                    phase=phase,
                    own=own.get(phase),
                    measured=None if worst is None else worst.verdict,
                    decided_by=worst,
                )
            )
    return tuple(rows)


_HEAD: Final = (
    "# Own marks, from memory, before results were seen. The last one of a phase counts.\n"
)


def _written(one: OwnMark) -> str:
    note = one.note.replace("\\", "\\\\").replace('"', '\\"').replace("\n", " ")
    return (
        f'\n[[mark]]\nphase = "{one.phase}"\nmark = "{one.mark}"\nnote = "{note}"\n'
        f"made_utc = {one.made_utc.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}\n"
    )
