"""Everything that the flown part of a report may use: words and pictures, all decided."""

from dataclasses import dataclass

from lubberline.page.figure import Figure
from lubberline.page.line_svg import LineRow


@dataclass(frozen=True, slots=True, kw_only=True)
class SpanView:
    """A phase or maneuver; ``note`` says what the pilot corrected or named.

    ``doubt`` is that of the beginning.
    """

    begins: str
    doubt: str
    ends: str
    lasts: str
    what: str
    note: str
    is_part: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkView:
    """An own mark beside what was measured."""

    phase: str
    own: str
    said: str
    measured: str
    shape: str
    decided_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GateView:
    """What was asked at a gate of the approach, and what was flown."""

    asked: str
    value: str
    limit: str
    verdict: str
    shape: str
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeView:
    """Something that was set in flight."""

    moment: str
    set_to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FlownView:
    """What was flown: three sentences, the line, phases, marks, pictures.

    ``cursor`` is JSON of the track for the mark that runs along all pictures; "" for none.
    """

    summary: tuple[str, ...]
    rows: tuple[LineRow, ...]
    spans: tuple[SpanView, ...]
    changes: tuple[ChangeView, ...]
    marks: tuple[MarkView, ...]
    gates: tuple[GateView, ...]
    sentences: tuple[str, ...]
    profile: Figure
    strips: Figure | None
    landing: Figure | None
    engine: Figure | None
    cursor: str
    account: tuple[str, ...]
