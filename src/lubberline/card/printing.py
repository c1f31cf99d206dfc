"""Prints the card, and with it writes the pledge; neither is left half-written."""

import json
import os
import tempfile
from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import Literal

from lubberline.card.pledging import make_pledge
from lubberline.card.sheet import Sheet, make_sheet
from lubberline.flight import Plan, Pledge
from lubberline.line import Finding
from lubberline.ways import Way

TEMPLATE = Path(__file__).with_name("sheet.typ")


def print_card(
    plan: Plan, way: Way, findings: Sequence[Finding], *, folder: Path, printed_utc: datetime
) -> tuple[Path, Path, Pledge]:
    """Write ``card-HASH.pdf`` and ``pledge-HASH.json`` into a folder; old ones stay.

    The card is made first and the pledge renamed into place last, so that a pledge without
    its card never exists.
    """
    pledge = make_pledge(plan, way, findings, printed_utc=printed_utc)
    sheet = make_sheet(plan, way, findings, pledge_sha256=pledge.sha256)
    name = pledge.sha256[:12]
    card_path, pledge_path = folder / f"card-{name}.pdf", folder / f"pledge-{name}.json"
    folder.mkdir(parents=True, exist_ok=True)
    _write_whole(card_path, render(sheet, "pdf"))
    _write_whole(pledge_path, pledge.canonical())
    return card_path, pledge_path, pledge


def render(sheet: Sheet, form: Literal["pdf", "png"]) -> bytes:
    """The card as PDF, or its first page as PNG at 200 dots per inch."""
    import typst

    made = typst.compile(
        str(TEMPLATE),
        format=form,
        ppi=200.0,
        ignore_system_fonts=True,
        sys_inputs={"sheet": json.dumps(asdict(sheet))},
    )
    pages = made if isinstance(made, list) else [made]
    return bytes(pages[0])


def _write_whole(path: Path, content: bytes) -> None:
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}")
    with os.fdopen(handle, "wb") as stream:
        stream.write(content)
    Path(temporary).replace(path)
