"""From a plan to the flight plan form: what to file, changed or withdrawn, as messages."""

import json
import re
import unicodedata
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from lubberline.card.icao import (
    NOWHERE,
    BadMessage,
    FlightPlanForm,
    Supplement,
    position_text,
)
from lubberline.card.printing import compiled
from lubberline.errors import NoSolution
from lubberline.fit import fuel_plan, rules_of, times_utc
from lubberline.flight import Plan
from lubberline.ways import Way
from lubberline.wording import CAUTION

TEMPLATE: Final = Path(__file__).with_name("filing.typ")
_TURNS: Final = ("top of climb", "start down")  # of the profile, not of the route
_TITLES: Final = {
    "FPL": "FLIGHT PLAN",
    "CHG": "CHANGE OF A FLIGHT PLAN",
    "DLA": "DELAY OF A FLIGHT PLAN",
    "CNL": "CANCELLATION OF A FLIGHT PLAN",
}
_AMENDS: Final = (
    ("7", "aircraft identification"),
    ("13", "departure aerodrome, off-block time"),
    ("16", "destination"),
    ("18", "other information"),
)
_PLAN: Final = (
    ("7", "aircraft identification"),
    ("8", "flight rules, type of flight"),
    ("9", "type of aircraft / wake category"),
    ("10", "equipment / surveillance"),
    ("13", "departure aerodrome, off-block time"),
    ("15", "speed, level, route"),
    ("16", "destination, total elapsed time, alternates"),
    ("18", "other information"),
    ("19", "supplementary information"),
)
_SIGNS: Final = re.compile(r"[^A-Z0-9 .,'+/?]")


def flight_plan_form(plan: Plan, way: Way) -> FlightPlanForm:
    """The form of one way; speeds and times are those of the plan.

    The route is told by positions, since a name that a pilot knows is not one that a controller
    has. Letters that the form does not have are written without their marks (Ø as O).

    Raises
    ------
    NoSolution
        If the flight does not say what to file, or how long the fuel lasts is not known.
    """
    filing = plan.flight.filing
    if filing is None:
        raise NoSolution(
            "flight.toml does not say what to file; add [filing] with equipment and surveillance"
        )
    lasts_min = fuel_plan(plan, way, rules_of(plan)).endurance_min
    if lasts_min is None:
        raise NoSolution("item 19: how long the fuel lasts is not known (see: lubberline fit)")
    takeoff_utc, landing_utc, _ = times_utc(plan, way)
    cruise = [leg for leg in way.legs if leg.phase == "cruise"] or list(way.legs)
    aircraft = plan.aircraft
    other = {"REG": _plain(aircraft.call_sign.replace("-", ""))}
    if filing.type_designator == NOWHERE:
        other["TYP"] = _plain(aircraft.type_name).replace("-", " ")
    return FlightPlanForm(
        call_sign=_plain(aircraft.call_sign.replace("-", "")),
        type_designator=filing.type_designator,
        wake=filing.wake,
        equipment=filing.equipment,
        surveillance=filing.surveillance,
        rules=filing.rules,
        kind=filing.kind,
        departure=plan.departure.id,
        off_block_utc=plan.flight.off_block_utc,
        true_airspeed_kt=max(leg.tas_kt for leg in cruise),
        level="VFR",
        route=tuple(_route(way)),
        destination=plan.destination.id,
        elapsed_min=(landing_utc - takeoff_utc).total_seconds() / 60.0,
        alternates=tuple(one.id for one in plan.alternates[:2]),
        other=other,
        supplement=Supplement(
            endurance_min=lasts_min,
            persons_count=plan.flight.watch.persons_count if plan.flight.watch else None,
            pilot=_plain(plan.pilot.name),
            colors=_plain(aircraft.colors),
            radios=filing.radios,
            survival=filing.survival,
            jackets=filing.jackets,
            dinghies=_plain(filing.dinghies),
            remarks=_plain(filing.remarks),
        ),
    )


def form_record(form: FlightPlanForm) -> dict[str, Any]:
    """The form as plain values, to be kept and compared when something changes."""
    return asdict(form) | {"off_block_utc": form.off_block_utc.isoformat()}


def form_of_record(text: str) -> FlightPlanForm:
    """The form that ``form_record`` wrote as JSON; BadMessage if it is not one."""
    try:
        record = json.loads(text)
        supplement = record.pop("supplement")
        route, alternates = tuple(record.pop("route")), tuple(record.pop("alternates"))
        off_block_utc = datetime.fromisoformat(record.pop("off_block_utc"))
        return FlightPlanForm(
            **record,
            route=route,
            alternates=alternates,
            off_block_utc=off_block_utc,
            supplement=Supplement(**supplement) if supplement else None,
        )
    except (ValueError, TypeError, KeyError, AttributeError) as exc:
        raise BadMessage([f"what was kept of the filed plan cannot be read ({exc})"]) from exc


def filing_pdf(message: str) -> bytes:
    """A message (FPL, CHG, DLA or CNL) as a form filled in item by item, with itself below."""
    kind, *texts = message.strip("()").split("-")
    items = _PLAN if kind == "FPL" else _AMENDS
    rows = [
        {"item": item, "title": title, "text": text}
        for (item, title), text in zip(items, texts, strict=False)
    ]
    # What follows in a change is item 22, once for each item that changes.
    for text in texts[len(items) :]:
        rows.append({"item": "22", "title": "amendment: item / new text", "text": text})
    record = {"title": _TITLES[kind], "message": message, "rows": rows, "caution": CAUTION}
    return compiled(record, "pdf", TEMPLATE)[0]


def _route(way: Way) -> list[str]:
    """The turning points between the aerodromes."""
    names, path = way.point_names[1:-1], way.path[1:-1]
    return [
        position_text(float(lat_deg), float(lon_deg))
        for name, (lat_deg, lon_deg) in zip(names, path[:, :2], strict=True)
        if name and name not in _TURNS
    ]


def _plain(text: str) -> str:
    """Capital letters, digits and signs that the form has."""
    apart = unicodedata.normalize("NFKD", text.replace("ø", "o").replace("Ø", "O"))
    upper = apart.replace("ß", "ss").replace("æ", "ae").replace("Æ", "AE").upper()
    return " ".join(_SIGNS.sub("", re.sub(r"[-_()]", " ", upper)).split())
