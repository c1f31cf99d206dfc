"""Numbers as they are said on the radio, written with figures.

Figures spoken one by one ("two niner niner six"), thousands and hundreds ("four thousand five
hundred"), halves and quarters, "point" and "minus". Figures that were typed stay as they are.
"""

import re
from typing import Final

_NAMES: Final = (
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
)
_FIGURES: Final = {name: figure for figure, name in enumerate(_NAMES)} | {
    "niner": 9,
    "tree": 3,
    "fower": 4,
    "fife": 5,
}
_PARTS: Final = {
    "one half": "1/2",
    "half": "1/2",
    "one quarter": "1/4",
    "three quarters": "3/4",
    "quarter": "1/4",
}
_LETTERS: Final = (
    "alfa alpha bravo charlie delta echo foxtrot golf hotel india juliett juliet kilo lima mike"
    " november oscar papa quebec romeo sierra tango uniform victor whiskey x-ray xray yankee zulu"
)
_WORD: Final = "|".join(_FIGURES)
_RUN: Final = re.compile(rf"\b(?:{_WORD})(?:[ -]+(?:{_WORD}))*\b")
_LARGE: Final = re.compile(
    r"\b([0-9]+) thousand(?: (?:and )?([0-9]+) hundred)?\b|\b([0-9]+) hundred\b"
)


def figures(text: str) -> str:
    """The text in small letters, one space apart, its spoken numbers in figures.

    Examples
    --------
    >>> figures("Wind two eight zero at one two"), figures("ceiling four thousand five hundred")
    ('wind 280 at 12', 'ceiling 4500')
    >>> figures("visibility one and one half"), figures("altimeter two niner point niner six")
    ('visibility 1 1/2', 'altimeter 29.96')
    """
    text = " ".join(text.lower().split())
    for words, part in _PARTS.items():
        text = re.sub(rf"\b{words}\b", part, text)
    text = _RUN.sub(lambda run: _together(run[0]), text)
    text = _LARGE.sub(_large, text)
    text = re.sub(r"([0-9]) (?:point|decimal) (?=[0-9])", r"\1.", text)
    text = re.sub(r"\bminus (?=[0-9])", "-", text)
    return re.sub(r"\b([0-9]+) and (?=[0-9]/[0-9])", r"\1 ", text)


def letter(word: str) -> str:
    """The letter that a word of the radio alphabet, or a single letter, stands for; else ""."""
    word = word.lower()
    known = word in _LETTERS.split() or (len(word) == 1 and "a" <= word <= "z")
    return word[0].upper() if known else ""


def _together(run: str) -> str:
    return "".join(f"{_FIGURES[word]}" for word in re.split(r"[ -]+", run))


def _large(match: re.Match[str]) -> str:
    thousands, hundreds, alone = (int(one or 0) for one in match.groups())
    return f"{thousands * 1000 + (hundreds + alone) * 100}"
