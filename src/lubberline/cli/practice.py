"""Working code of ``lubberline practice``: what to practise on a flight, and what it did before."""

from dataclasses import asdict
from pathlib import Path

from lubberline.cli.output import document, say, wrapped
from lubberline.flight import FLIGHT_FILE, folder_of
from lubberline.line import finding_record
from lubberline.loop import prepare
from lubberline.loop.practice_helped import Practiced, practiced, was_kept
from lubberline.loop.practice_tasks import Task, practice_tasks

SHOWN_COUNT = 6


def show_practice(flight: Path, way: int | None, *, as_json: bool) -> None:
    """The tasks of a flight with their reasons, and whether earlier ones helped."""
    prepared = prepare(flight, way)
    plan = prepared.plan
    tasks = practice_tasks(plan, prepared.way)
    done = practiced(
        folder_of(plan.folder / FLIGHT_FILE),
        pilot=plan.pilot.name,
        before_utc=plan.flight.off_block_utc,
    )
    if as_json:
        document(
            flight=plan.flight.title,
            way=prepared.way.name,
            tasks=[_record(one) for one in tasks],
            practiced=[_done_record(one) for one in done],
        )
        return
    say(f"PRACTICE  {plan.flight.title}, {plan.flight.off_block_utc:%Y-%m-%d}")
    say(f"          way {prepared.number}: {prepared.way.name}")
    for number, one in enumerate(tasks, 1):
        wrapped(f"{number} {one.text}", indent=2)
        wrapped(one.why, indent=4)
    if tasks:
        wrapped("The card of this flight has these tasks, and its pledge holds you to them.")
    else:
        wrapped("Nothing to practise: no flights in the store, or all far inside the standard.")
    if done:
        say()
        say("Practised before")
    for each in done[:SHOWN_COUNT]:
        _show_done(each)


def _show_done(one: Practiced) -> None:
    came = "" if one.done.value is None else f", {abs(one.done.value):.3g} {one.done.limit.unit}"
    wrapped(f"{one.flown_utc:%Y-%m-%d} {one.done.limit.label}: {was_kept(one)}{came}", indent=2)
    change = ""
    if one.change is not None:
        value, sigma = one.change
        change = f", by {value:+.3g} ± {2.0 * sigma:.2g} {one.done.limit.unit}"
    wrapped(
        f"{one.word}{change} ({one.before_count} flights before, {one.since_count} since)",
        indent=4,
    )


def _record(task: Task) -> dict[str, object]:
    return {
        "key": task.key,
        "text": task.text,
        "why": task.why,
        "gain": {**asdict(task.gain), "total_factor": task.gain.total_factor},
        "finding": finding_record(task.finding),
    }


def _done_record(one: Practiced) -> dict[str, object]:
    return {
        "flown_utc": one.flown_utc.isoformat(),
        "title": one.title,
        "finding": finding_record(one.done),
        "kept": was_kept(one),
        "word": one.word,
        "change": one.change,
        "before_count": one.before_count,
        "since_count": one.since_count,
    }
