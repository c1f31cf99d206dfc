"""One block of OpenAir text: the records of one airspace, and the outline that they draw.

Variables hold within their block only. A record of the outline that is not understood makes the
block unfit, for without it the airspace would have another shape.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from lubberline.places.published._account import Unfit
from lubberline.places.published._arcs import (
    Place,
    turn_by_angles,
    turn_by_points,
    whole_circle,
)
from lubberline.places.published._coordinates import place_of
from lubberline.places.published._outline import Piece
from lubberline.places.published._table import number

SAID: Final = frozenset(("AC", "AN", "AH", "AL", "AY", "AF", "AG", "AX", "AI"))
DRAWN: Final = frozenset(("DP", "DA", "DB", "DC", "DY"))
IGNORED: Final = frozenset(("AT", "SP", "SB"))  # labels and colors
KNOWN: Final = SAID | DRAWN | {"AA", "V"}
_TERRAIN: Final = ("TO", "TC")
_RECORD: Final = re.compile(r"([A-Z]{2}|V)(?:(?:[ \t=:]+|(?=\d))(.*))?", re.IGNORECASE | re.DOTALL)
_VARIABLE: Final = re.compile(r"([XDWZ])\s*=\s*(.*)", re.IGNORECASE)


def record_of(line: str) -> tuple[str, str] | None:
    """Code and value of a line; None if it holds neither but a comment.

    Raises
    ------
    Unfit
        If it is no record.
    """
    text = line.partition("*")[0].strip().lstrip("\ufeff")
    if not text:
        return None
    match = _RECORD.fullmatch(text)
    if match is None:
        raise Unfit("no record")
    value = match[2] or ""
    return match[1].upper(), value.split(" ;")[0].strip()


@dataclass(slots=True)
class Block:
    """The records of one airspace."""

    line: int
    said: dict[str, str] = field(default_factory=dict)
    activations: list[str] = field(default_factory=list)
    outline: list[Piece] = field(default_factory=list)
    circles: list[Piece] = field(default_factory=list)  # each an outline of its own
    airway: list[Place] = field(default_factory=list)
    unfit: str = ""
    center: Place | None = None
    clockwise: bool = True
    width_nm: float = 0.0

    @property
    def name(self) -> str:
        """What it calls itself."""
        return self.said.get("AN", "")

    def take(self, code: str, value: str) -> None:
        """Add a record.

        Raises
        ------
        Unfit
            If its code is not known.
        """
        if code in SAID:
            if code in self.said and self.said[code] != value:
                raise Unfit(f"a second {code}: the first is used")
            self.said[code] = value
        elif code == "AA":
            self.activations.append(value)
        elif code == "V":
            self._set(value)
        elif code in DRAWN:
            self._draw(code, value)
        elif code not in IGNORED:
            self.doubt(code)
            raise Unfit("a record of unknown kind")

    def doubt(self, line: str) -> None:
        """A line that is not understood; it may have been part of the outline."""
        if line.lstrip()[:1].upper() in ("D", "V"):
            self.unfit = self.unfit or f"{line.strip()[:40]!r} is not understood"

    def _draw(self, code: str, value: str) -> None:
        steps: dict[str, Callable[[str], None]] = {
            "DP": lambda text: self.outline.append(place_of(text)),
            "DA": self._arc_by_angles,
            "DB": self._arc_by_points,
            "DC": lambda text: self.circles.append(whole_circle(self._center(), _nm(text))),
            "DY": lambda text: self.airway.append(place_of(text)),
        }
        try:
            steps[code](value)
        except Unfit as exc:
            self.unfit = self.unfit or f"{code} {value[:40]}: {exc}"

    def _set(self, value: str) -> None:
        """A variable: center, sense or width; the scale of the drawing does not matter."""
        match = _VARIABLE.fullmatch(value)
        try:
            if match is None:
                raise Unfit("no variable")
            name, text = match[1].upper(), match[2].strip()
            if name == "X":
                self.center = None  # a center that is not understood must not leave the last one
                self.center = place_of(text)
            elif name == "D":
                self.clockwise = _sense(text)
            elif name == "W":
                self.width_nm = _nm(text)
        except Unfit as exc:
            self.unfit = self.unfit or f"V {value[:40]}: {exc}"

    def _arc_by_angles(self, text: str) -> None:
        values = [number(part.strip()) for part in text.split(",")]
        if len(values) != 3:
            raise Unfit("expected radius, start, end")
        radius_nm, start_deg, end_deg = values
        turn = turn_by_angles(
            self._center(), radius_nm, (start_deg, end_deg), clockwise=self.clockwise
        )
        self.outline.append(turn)

    def _arc_by_points(self, text: str) -> None:
        start, comma, end = text.partition(",")
        if not comma:
            raise Unfit("expected two places with a comma between them")
        turn = turn_by_points(
            self._center(), place_of(start), place_of(end), clockwise=self.clockwise
        )
        self.outline.append(turn)

    def _center(self) -> Place:
        if self.center is None:
            raise Unfit("no center (V X=) before it")
        return self.center


class Blocks:
    """Takes a text line by line; pieces of terrain are passed over."""

    def __init__(self) -> None:
        self.found: list[Block] = []
        self._block: Block | None = None
        self._in_terrain = False

    def take(self, line: int, content: str) -> None:
        """Add a line.

        Raises
        ------
        Unfit
            If it is no record, or one outside any airspace; the next line can be taken.
        """
        try:
            record = record_of(content)
            if record is not None:
                self._take(line, *record)
        except Unfit:
            if self._block is not None:
                self._block.doubt(content)
            if not self._in_terrain:
                raise

    def _take(self, line: int, code: str, value: str) -> None:
        if code in ("AC", *_TERRAIN):
            self._in_terrain = code in _TERRAIN
            self._block = None if self._in_terrain else Block(line)
            self.found += [self._block] if self._block is not None else []
        if self._block is not None:
            self._block.take(code, value)
        elif not self._in_terrain and code in KNOWN:
            raise Unfit("no airspace (AC) before it")


def _sense(text: str) -> bool:
    if text[:1] not in ("+", "-"):
        raise Unfit("expected + or -")
    return text[0] == "+"


def _nm(text: str) -> float:
    value = number(text.upper().removesuffix("NM").strip())
    if not value > 0.0:
        raise Unfit(f"{text[:20]!r} is no length")
    return value
