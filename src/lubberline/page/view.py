"""Everything the page's templates may use: words and pictures, nothing left to decide.

A test holds these classes and the templates equal, both ways.
"""

from dataclasses import dataclass

from lubberline.page.drift_view import DriftView
from lubberline.page.figure import Figure
from lubberline.page.flown_view import FlownView
from lubberline.page.line_svg import LineRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """Somewhere to go on to."""

    label: str
    target: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Heed:
    """All findings of one verdict that is not inside, by their labels."""

    verdict: str
    shape: str
    labels: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Findings that belong together, under their name."""

    name: str
    rows: tuple[LineRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """One thing that a way tells of itself, in sentences."""

    name: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WayView:
    """One way: its price, what it asks for, its line and its profile.

    ``row`` is what stands beside the other ways in one table, each with its unit; ``subjects``
    are what is seen at once, ``details`` what is folded away.
    """

    number: int
    name: str
    chosen: bool
    row: tuple[str, ...]
    needs: str
    verdict: str
    shape: str
    sentence: str
    short: tuple[str, ...]
    subjects: tuple[Subject, ...]
    details: tuple[Subject, ...]
    rows: tuple[LineRow, ...]
    profile: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class CardView:
    """The card that was printed; no picture where it would not be the printed one."""

    sentence: str
    pledge: str
    png: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportPage:
    """One flight's report; ``flown_sentence`` is "" where no recording is shown."""

    title: str
    subtitle: str
    sentence: str
    flown_sentence: str
    heed: tuple[Heed, ...]
    caution: str
    not_checked: str
    fit: tuple[Group, ...]
    map: Figure
    airspace: tuple[str, ...]
    ways: tuple[WayView, ...]
    card: CardView | None
    flown: FlownView | None
    drift: DriftView | None
    links: tuple[Link, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightEntry:
    """One flight in the list of a folder."""

    name: str
    target: str
    state: str
    links: tuple[Link, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FolderPage:
    """The list of a folder's flights, or a refusal."""

    title: str
    problem: str = ""
    flights: tuple[FlightEntry, ...] = ()
    note: str = ""
    caution: str = ""
