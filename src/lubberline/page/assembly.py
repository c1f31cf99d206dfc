"""Gathers what a report shows from a pilot's folder, and writes the report where it is asked for.

Looking at a flight prints nothing and keeps nothing: the pledge shown is the latest that a card
has made, and the store is only read.
"""

import os
import tempfile
from dataclasses import dataclass, replace
from pathlib import Path

from lubberline.card import make_pledge, make_sheet, render
from lubberline.errors import NoSolution
from lubberline.fit import open_findings
from lubberline.flight import FLIGHT_FILE, Pledge, flight_folder_of, folder_of, latest_pledge
from lubberline.loop import Courses, Prepared, checked, follow_all, prepare
from lubberline.loop.debriefing import PLAINLY, Asked, Judged, judge
from lubberline.loop.practice_helped import pledged_tasks
from lubberline.page.drift_part import drift_page
from lubberline.page.flown_part import Debrief
from lubberline.page.render import drift_html, report_html
from lubberline.page.report import PrintedCard, make_report
from lubberline.page.view import ReportPage


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Gathered:
    """All that is known of one flight; None where nothing was printed, recorded or kept."""

    prepared: Prepared
    pledge: Pledge | None
    judged: Judged | None
    courses: Courses | None


def gather(
    flight_path: Path,
    recording_path: Path | None = None,
    number: int | None = None,
    *,
    asked: Asked = PLAINLY,
) -> Gathered:
    """What is known of a flight; of the pledged way unless another is asked for.

    Raises
    ------
    BadFile, RangeError, NoSolution
        As the parts do: a wrong file, a way that is not there, a way that cannot be flown.
    """
    folder = flight_folder_of(flight_path)
    printed = latest_pledge(folder)
    pledge = printed[1] if printed is not None else None
    prepared = _prepared(flight_path, number, pledge)
    prepared = replace(prepared, findings=open_findings(prepared.findings))
    judged = None
    if recording_path is not None:
        judged = judge(flight_path, recording_path, asked=asked, keep=False)
    return Gathered(
        prepared=prepared,
        pledge=pledge,
        judged=judged,
        courses=_courses(folder_of(folder / FLIGHT_FILE)),
    )


def flight_report(
    flight_path: Path,
    recording_path: Path | None = None,
    number: int | None = None,
    *,
    asked: Asked = PLAINLY,
) -> ReportPage:
    """The report of a flight; refuses what ``gather`` refuses."""
    found = gather(flight_path, recording_path, number, asked=asked)
    judged = found.judged
    return make_report(
        found.prepared,
        card=_printed_card(found.prepared, found.pledge),
        debrief=None
        if judged is None
        else Debrief(
            flown=judged.flown,
            pledge=judged.pledge,
            sentences=tuple(judged.sentences()),
            marks=judged.marks,
        ),
        drift=found.courses,
    )


def write_report(
    flight_path: Path,
    out: Path,
    *,
    recording_path: Path | None = None,
    number: int | None = None,
    asked: Asked = PLAINLY,
) -> Path:
    """Write the report as one HTML file, whole or not at all; its path."""
    report = flight_report(flight_path, recording_path, number, asked=asked)
    return _written(report_html(report), out)


def write_drift(
    directory: Path, out: Path, *, key: str | None = None, pilot: str | None = None
) -> Path:
    """Write the measures of a pilot as a page, with the charts of one of them; its path."""
    return _written(drift_html(drift_page(follow_all(directory, pilot=pilot), key)), out)


def _written(html: str, out: Path) -> Path:
    out.parent.mkdir(parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(dir=out.parent, prefix=f".{out.name}")
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as stream:
            stream.write(html)
        Path(temporary).replace(out)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise
    return out


def _prepared(flight_path: Path, number: int | None, pledge: Pledge | None) -> Prepared:
    """The asked way, else the pledged one, else what the program would choose."""
    prepared = prepare(flight_path, number)
    if number is not None or pledge is None:
        return prepared
    pledged = next((way for way in prepared.ways if way.name == pledge.way_name), prepared.way)
    if pledged is prepared.way:
        return prepared
    return checked(prepared.plan, prepared.ways, pledged)


def _printed_card(prepared: Prepared, pledge: Pledge | None) -> PrintedCard | None:
    """The printed card, drawn anew only if that gives the very numbers that were pledged."""
    if pledge is None:
        return None
    plan, way = prepared.plan, prepared.way
    findings = (*prepared.findings, *pledged_tasks(pledge.findings))
    again = make_pledge(
        plan, way, findings, printed_utc=pledge.printed_utc, practice=pledge.practice
    )
    if again.sha256 != pledge.sha256:
        return PrintedCard(pledge=pledge, png=None)
    sheet = make_sheet(plan, way, findings, pledge_sha256=pledge.sha256, practice=pledge.practice)
    return PrintedCard(pledge=pledge, png=render(sheet, "png"))


def _courses(home: Path) -> Courses | None:
    """The measures in the folder's store; None where it has no flights yet."""
    try:
        return follow_all(home)
    except NoSolution:
        return None
