"""Airspace, aerodromes and waypoints from AIXM 5.1, with hours, services and dates.

The special use airspace of the US subscription is AIXM 5.0 with an extension that tells its kind.

Composed airspace becomes one volume for each of its parts. All volumes of one airspace share a
group, which is its controlling service where the document links one.
"""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final
from xml.etree.ElementTree import Element

from lubberline.places.dataset import DataSet
from lubberline.places.model import Aerodrome, Radio, Volume, Waypoint
from lubberline.places.published._account import Accounting, Unfit, refusal
from lubberline.places.published._aixm import (
    KINDS,
    Library,
    Slice,
    lasting,
    notes_of,
    slices_of,
    texts,
)
from lubberline.places.published._aixm_aerodromes import Aerodromes
from lubberline.places.published._aixm_hours import schedule_of
from lubberline.places.published._aixm_services import name_of, radios_of
from lubberline.places.published._aixm_shape import Part, Shapes
from lubberline.places.published._aixm_waypoints import waypoints_of
from lubberline.places.published._chosen import chosen
from lubberline.places.published._cycle import day_in, source_of
from lubberline.places.published._identified import identified
from lubberline.places.published._letters import PERMITTED, letter_of
from lubberline.places.published._limits import doubts_in, limit_of, limits_of
from lubberline.places.published._table import joined, words_of
from lubberline.places.published._xml import LINE, NotRead, features, said
from lubberline.places.published.zips import Files, Member, Progress, open_files

FORM: Final = "AIXM 5.1"
_CLASS: Final = "class/AirspaceLayerClass/classification"
_SPECIAL_USE: Final = "extension/AirspaceExtension/suaType"
_SPECIAL_KINDS: Final = {"RA": "R", "PA": "P", "WA": "W", "AA": "ALERT"}  # the others as they are


def read_aixm(path: Path, progress: Progress | None = None) -> DataSet:
    """All airspace, aerodromes and waypoints of AIXM documents.

    Parameters
    ----------
    path : Path
        The document, or a zip file or folder with several, each complete in itself.
    progress : callable, optional
        Called with the bytes read and the bytes in all.

    Raises
    ------
    BadFile
        If a document is no XML, declares a document type, or none holds any feature of AIXM.

    References
    ----------
    [AIXM]_, Airspace, Timesheet, Service and AirportHeliport; [FAA-SAA]_, the extension;
    [GML]_, curves; [OGC-12-028]_, the order of axes and the sense of angles.
    """
    account = Accounting()
    with open_files(path, nested="aixm|airspace|saa|sua", progress=progress) as files:
        members = chosen(files, ".xml", ".aixm", ".gml")
        files.expect(*members)
        documents = [(one.name, _library(files, one)) for one in members]
        source = source_of(files, FORM, day_in(path.name, path.parent.name))
    if not any(any(library.features.values()) for _, library in documents):
        raise refusal(path, "no airspace and no aerodrome", "an AIXM 5.1 document")
    volumes: list[Volume] = []
    aerodromes: list[Aerodrome] = []
    waypoints: list[Waypoint] = []
    for name, library in documents:
        radios = radios_of(library)
        volumes += _volumes(library, radios, (name, source.name), account)
        aerodromes += Aerodromes(library, name, source.name, account).made(radios)
        waypoints += waypoints_of(library, name, source.name, account)
    return DataSet(
        source=source,
        volumes=identified(volumes),
        aerodromes=tuple(aerodromes),
        waypoints=tuple(waypoints),
        account=account.done(),
    )


def _library(files: Files, member: Member) -> Library:
    library = Library()
    with files.open(member) as stream:
        try:
            for feature in features(stream, KINDS):
                library.add(feature)
        except NotRead as exc:
            raise refusal(files.path, f"{member.name}: {exc}", "an AIXM document") from exc
    return library


def _volumes(
    library: Library,
    radios: Mapping[str, list[Radio]],
    names: tuple[str, str],
    account: Accounting,
) -> Iterator[Volume]:
    """Volumes of all slices; ``names`` are those of the document and of the source."""
    shapes = Shapes(library, lasting)
    for feature in library.features["Airspace"]:
        line, answering = int(feature.get(LINE, "0")), radios.get(name_of(feature), [])
        for one in slices_of(feature):
            item = _name(one.node) or name_of(feature)
            try:
                made = list(_of_slice(one, shapes.parts(one.node), answering, names[1]))
            except Unfit as exc:
                account.leave_out(names[0], line, f"{item} {one.change}".strip(), str(exc))
                continue
            for doubt in doubts_in(made[0].note if made else ""):
                account.leave_out(names[0], line, f"limit of {item}", doubt)
            account.read("volumes", len(made))
            yield from made


def _name(node: Element) -> str:
    designator, name = said(node, "designator"), said(node, "name")
    return name if designator in name else f"{designator} {name}".strip()


def _kind(node: Element) -> str:
    special = said(node, _SPECIAL_USE).upper()
    return _SPECIAL_KINDS.get(special, special) or said(node, "type").upper()


def _letter(node: Element, kind: str) -> tuple[str, str]:
    """The strictest class of an airspace, and what else there is to say of it."""
    classes = sorted({text.upper() for text in texts([node], _CLASS)})
    letter, assumed = letter_of(classes[0] if classes else "", kind)
    layers = f"classes {', '.join(classes)} at its heights" if len(classes) > 1 else ""
    return letter, joined(assumed, layers)


def _of_slice(one: Slice, parts: list[Part], radios: list[Radio], source: str) -> Iterator[Volume]:
    node, name, kind = one.node, _name(one.node), _kind(one.node)
    letter, about = _letter(node, kind)
    radio = radios[0] if radios else None
    facility = "" if radio is None else radio.facility
    hours = schedule_of(node)
    does = ", ".join(texts([node], "activation/AirspaceActivation/activity")).lower()
    told = (*(f"{other.facility} {other.frequency_mhz:.3f}" for other in radios[1:]), does)
    for part in parts:
        floor, ceiling, heights = limits_of(
            part.lower or limit_of("", upper=False), part.upper or limit_of("", upper=True)
        )
        yield Volume(
            id="-".join(words_of(said(node, "designator") or name)) or kind or "AIRSPACE",
            name=name or kind or "airspace",
            airspace_class=letter,
            group=(facility if letter in PERMITTED else "") or name,
            facility=facility,
            floor=floor,
            ceiling=ceiling,
            footprint=part.footprint,
            frequency_mhz=None if radio is None else radio.frequency_mhz,
            schedule=hours,
            otherwise_class="E" if hours is not None and letter in PERMITTED else "",
            kind=kind,
            note=joined(one.change, heights, part.note, about, *told, notes_of(node)),
            source=source,
            valid_from_utc=one.from_utc,
            valid_until_utc=one.until_utc,
        )
