"""A weather file as the pilot's own lines and, between marks, what was fetched.

A fetched section is replaced by a newer one of its name and by nothing else; whatever stands
outside of the marks is the pilot's and stays byte for byte. Marks are comments of the weather text.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import partial
from typing import Final

_BEGIN: Final = "# fetched {name} {at}: the next fetch replaces all down to its end mark"
_END: Final = "# end of fetched {name}"
_SECTION: Final = re.compile(
    r"^# fetched (?P<name>[a-z0-9-]+) (?P<at>\S+Z):[^\n]*\n(?P<text>.*?)"
    r"^# end of fetched (?P=name)[ \t]*\r?$\n?",
    re.MULTILINE | re.DOTALL,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One product as it was fetched: its name, its age, its text."""

    name: str
    at_utc: datetime
    text: str

    def __str__(self) -> str:
        """With its marks; no line of a service is taken for one of them."""
        at = f"{self.at_utc.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}"
        lines = [_plain(line) for line in self.text.splitlines()]
        parts = [_BEGIN.format(name=self.name, at=at), *lines, _END.format(name=self.name)]
        return "\n".join(parts) + "\n"


def sections_of(text: str) -> dict[str, Section]:
    """The fetched sections of a weather file by their names."""
    found = {}
    for match in _SECTION.finditer(text):
        try:
            at_utc = datetime.fromisoformat(match["at"])
        except ValueError:
            continue
        found[match["name"]] = Section(name=match["name"], at_utc=at_utc, text=match["text"])
    return found


def with_sections(text: str, new: Sequence[Section]) -> str:
    """The text with sections put in the place of older ones of their names, or at its end.

    Examples
    --------
    >>> at_utc = datetime.fromisoformat("2026-11-25T20:31:00Z")
    >>> told = Section(name="metar", at_utc=at_utc, text="METAR QMRL 252020Z 28012KT 10SM CLR")
    >>> print(with_sections("# my own", [told]), end="")
    # my own
    <BLANKLINE>
    # fetched metar 2026-11-25T20:31:00Z: the next fetch replaces all down to its end mark
    METAR QMRL 252020Z 28012KT 10SM CLR
    # end of fetched metar
    """
    there = sections_of(text)
    for section in new:
        old = there.get(section.name)
        if old is None:
            gap = "" if not text else "\n" if text.endswith("\n") else "\n\n"
            text = f"{text}{gap}{section}"
        elif section.at_utc >= old.at_utc:
            text = _SECTION.sub(partial(_replaced, by=section), text)
    return text


def _plain(line: str) -> str:
    """A line without signs that no text file holds; a comment is moved off the margin."""
    kept = "".join(sign if sign.isprintable() else " " for sign in line).rstrip()
    return f" {kept}" if kept.startswith("#") else kept


def _replaced(match: re.Match[str], by: Section) -> str:
    return str(by) if match["name"] == by.name else match[0]
