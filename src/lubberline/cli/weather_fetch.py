"""Working code of ``lubberline weather fetch``: ask the service, keep what it says in the file.

What cannot be had leaves what is there, and both are told with their age.
"""

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Final

import numpy as np
import typer

from lubberline.cli.output import document, hanging
from lubberline.cli.places_update import polite_client
from lubberline.cli.weather_file import (
    age_text,
    check_near,
    keep_text,
    plan_and_file,
    say_unnamed,
    text_of,
)
from lubberline.errors import LubberlineError
from lubberline.fetch import Client, Fetched, read_addresses
from lubberline.flight import FLIGHT_FILE, Plan
from lubberline.weather import Section, WindsAloft, read_briefing, sections_of, with_sections
from lubberline.weather.service import AROUND_NM, boxes_round, gather, section_text

STILL_TO_COME: Final = timedelta(hours=12)  # own: flights this long past are left alone
PRODUCTS: Final = {
    "metar": "reports",
    "taf": "forecasts",
    "windtemp-06": "winds aloft, 6 h",
    "windtemp-12": "winds aloft, 12 h",
    "windtemp-24": "winds aloft, 24 h",
    "airsigmet": "SIGMET",
    "gairmet": "AIRMET",
    "pirep": "pilot reports",
}
NO_NOTICES: Final = (
    "This service has no notices (NOTAM): paste them into the file as your briefing gives them."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Brought:
    """What became of one product: when what is in the file was fetched, and why none is newer."""

    product: str
    at_utc: datetime | None
    read_count: int = 0
    elsewhere_count: int = 0
    reason: str = ""


def now_utc() -> datetime:
    """The clock; tests set another."""
    return datetime.now(UTC)


def fetch(path: Path, *, as_json: bool) -> None:
    """Bring the weather of one flight, or of every flight of a folder that is still to come."""
    is_folder = (path / "pilot.toml").is_file()
    flights = sorted((path / "flights").glob(f"*/{FLIGHT_FILE}")) if is_folder else [path]
    records, failed = [], False
    with polite_client() as client:
        for flight in flights:
            try:
                plan, file = plan_and_file(flight)
                if is_folder and plan.flight.off_block_utc < now_utc() - STILL_TO_COME:
                    continue
                check_near(plan, now_utc())
                rows = _brought(client, plan, file)
            except LubberlineError as exc:
                if not is_folder:
                    raise
                typer.echo(f"error: {exc}", err=True)
                failed = True
                continue
            failed |= any(row.reason for row in rows)
            records.append({"file": file, "products": [asdict(row) for row in rows]})
            if not as_json:
                _show(plan, file, rows)
    if as_json:
        document(fetched=records, notices=NO_NOTICES)
    elif not records and not failed:
        typer.echo("No flight is still to come; nothing was asked for.")
    if failed:
        raise typer.Exit(1)


def _brought(client: Client, plan: Plan, file: Path) -> list[Brought]:
    """Ask for everything, keep what came, and account for each product."""
    boxes = boxes_round(_places_deg(plan))
    gathered = gather(client, read_addresses().weather, *boxes)
    texts = {
        name: section_text(name, answer.content, boxes) for name, answer in gathered.answers.items()
    }
    new = [
        Section(name=name, at_utc=gathered.answers[name].fetched_utc, text=text)
        for name, (text, _) in texts.items()
    ]
    before = text_of(file)
    after = with_sections(before, new)
    if after != before or not file.exists():
        keep_text(file, after)
    there = sections_of(after)
    return [
        Brought(
            product=name,
            at_utc=there[name].at_utc if name in there else None,
            read_count=_read_count(there[name], plan) if name in there else 0,
            elsewhere_count=texts[name][1] if name in texts else 0,
            reason=_reason(gathered.answers.get(name), gathered.missing.get(name)),
        )
        for name in PRODUCTS
    ]


def _reason(answer: Fetched | None, missing: object) -> str:
    return answer.stale_reason if answer is not None else getattr(missing, "reason", "not asked")


def _places_deg(plan: Plan) -> list[tuple[float, float]]:
    """Every place that the flight names."""
    flight = plan.flight
    points = [point for one in flight.candidates for point in one.via]
    points += flight.search.via if flight.search else ()
    fields = (plan.departure, plan.destination, *plan.alternates)
    spots = [(one.lat_deg, one.lon_deg) for one in fields]
    return spots + [(one.lat_deg, one.lon_deg) for one in points]


def _read_count(section: Section, plan: Plan) -> int:
    """How many reports, forecasts, tables, areas and so on a section holds."""
    none = np.empty(0)
    calm = WindsAloft(msl_ft=none, from_true_deg=none, wind_kt=none, oat_degc=none)
    told = read_briefing(section.text, near_utc=plan.flight.off_block_utc, aloft=calm)
    kinds = (told.reports, told.forecasts, told.tables, told.areas, told.pilot_reports)
    return sum(len(kind) for kind in kinds)


def _show(plan: Plan, file: Path, rows: list[Brought]) -> None:
    flight = plan.flight
    typer.echo(f"WEATHER  {flight.title}, {flight.off_block_utc:%Y-%m-%d %H:%MZ}")
    hanging(f"from {read_addresses().weather}, {AROUND_NM:g} NM round every place of the flight")
    reasons = {row.reason for row in rows}
    if len(reasons) == 1 and "" not in reasons:
        hanging(f"Nothing new could be had: {reasons.pop()}. The file keeps what it has:")
    for row in rows:
        typer.echo(f"  {PRODUCTS[row.product]:18}{_had(row)}")
        for line in _why(row, shared=len({one.reason for one in rows}) == 1):
            hanging(line, indent=20)
    if all(row.at_utc is None for row in rows):
        hanging(f"There is no fetched weather in {file}; what you pasted yourself stays in use.")
    else:
        typer.echo(f"in {file}")
    say_unnamed(plan)
    hanging(NO_NOTICES)


def _had(row: Brought) -> str:
    if row.at_utc is None:
        return "none on file"
    age = age_text(row.at_utc, now_utc())
    return f"{row.read_count:4} read   fetched {row.at_utc:%d %H:%MZ}, {age}"


def _why(row: Brought, *, shared: bool) -> Iterator[str]:
    if row.reason and not shared:
        yield f"none newer: {row.reason}"
    if row.elsewhere_count:
        yield f"{row.elsewhere_count} more lie elsewhere and were left out"
