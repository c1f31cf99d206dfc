"""Working code of ``lubberline fit --runways`` and ``--fuel``: what lies behind the findings."""

from collections.abc import Iterator
from dataclasses import asdict
from math import ceil, floor

from lubberline.cli.output import document, say, wrapped
from lubberline.fit import (
    FuelPlan,
    RunwayRow,
    chosen_because,
    decision_words,
    field_runways,
    fuel_plan,
    order_words,
    rules_of,
)
from lubberline.loop import Prepared
from lubberline.wording import CAUTION


def show_runways(prepared: Prepared, *, as_json: bool) -> None:
    """Every runway end of departure, destination and alternates."""
    plan = prepared.plan
    tables = field_runways(plan, prepared.way)
    if as_json:
        shown = {
            end.place: {"chosen": end.end.name, "ends": [asdict(row) for row in rows]}
            for end, rows in tables
        }
        document(flight=plan.flight.title, runways=shown, caution=CAUTION)
        return
    say(f"RUNWAYS  {plan.flight.title}, way {prepared.number}: {prepared.way.name}")
    for end, rows in tables:
        say()
        say(f"{end.aerodrome.id}, {end.place.partition('_')[0]}, {end.when_utc:%d %H:%MZ}")
        say(f"  {'end':5}{'head':>5}{'cross':>6}{'roll':>7}{'50 ft':>7}{'has':>7}{'day adds':>16}")
        for row in rows:
            say(f"{'>' if row.name == end.end.name else ' '} {_runway(row)}")
        why = chosen_because(end, rows, plan.flight)
        wrapped(f"{end.end.name}: {why}.", indent=2)
        for row in rows:
            if row.why:
                wrapped(f"{row.name}: {row.why}", indent=4)
    say()
    wrapped(
        "Winds in kt, lengths in ft with the own factor. The day adds: over 50 ft today less that"
        " of a standard day at sea level / at the field, from the tables."
    )
    wrapped(CAUTION)


def show_fuel(prepared: Prepared, *, as_json: bool) -> None:
    """Fuel by part, tanks by the clock, points, and the last moments to turn."""
    fuel = fuel_plan(prepared.plan, prepared.way, rules_of(prepared.plan))
    if as_json:
        document(flight=prepared.plan.flight.title, fuel=asdict(fuel), caution=CAUTION)
        return
    say(f"FUEL  {prepared.plan.flight.title}, way {prepared.number}: {prepared.way.name}")
    for name, minutes, gal in _parts(fuel):
        say(f"  {name:34}{minutes:>6}{gal:8.1f} gal")
    if fuel.missing:
        wrapped(f"Reserve and endurance are not known; would supply it: {fuel.missing}", indent=2)
    if fuel.endurance_min is not None:
        say(f"  endurance from take-off {_clock(fuel.endurance_min)}")
    say()
    words = order_words(fuel) if fuel.first_tank else fuel.order_missing or "nothing to choose"
    wrapped(f"Tanks: {words}.", indent=2)
    say()
    say(f"  {'over':30}{'time':>7}{'left':>7}{'least':>7}")
    for point in fuel.points:
        left_gal = floor(round(point.left_gal * 10.0, 6)) / 10.0  # down: never more than there is
        least = "?" if point.least_gal is None else f"{ceil(point.least_gal * 10.0) / 10.0:.1f}"
        say(f"  {point.name[:29]:30}{point.over_utc:%H:%MZ}{left_gal:9.1f}{least:>7}")
    say()
    for one in fuel.decisions:
        wrapped(f"{'back' if one.turns_back else 'on'} to {one.to_id}: {decision_words(one)}")
    wrapped(CAUTION)


def _runway(row: RunwayRow) -> str:
    adds = f"{_figure(row.over_sea_level_ft, '+')} /{_figure(row.over_field_ft, '+')}"
    return (
        f"{row.name:5}{_figure(row.headwind_kt):>5}{_figure(row.crosswind_kt):>6}"
        f"{_figure(row.roll_ft):>7}{_figure(row.over_50_ft):>7}{row.available_ft:7,.0f}"
        f"{adds:>16}  {row.verdict}"
    )


def _figure(value: float | None, sign: str = "") -> str:
    return "?" if value is None else f"{round(value):{sign},d}"


def _parts(fuel: FuelPlan) -> Iterator[tuple[str, str, float]]:
    yield "aboard", "", fuel.aboard_gal
    for part in fuel.parts:
        yield part.name, "" if part.time_min is None else f"{part.time_min:.0f} min", -part.gal
    yield "left at landing", "", fuel.landing_gal
    for name, gal in (("legal reserve", fuel.legal_gal), ("own reserve", fuel.own_gal)):
        if gal is not None:
            yield name, "", gal


def _clock(minutes_min: float) -> str:
    hours, minutes = divmod(int(minutes_min), 60)
    return f"{hours} h {minutes:02d} min"
