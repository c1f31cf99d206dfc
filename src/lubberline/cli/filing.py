"""Working code of ``lubberline filing``: the flight plan form, and messages that amend it."""

import json
from datetime import datetime
from pathlib import Path
from typing import Final

from lubberline.card import (
    FlightPlanForm,
    cancellation,
    change,
    delay,
    filed_plan,
    filing_pdf,
    flight_plan_form,
    form_of_record,
    form_record,
)
from lubberline.cli.output import document, say, wrapped
from lubberline.errors import NoSolution
from lubberline.flight import flight_folder_of
from lubberline.loop import prepare
from lubberline.wording import CAUTION

FORMS: Final = {
    "FPL": "flight-plan.pdf",
    "CHG": "flight-plan-change.pdf",
    "DLA": "flight-plan-delay.pdf",
    "CNL": "flight-plan-cancellation.pdf",
}
KEPT: Final = "flight-plan.json"  # what was given out last, to tell changes from


def write_filing(flight_path: Path, number: int | None, *, as_json: bool) -> None:
    """The message and the filled form; from then on this is what changes are told against."""
    form, folder = _form(flight_path, number)
    message = filed_plan(form)
    (folder / KEPT).write_text(json.dumps(form_record(form), indent=1) + "\n", encoding="utf-8")
    _give(folder, "FPL", message, as_json=as_json)


def show_change(flight_path: Path, number: int | None, *, as_json: bool) -> None:
    """What differs from the plan that was given out last."""
    form, folder = _form(flight_path, number)
    _give(folder, "CHG", change(_kept(folder), form), as_json=as_json)


def show_delay(flight_path: Path, to_utc: datetime, *, as_json: bool) -> None:
    """Another off-block time for the plan that was given out last."""
    folder = flight_folder_of(flight_path)
    _give(folder, "DLA", delay(_kept(folder), to_utc), as_json=as_json)


def show_cancellation(flight_path: Path, *, as_json: bool) -> None:
    """The plan that was given out last, withdrawn."""
    folder = flight_folder_of(flight_path)
    _give(folder, "CNL", cancellation(_kept(folder)), as_json=as_json)


def _form(flight_path: Path, number: int | None) -> tuple[FlightPlanForm, Path]:
    prepared = prepare(flight_path, number)
    form = flight_plan_form(prepared.plan, prepared.way)
    return form, prepared.plan.folder


def _kept(folder: Path) -> FlightPlanForm:
    path = folder / KEPT
    if not path.exists():
        raise NoSolution(f"{folder} has no flight plan yet; begin with: lubberline filing {folder}")
    return form_of_record(path.read_text(encoding="utf-8"))


def _give(folder: Path, kind: str, message: str, *, as_json: bool) -> None:
    """Write the filled form, and show the message."""
    path = folder / FORMS[kind]
    path.write_bytes(filing_pdf(message))
    if as_json:
        document(kind=kind, message=message, filed=False, file=path, caution=CAUTION)
        return
    wrapped(message)
    say()
    wrapped(f"Not filed: give it to the service that you file with. {CAUTION}")
    say(f"wrote {path}")
