"""One thing that differs between two airplanes, and when the old habit makes it a trap."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import inf
from typing import Any, Final, Literal, get_args

Subject = Literal[
    "landing gear",
    "fuel tanks",
    "approach and stall",
    "engine out",
    "propeller and engine",
    "speed limits",
    "climb",
    "weights and limits",
    "fuel flow",
    "equipment",
]
SUBJECTS: Final[tuple[Subject, ...]] = get_args(Subject)


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One thing that differs, in words with units. ``trap`` says what the old habit does.

    ``change_ratio`` is the change as a share of the old number; infinite where one side has
    no such thing.
    """

    subject: Subject
    label: str
    old: str
    new: str
    trap: str = ""
    change_ratio: float = inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """A number of the airplane, and on which side of the old one a new one is a trap."""

    subject: Subject
    label: str
    path: str
    unit: str
    trap_if: Literal["higher", "lower", "neither"]
    habit: str = ""


_Known = float  # the unit is data here, given beside it
_Value = float | None  # in the unit of its row, None where the file does not give it


def compared(row: Number, old: _Value, new: _Value) -> Iterator[Difference]:
    """The two numbers if they differ, with what the old one does in the new airplane."""
    if old == new:
        return
    trap, change_ratio = "", inf
    if old is not None and new is not None:
        change_ratio = abs(new - old) / abs(old) if old else inf
        if row.trap_if == ("higher" if new > old else "lower"):
            trap = f"by habit {_words(abs(new - old), row.unit)} {row.habit}"
    elif old is None and row.trap_if == "lower" and row.subject != "landing gear":
        trap = "a limit that the other file does not give"
    yield Difference(
        subject=row.subject,
        label=row.label,
        old=_side_words(row, old),
        new=_side_words(row, new),
        trap=trap,
        change_ratio=change_ratio,
    )


def either(
    subject: Subject, label: str, old: bool | None, new: bool | None, word: str, trap: str
) -> Difference:
    """Something that an airplane has or is, in the word for it or "not" with it."""
    names: dict[Any, str] = {True: word, False: f"not {word}" if word != "yes" else "no"}
    return Difference(
        subject=subject,
        label=label,
        old=names.get(old, "not given"),
        new=names.get(new, "not given"),
        trap=trap,
    )


def _side_words(row: Number, number: _Value) -> str:
    """The number, or what its absence from the file means."""
    if number is None:
        return "none" if row.subject == "landing gear" else "not given"
    return _words(number, row.unit)


def _words(number: _Known, unit: str) -> str:
    return f"{round(number, 2):,.10g} {unit}".rstrip()
