"""Airspace as OpenAir text, the old form and the extended one, in feet or in meters.

Told by records: class, type, name, limits, station, frequency, hours, and an outline of points,
arcs, circles or airways. Hours are single dates, which a weekly schedule cannot hold: they are
kept as text and the airspace counts as active, as it does where its hours come by notice.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Final

from lubberline.places.dataset import DataSet
from lubberline.places.model import Footprint, Schedule, Volume
from lubberline.places.published._account import Accounting, Unfit, refusal
from lubberline.places.published._chosen import chosen
from lubberline.places.published._cycle import source_of
from lubberline.places.published._identified import identified
from lubberline.places.published._letters import PERMITTED, letter_of
from lubberline.places.published._limits import doubts_in, limit_of, limits_of
from lubberline.places.published._openair import Block, Blocks
from lubberline.places.published._outline import airway_of, footprints_of
from lubberline.places.published._table import joined, number, text_of, words_of
from lubberline.places.published.nasr_radio import HIGH_MHZ, LOW_MHZ
from lubberline.places.published.zips import Files, Member, Progress, open_files

FORM: Final = "OpenAir"
_OLD_TYPES: Final = {"W": "WAVE"}  # for gliders; a warning area is WARNING
_CLASSES: Final = frozenset((*"ABCDEFG", "UNC"))


def read_openair(path: Path, progress: Progress | None = None) -> DataSet:
    """All airspace of OpenAir files.

    Parameters
    ----------
    path : Path
        The file, or a zip file or folder with several.
    progress : callable, optional
        Called with the bytes read and the bytes in all.

    Raises
    ------
    BadFile
        If no file has a single airspace.

    References
    ----------
    [OPENAIR]_, command reference and units.
    """
    account = Accounting()
    with open_files(path, nested="openair|airspace", progress=progress) as files:
        members = chosen(files, ".txt", ".openair", ".air", ".oa")
        files.expect(*members)
        blocks = [(one.name, block) for one in members for block in _blocks(files, one, account)]
        source = source_of(files, FORM)
    if not blocks:
        raise refusal(path, "no airspace (AC)", "OpenAir text")
    volumes = [one for name, block in blocks for one in _volumes(name, block, account, path.name)]
    return DataSet(source=source, volumes=identified(volumes), account=account.done())


def _volumes(file: str, block: Block, account: Accounting, source: str) -> list[Volume]:
    """What is made of a block; limits that had to be widened are told, too."""
    item = block.name or "airspace"
    try:
        made = list(_of_block(block, source))
    except Unfit as exc:
        account.leave_out(file, block.line, item, str(exc))
        return []
    for doubt in doubts_in(made[0].note if made else ""):
        account.leave_out(file, block.line, f"limit of {item}", doubt)
    account.read("volumes", len(made))
    return made


def _blocks(files: Files, member: Member, account: Accounting) -> list[Block]:
    """Each airspace with its records; lines that are none are told."""
    blocks = Blocks()
    with text_of(files.open(member)) as text:
        for line, content in enumerate(text, start=1):
            try:
                blocks.take(line, content)
            except Unfit as exc:
                account.leave_out(member.name, line, content.strip(), str(exc))
    return blocks.found


def _of_block(block: Block, source: str) -> Iterator[Volume]:
    if block.unfit:
        raise Unfit(block.unfit)
    said = block.said
    lower = limit_of(said.get("AL", ""), upper=False)
    upper = limit_of(said.get("AH", ""), upper=True)
    floor, ceiling, heights = limits_of(lower, upper)
    stated, kind = said["AC"].upper(), said.get("AY", "").upper()
    if not kind and stated not in _CLASSES:
        stated, kind = "", _OLD_TYPES.get(stated, stated)  # the old form had types among them
    letter, assumed = letter_of(stated, kind)
    name = block.name or f"{kind or stated} of line {block.line}"
    station, frequency_mhz, tuned = said.get("AG", ""), *_frequency(said.get("AF", ""))
    code = f"transponder {said['AX']}" if said.get("AX") else ""
    for footprint in _footprints(block):
        yield Volume(
            id="-".join(words_of(name)) or f"LINE-{block.line}",
            name=name,
            airspace_class=letter,
            group=(station if letter in PERMITTED else "") or name,
            facility=station,
            floor=floor,
            ceiling=ceiling,
            footprint=footprint,
            frequency_mhz=frequency_mhz,
            schedule=_schedule(block.activations),
            kind=kind,
            note=joined(heights, assumed, tuned, code),
            source=source,
        )


def _footprints(block: Block) -> Iterator[Footprint]:
    """Everything that is drawn; a circle is a shape of its own."""
    if block.airway:
        yield from airway_of(block.airway, block.width_nm)
    if block.outline or not (block.airway or block.circles):
        yield from footprints_of(block.outline)
    for circle in block.circles:
        yield from footprints_of([circle])


def _frequency(text: str) -> tuple[float | None, str]:
    """The frequency, or what is said instead of it as a note."""
    value = number(text.upper().removesuffix("MHZ").strip())
    if LOW_MHZ <= value <= HIGH_MHZ:
        return value, ""
    return None, f"frequency {text}" if text else ""


def _schedule(activations: list[str]) -> Schedule | None:
    """Dates of activity as text; none are understood as weekly hours."""
    if not activations:
        return None
    return Schedule(text="; ".join(_period(text) for text in activations))


def _period(text: str) -> str:
    if text.upper() == "NONE":
        return "by notice"
    return " to ".join(part.strip() for part in text.split("/"))
