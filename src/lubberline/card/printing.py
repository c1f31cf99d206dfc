"""Prints the card, and with it writes the pledge; neither is left half-written."""

import json
import os
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, Final, Literal

from lubberline.card.pledging import make_pledge
from lubberline.card.sheet import Sheet, make_sheet
from lubberline.flight import Plan, Pledge
from lubberline.line import Finding
from lubberline.ways import Way

TEMPLATE = Path(__file__).with_name("sheet.typ")


def print_card(
    plan: Plan,
    way: Way,
    findings: Sequence[Finding],
    *,
    folder: Path,
    printed_utc: datetime,
    paper: str = "a5",
    template: Path = TEMPLATE,
) -> tuple[Path, Path, Pledge]:
    """Write ``card-HASH.pdf`` and ``pledge-HASH.json`` into a folder; old ones stay.

    The card is made before anything is written, and the pledge renamed into place last, so that
    a pledge without its card never exists.
    """
    pledge = make_pledge(plan, way, findings, printed_utc=printed_utc)
    sheet = make_sheet(plan, way, findings, pledge_sha256=pledge.sha256)
    card = render(sheet, "pdf", paper=paper, template=template)
    card_path, pledge_path = folder / f"card-{pledge.short_sha256}.pdf", folder / pledge.file_name
    folder.mkdir(parents=True, exist_ok=True)
    _write_whole(card_path, card)
    _write_whole(pledge_path, pledge.canonical())
    return card_path, pledge_path, pledge


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A sheet of paper and the size of the letters on it."""

    wide_mm: float
    tall_mm: float
    letters_pt: float


PAPERS: Final = {  # ISO 216; ANSI/ASME Y14.1 letter and half of it
    "a5": Paper(wide_mm=148.0, tall_mm=210.0, letters_pt=8.0),
    "half-letter": Paper(wide_mm=139.7, tall_mm=215.9, letters_pt=8.0),
    "a4": Paper(wide_mm=210.0, tall_mm=297.0, letters_pt=11.0),
    "letter": Paper(wide_mm=215.9, tall_mm=279.4, letters_pt=11.0),
}


def render(
    sheet: Sheet,
    form: Literal["pdf", "png"],
    *,
    paper: str = "a5",
    template: Path = TEMPLATE,
) -> bytes:
    """The card as PDF, or as one picture at 200 dots per inch, on one of ``PAPERS``.

    A picture of a card that has several pages is one long page, so that nothing is left out.
    """
    pages = _compiled(sheet, form, template, paper, roll=False)
    if len(pages) > 1 and form == "png":
        pages = _compiled(sheet, form, template, paper, roll=True)
    return pages[0]


def _compiled(
    sheet: Sheet, form: Literal["pdf", "png"], template: Path, paper: str, *, roll: bool
) -> list[bytes]:
    """What the template makes: one PDF, or a picture of each page."""
    on = PAPERS[paper]
    return compiled(
        asdict(sheet),
        form,
        template,
        roll="yes" if roll else "no",
        wide=f"{on.wide_mm}",
        tall=f"{on.tall_mm}",
        size=f"{on.letters_pt}",
    )


def compiled(
    sheet: dict[str, Any], form: Literal["pdf", "png"], template: Path, **inputs: str
) -> list[bytes]:
    """A template with the values of a sheet, in the fonts that come with the compiler."""
    import typst

    inputs = {"sheet": json.dumps(sheet), **inputs}
    made = typst.compile(
        str(template), format=form, ppi=200.0, ignore_system_fonts=True, sys_inputs=inputs
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
