"""Prints the card, and with it writes the pledge; neither is left half-written."""

import json
import os
import re
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final, Literal

from lubberline.card.pledging import make_pledge
from lubberline.card.sheet import Sheet, make_sheet
from lubberline.errors import RangeError
from lubberline.flight import Plan, Pledge
from lubberline.line import Finding
from lubberline.ways import Way

TEMPLATE: Final = Path(__file__).with_name("sheet.typ")
_PAGE: Final = re.compile(rb"/Type\s*/Page\b")
FOLD: Final = Path(__file__).with_name("fold.typ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A sheet of paper and the size of the letters on it."""

    wide_mm: float
    tall_mm: float
    letters_pt: float


NIGHT_PT: Final = 11.0  # own: read under a dim white light
PAPERS: Final = {  # ISO 216; ANSI/ASME Y14.1 letter and half of it
    "a5": Paper(wide_mm=148.0, tall_mm=210.0, letters_pt=8.0),
    "half-letter": Paper(wide_mm=139.7, tall_mm=215.9, letters_pt=8.0),
    "a4": Paper(wide_mm=210.0, tall_mm=297.0, letters_pt=NIGHT_PT),
    "letter": Paper(wide_mm=215.9, tall_mm=279.4, letters_pt=NIGHT_PT),
}
HALVES: Final = {"a4": "a5", "letter": "half-letter"}  # what a sheet is when it is folded


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """How a card is printed: on what, for the night, or to be folded.

    By night letters and lines are heavier, and the small papers are turned on their side to
    hold the larger letters. Folded are sheets of A4 or letter, each with four pages of half its
    size.
    """

    paper: str = "a5"
    night: bool = False
    folded: bool = False

    def __post_init__(self) -> None:
        """The letters of the night do not go on half a sheet upright."""
        if self.folded and self.night:
            raise RangeError("a card for the night cannot be folded; expected --night or --fold")

    @property
    def page(self) -> Paper:
        """One page of the card."""
        on = PAPERS[HALVES.get(self.paper, self.paper) if self.folded else self.paper]
        if self.night and on.letters_pt < NIGHT_PT:
            return Paper(wide_mm=on.tall_mm, tall_mm=on.wide_mm, letters_pt=NIGHT_PT)
        return on


DAY: Final = Form()


def print_card(
    plan: Plan,
    way: Way,
    findings: Sequence[Finding],
    *,
    folder: Path,
    printed_utc: datetime,
    form: Form = DAY,
    practice: Sequence[str] = (),
    template: Path = TEMPLATE,
) -> tuple[Path, Path, Pledge]:
    """Write ``card-HASH.pdf`` and ``pledge-HASH.json`` into a folder; old ones stay.

    The card is made before anything is written, and the pledge renamed into place last, so that
    a pledge without its card never exists.
    """
    pledge = make_pledge(plan, way, findings, printed_utc=printed_utc, practice=practice)
    sheet = make_sheet(plan, way, findings, pledge_sha256=pledge.sha256, practice=pledge.practice)
    card = render(sheet, "pdf", form=form, template=template)
    card_path, pledge_path = folder / f"card-{pledge.short_sha256}.pdf", folder / pledge.file_name
    folder.mkdir(parents=True, exist_ok=True)
    _write_whole(card_path, card)
    _write_whole(pledge_path, pledge.canonical())
    return card_path, pledge_path, pledge


def render(
    sheet: Sheet, kind: Literal["pdf", "png"], *, form: Form = DAY, template: Path = TEMPLATE
) -> bytes:
    """The card as PDF, or as one picture at 200 dots per inch.

    A picture of a card that has several pages is one long page, so that nothing is left out;
    nothing of it is folded.
    """
    pages = _compiled(sheet, kind, template, form.page, night=form.night)
    if kind == "pdf":
        return _folded(pages[0], form.page) if form.folded else pages[0]
    if len(pages) > 1:
        pages = _compiled(sheet, kind, template, form.page, night=form.night, roll=True)
    return pages[0]


def _compiled(
    sheet: Sheet,
    kind: Literal["pdf", "png"],
    template: Path,
    on: Paper,
    *,
    night: bool,
    roll: bool = False,
) -> list[bytes]:
    """What the template makes: one PDF, or a picture of each page."""
    return compiled(
        asdict(sheet),
        kind,
        template,
        roll="yes" if roll else "no",
        night="yes" if night else "no",
        wide=f"{on.wide_mm}",
        tall=f"{on.tall_mm}",
        size=f"{on.letters_pt}",
    )


def _folded(pdf: bytes, on: Paper) -> bytes:
    """The pages of a card, two by two, in the order in which they are read when folded."""
    import typst

    with TemporaryDirectory() as folder:
        home = Path(folder)
        (home / "card.pdf").write_bytes(pdf)
        (home / FOLD.name).write_bytes(FOLD.read_bytes())
        inputs = {
            "count": f"{len(_PAGE.findall(pdf))}",
            "wide": f"{on.wide_mm}",
            "tall": f"{on.tall_mm}",
        }
        return bytes(typst.compile(str(home / FOLD.name), root=folder, sys_inputs=inputs))


def compiled(
    sheet: dict[str, Any], kind: Literal["pdf", "png"], template: Path, **inputs: str
) -> list[bytes]:
    """A template with the values of a sheet, in the fonts that come with the compiler."""
    import typst

    inputs = {"sheet": json.dumps(sheet), **inputs}
    made = typst.compile(
        str(template), format=kind, ppi=200.0, ignore_system_fonts=True, sys_inputs=inputs
    )
    return [bytes(page) for page in (made if isinstance(made, list) else [made])]


def _write_whole(path: Path, content: bytes) -> None:
    """The file appears with all its content or not at all."""
    temporary = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        temporary.write_bytes(content)
        temporary.replace(path)
    finally:
        temporary.unlink(missing_ok=True)
