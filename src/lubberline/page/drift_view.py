"""What the drift part of a report may show: all measures as a table, one of them as charts."""

from dataclasses import dataclass

from lubberline.page.figure import Figure
from lubberline.page.line_svg import LineRow


@dataclass(frozen=True, slots=True, kw_only=True)
class DriftRow:
    """One measure in the table: its word, and what the word rests on."""

    label: str
    word: str
    shape: str
    latest: str
    usual: str
    spark: str
    to_know: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DriftPage:
    """The drift part as a page of its own."""

    title: str
    subtitle: str
    caution: str
    drift: "DriftView"


@dataclass(frozen=True, slots=True, kw_only=True)
class DriftView:
    """The course of one measure: the word, its finding and charts; and the table of all."""

    sentence: str
    behind: tuple[str, ...]
    rows: tuple[LineRow, ...]
    figures: tuple[Figure, ...]
    measures: tuple[DriftRow, ...]
