"""Working code of ``lubberline reload``: the fewest changes, and what they come to."""

from dataclasses import asdict
from math import isfinite
from pathlib import Path

from lubberline.cli.output import document, say, wrapped
from lubberline.cli.show import groups
from lubberline.fit import Reloaded, lightened, reload_flight
from lubberline.flight import read_plan
from lubberline.line import finding_record, verdict_sentence
from lubberline.loop import prepare_plan
from lubberline.wording import CAUTION

FUEL_KEPT = "Fuel that the flight and its reserves need is not drained"


def show_reload(flight_path: Path, number: int | None, *, as_json: bool) -> None:
    """Text or JSON for the loading of one way."""
    plan = read_plan(flight_path)
    prepared = prepare_plan(lightened(plan), number)
    done = reload_flight(plan, prepared.way, prepared.findings)
    if as_json:
        document(
            flight=prepared.plan.flight.title,
            way=prepared.way.name,
            changes=[{**asdict(one), "words": one.words} for one in done.reload.changes],
            load_lb=dict(done.reload.load_lb),
            fuel_gal=dict(done.reload.fuel_gal),
            least_gal=done.least_gal if isfinite(done.least_gal) else None,
            findings=[finding_record(finding) for finding in done.findings],
            caution=CAUTION,
        )
        return
    say(f"RELOAD  {prepared.plan.flight.title}")
    say(f"        way {prepared.number}: {prepared.way.name}")
    _changes(done)
    groups(done.findings)
    say()
    wrapped(CAUTION)


def _changes(done: Reloaded) -> None:
    """What to do, and the lines for the flight's file."""
    changes = done.reload.changes
    if not changes:
        say("Nothing to change: the loading is inside.")
        return
    kept = f", under {done.least_gal:.1f} gal at the ramp" if isfinite(done.least_gal) else ""
    say(f"Fewest changes that bring it inside: {len(changes)}")
    for number, change in enumerate(changes, 1):
        say(f"  {number}. {change.words}")
    wrapped(f"{FUEL_KEPT}{kept}. Then: {verdict_sentence(done.findings)}")
    say()
    say("In flight.toml:")
    for name, amounts in (("load_lb", done.reload.load_lb), ("fuel_gal", done.reload.fuel_gal)):
        say(f"  [{name}]")
        for key, amount in amounts.items():
            if amount:
                say(f"  {_key(key)} = {round(amount, 2):.10g}")


def _key(name: str) -> str:
    """A TOML key, quoted where it must be."""
    bare = name.isascii() and all(sign.isalnum() or sign in "-_" for sign in name)
    return name if bare else '"' + name.replace("\\", "\\\\").replace('"', '\\"') + '"'
