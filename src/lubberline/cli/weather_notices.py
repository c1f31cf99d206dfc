"""Working code of ``lubberline weather notices``: those that touch a flight, the gravest first."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from itertools import groupby
from pathlib import Path
from typing import Final

import typer

from lubberline import loop
from lubberline.cli.output import document, hanging, wrapped
from lubberline.fit import Touch, touching
from lubberline.weather import Notice
from lubberline.wording import CAUTION

_NOTICE: Final = re.compile(r"\s*(?:!|\(?\s*[A-Z]\d{4}/\d{2}\s+NOTAM)")
TITLES: Final = {
    "runway closed": "Runways closed",
    "airspace": "Airspace",
    "lights": "Lights",
    "taxiway": "Taxiways and aprons",
    "obstacle": "Obstacles",
    "procedure": "Aids and procedures",
    "other": "Other",
}


def notices(flight: Path, way: int | None, *, every: bool, as_json: bool) -> None:
    """By consequence: where and when each touches the flight, and its own words."""
    prepared = loop.prepare(flight, way)
    plan = prepared.plan
    touches = touching(plan, prepared.way)
    met = {id(one.notice) for one in touches}
    others = [one for one in plan.weather.notices if id(one) not in met]
    if as_json:
        document(
            flight=plan.flight.title,
            way=prepared.way.name,
            touching=[
                {"where": one.where, "sure": one.sure, **asdict(one.notice)} for one in touches
            ],
            others=[asdict(one) for one in others],
            caution=CAUTION,
        )
        return
    typer.echo(f"NOTICES  {plan.flight.title}, way {prepared.number}: {prepared.way.name}")
    wrapped(_counted(len(plan.weather.notices), len(touches), plan.flight.weather_file))
    for consequence, group in groupby(touches, key=lambda one: one.notice.consequence):
        typer.echo(f"\n{TITLES[consequence]}")
        for touch in group:
            _show(touch.notice, list(_why(touch)))
    if every and others:
        typer.echo("\nNot touching: of another place, height or time, canceled or replaced")
        for notice in others:
            _show(notice, [])
    elif others:
        typer.echo()
        hanging(f"{len(others)} more do not touch this flight (--all shows them).")
    for piece in plan.weather.unread:
        if _NOTICE.match(piece.text):
            hanging(f"unknown, {piece}")
    typer.echo()
    wrapped(CAUTION)


def _counted(all_count: int, count: int, file: str | None) -> str:
    where = file or "a weather file, which the flight does not name"
    if not all_count:
        return (
            f"No notices are in {where}: whether any touches this flight is unknown. Paste them"
            " there as your briefing gives them, in the ICAO or the US form."
        )
    return f"{count} of {all_count} in {where} touch this flight."


def _why(touch: Touch) -> Iterator[str]:
    """Where it touches, and what of it is not sure."""
    place = f"at {touch.where}" if touch.field_id else f"on the way, {touch.where}"
    yield place if touch.where else "place not told"
    notice = touch.notice
    if notice.conditional:
        yield "in part or for some only: read its words"
    if not touch.sure or notice.undecoded:
        lost = f": {', '.join(notice.undecoded)}" if notice.undecoded else ""
        yield f"unknown whether it holds for you{lost}"


def _show(notice: Notice, why: Sequence[str]) -> None:
    hanging(f"{notice.id}  {_times(notice)}", indent=2)
    for reason in why:
        hanging(reason, indent=4)
    for line in notice.text.splitlines():
        hanging(line.strip(), indent=6)


def _times(notice: Notice) -> str:
    begins = f"{notice.from_utc:%d %b %H:%MZ}" if notice.from_utc else "unknown"
    ends = f"{notice.until_utc:%d %b %H:%MZ}" if notice.until_utc else "further notice"
    guess = " (estimated)" if notice.estimated and notice.until_utc else ""
    hours = f", {notice.hours}" if notice.hours else ""
    return f"{begins} to {ends}{guess}{hours}"
