"""Working code of ``lubberline pledge``."""

from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path

from lubberline.card import make_pledge, pledge_differences
from lubberline.cli.output import document, say, wrapped
from lubberline.errors import NoSolution, RangeError
from lubberline.flight import Pledge, flight_folder_of, read_pledge
from lubberline.loop import checked, prepare
from lubberline.loop.practice_helped import pledged_tasks


def show_list(flight_path: Path, *, as_json: bool) -> None:
    """One row per pledge."""
    pledges = _pledges(flight_path)
    if as_json:
        rows = [
            {"sha256": one.sha256, "printed_utc": f"{one.printed_utc:%Y-%m-%dT%H:%M:%SZ}"}
            | {"way": one.way_name}
            for one in pledges
        ]
        document(pledges=rows)
        return
    for one in pledges:
        say(f"{one.short_sha256}  printed {one.printed_utc:%Y-%m-%d %H:%MZ}  {one.way_name}")


def show_differences(
    flight_path: Path, before: str | None, after: str | None, *, as_json: bool
) -> None:
    """Every difference on a line, or that there is none."""
    pledges = _pledges(flight_path)
    old = _named(pledges, before) if before else pledges[-1]
    new = _named(pledges, after) if after else _as_it_is_now(flight_path, old)
    differences = pledge_differences(old, new)
    if as_json:
        document(
            before=old.sha256,
            after=new.sha256 if after else None,
            matches=not differences,
            differences=[asdict(one) for one in differences],
        )
        return
    other = f"pledge {new.short_sha256}" if after else "the flight as it is now"
    say(f"PLEDGE {old.short_sha256}, printed {old.printed_utc:%Y-%m-%d %H:%MZ}, and {other}")
    if not differences:
        say("The same: way, times, heights, fuel, findings and every file.")
        return
    for one in differences:
        wrapped(f"{one}")
    if not after:
        say()
        wrapped("The card no longer holds. A new one makes a new pledge: lubberline card")


def _pledges(flight_path: Path) -> list[Pledge]:
    folder = flight_folder_of(flight_path)
    found = [read_pledge(path) for path in folder.glob("pledge-*.json")]
    if not found:
        raise NoSolution(f"{folder} has no pledge yet; print a card with: lubberline card {folder}")
    return sorted(found, key=lambda one: one.printed_utc)


def _named(pledges: list[Pledge], digits: str) -> Pledge:
    named = [one for one in pledges if one.sha256.startswith(digits.lower())]
    if len(named) != 1:
        known = ", ".join(one.short_sha256 for one in pledges)
        raise RangeError(f"{digits!r} names {len(named)} pledges; expected one of {known}")
    return named[0]


def _as_it_is_now(flight_path: Path, old: Pledge) -> Pledge:
    """What a card of the same way would say if it were printed now."""
    prepared = prepare(flight_path, None)
    way = next((way for way in prepared.ways if way.name == old.way_name), prepared.way)
    chosen = checked(prepared.plan, prepared.ways, way)
    return make_pledge(
        prepared.plan,
        way,
        (*chosen.findings, *pledged_tasks(old.findings)),
        printed_utc=datetime.now(UTC),
        practice=old.practice,
    )
