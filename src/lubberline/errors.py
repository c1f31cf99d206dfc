"""Everything the program refuses on purpose.

* LubberlineError
  * RangeError (also ValueError): a number outside what a method is good for
  * ShapeError (also ValueError): arrays that do not fit together
  * NoSolution: valid inputs, but the question has no answer
  * BadFile: a file that is not what it claims to be, with every problem found in it

A file that the system does not let be read or written is told as well, by the command line.
Anything else that is raised is a defect and keeps its traceback.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path


class LubberlineError(Exception):
    """Base of every refusal; its text is meant for the pilot."""


class RangeError(LubberlineError, ValueError):
    """A number outside what a method is good for."""


class ShapeError(LubberlineError, ValueError):
    """Arrays that do not fit together."""


class NoSolution(LubberlineError):  # noqa: N818 - an answer, not a mistake
    """Valid inputs, but the question has no answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing that is wrong in a file: what was found and what would be right."""

    key: str
    found: str
    expected: str
    example: str = ""
    line: int | None = None

    def __str__(self) -> str:
        """One line: place, key, found, expected, example."""
        place = f"line {self.line}, " if self.line is not None else ""
        example = f"; e.g. {self.example}" if self.example else ""
        return f"{place}{self.key}: found {self.found}, expected {self.expected}{example}"


class BadFile(LubberlineError):  # noqa: N818 - named after the file, not the event
    """A file that is not what it claims to be, with every problem found in it."""

    def __init__(self, path: Path, problems: Sequence[Problem]) -> None:
        self.path = path
        self.problems = tuple(problems)
        rows = "".join(f"\n  {problem}" for problem in self.problems)
        super().__init__(f"{path}: {len(self.problems)} problem(s){rows}")
