"""Gathers what a report shows from a pilot's folder, and writes the report where it is asked for.

Looking at a flight prints nothing and keeps nothing: the pledge shown is the latest that a card
has made, and the store is only read.
"""

import os
import tempfile
from pathlib import Path
from typing import Final

from lubberline.card import make_sheet, render
from lubberline.drift import DriftVerdict, Measure
from lubberline.flight import FLIGHT_FILE, Pledge, folder_of, latest_pledge
from lubberline.loop import Prepared, follow, judge, prepare, store_path
from lubberline.page.report import Debrief, ReportPage, make_report, report_html

FOLLOWED: Final = "flown.cruise_height_rms"


def flight_report(
    flight_path: Path, recording_path: Path | None = None, number: int | None = None
) -> ReportPage:
    """The report of a flight; of the pledged way unless another is asked for.

    Raises
    ------
    BadFile, RangeError, NoSolution
        As the parts do: a wrong file, a way that is not there, a way that cannot be flown.
    """
    folder = flight_path if flight_path.is_dir() else flight_path.parent
    printed = latest_pledge(folder)
    pledge = printed[1] if printed is not None else None
    prepared = _prepared(flight_path, number, pledge)
    held = pledge if pledge is not None and pledge.way_name == prepared.way.name else None
    return make_report(
        prepared.plan,
        prepared.ways,
        prepared.way,
        prepared.findings,
        pledge=held,
        card_png=_card_png(prepared, held),
        debrief=_debrief(flight_path, recording_path),
        drift=_drift(folder_of(folder / FLIGHT_FILE)),
    )


def write_report(
    flight_path: Path, out: Path, *, recording_path: Path | None = None, number: int | None = None
) -> Path:
    """Write the report as one HTML file, whole or not at all; its path."""
    html = report_html(flight_report(flight_path, recording_path, number))
    out.parent.mkdir(parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(dir=out.parent, prefix=f".{out.name}")
    with os.fdopen(handle, "w", encoding="utf-8") as stream:
        stream.write(html)
    Path(temporary).replace(out)
    return out


def _prepared(flight_path: Path, number: int | None, pledge: Pledge | None) -> Prepared:
    """The asked way, else the pledged one, else what the program would choose."""
    prepared = prepare(flight_path, number)
    if number is not None or pledge is None:
        return prepared
    names = [way.name for way in prepared.ways]
    if pledge.way_name not in names or pledge.way_name == prepared.way.name:
        return prepared
    return prepare(flight_path, names.index(pledge.way_name) + 1)


def _card_png(prepared: Prepared, pledge: Pledge | None) -> bytes:
    if pledge is None:
        return b""
    sheet = make_sheet(prepared.plan, prepared.way, prepared.findings, pledge_sha256=pledge.sha256)
    return render(sheet, "png")


def _debrief(flight_path: Path, recording_path: Path | None) -> Debrief | None:
    if recording_path is None:
        return None
    judged = judge(flight_path, recording_path, columns=None, standard=None, keep=False)
    return Debrief(flown=judged.flown, sentences=tuple(judged.sentences()))


def _drift(home: Path) -> tuple[Measure, DriftVerdict] | None:
    """The course of the followed measure, if the folder's store knows it."""
    if not store_path(home).exists():
        return None
    drifted = follow(home, FOLLOWED)
    return drifted.measure, drifted.verdict
