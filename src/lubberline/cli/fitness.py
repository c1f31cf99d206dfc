"""Working code of ``lubberline fitness``: asks how the pilot is, and keeps the answers."""

import sys
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import typer

from lubberline.cli.output import say, wrapped
from lubberline.errors import RangeError
from lubberline.pilot import Fitness, write_fitness


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What was given on the command line; None is asked for."""

    ill: bool | None
    medication: bool | None
    stress: int | None
    drank_h: float | None
    slept_h: float | None
    awake_h: float | None
    eaten_h: float | None


def answer(directory: Path, given: Answers, *, now_utc: datetime | None = None) -> None:
    """Ask what was not given, then write ``fitness.toml``."""
    if not (directory / "pilot.toml").exists():
        raise RangeError(f"{directory} has no pilot.toml; name the pilot's folder")
    now_utc = (now_utc or datetime.now(UTC)).replace(microsecond=0)
    drank_h = _hours("--drank-h", "Hours since your last drink (24 or more: none)?", given.drank_h)
    fitness = Fitness(
        answered_utc=now_utc,
        ill=_yes_or_no("--ill/--well", "Ill or hurt?", given.ill),
        medication=_yes_or_no(
            "--medication/--no-medication", "Any medication that may slow you?", given.medication
        ),
        last_drink_utc=None if drank_h >= 24.0 else now_utc - timedelta(hours=drank_h),
        slept_h=_hours("--slept-h", "Hours slept in the last night?", given.slept_h),
        up_since_utc=now_utc
        - timedelta(hours=_hours("--awake-h", "Hours awake by now?", given.awake_h)),
        eaten_utc=now_utc
        - timedelta(hours=_hours("--eaten-h", "Hours since you ate?", given.eaten_h)),
        stress_index=_stress(given.stress),
    )
    path = write_fitness(directory, fitness)
    say(f"wrote {path}, for your eyes only; 'lubberline fit' holds it against the flight")
    wrapped("Illness, medicine, stress, alcohol, fatigue, eating: if in doubt, stay on the ground.")


def _yes_or_no(option: str, question: str, given: bool | None) -> bool:
    if given is not None:
        return given
    _must_be_asked(option)
    return typer.confirm(question)


def _hours(option: str, question: str, given_h: float | None) -> float:
    if given_h is not None:
        return given_h
    _must_be_asked(option)
    return _asked(question, 240)


def _stress(given: int | None) -> int:
    if given is not None:
        return given
    _must_be_asked("--stress")
    question = "Stress, from 0 (none) to 4 (I think of nothing else)?"
    return round(_asked(question, 4))


def _asked(question: str, most: int) -> float:
    """A number from 0 up; asked again until it is one."""
    while True:
        value = float(typer.prompt(question, type=float))
        if 0.0 <= value <= most:
            return value
        say(f"a number from 0 to {most}, please")


def _must_be_asked(option: str) -> None:
    """Without a terminal nobody is there to answer."""
    if not sys.stdin.isatty():
        raise RangeError(f"{option} is missing, and there is no terminal to ask at")
