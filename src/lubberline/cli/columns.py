"""What the columns of an unknown CSV mean: shown, asked once, and kept for the next time."""

import sys
from pathlib import Path

import typer

from lubberline.cli.output import say, wrapped
from lubberline.errors import NoSolution
from lubberline.flight import FLIGHT_FILE, folder_of
from lubberline.loop.debriefing import Asked
from lubberline.recording import (
    MAPS_FOLDER,
    ColumnMap,
    Guess,
    fitting_map,
    keep_map,
    proposed_columns,
)


def settle_columns(
    flight: Path, recording: Path, asked: Asked, *, keep: bool, may_ask: bool
) -> None:
    """Keep a map for each CSV without one, if the pilot says so; nothing is asked of a script.

    Raises
    ------
    NoSolution
        If the pilot does not agree.
    """
    asks = may_ask and sys.stdin.isatty() and sys.stdout.isatty()
    if not (keep or asks):
        return
    folder = folder_of(flight if flight.name == FLIGHT_FILE else flight / FLIGHT_FILE) / MAPS_FOLDER
    for path in (*([] if asked.columns else [recording]), *asked.also):
        guess = None if fitting_map(folder, path) else proposed_columns(path)
        if guess is None or guess.column_map is None:
            continue  # no map is needed, or reading says what is missing
        if not (keep or _agreed(path, guess, guess.column_map)):
            raise NoSolution(
                f"the columns of {path.name} are not agreed to, and nothing is read;"
                " --keep-columns writes the map to recordings/, to be corrected there"
            )
        kept = keep_map(folder, path, guess.column_map)
        if may_ask:
            say(f"kept the columns of {path.name} in {kept}")


def _agreed(path: Path, guess: Guess, column_map: ColumnMap) -> bool:
    """Show the map and ask once; Enter agrees."""
    time = column_map.time
    named = " ".join(filter(None, (time.date_heading, time.heading)))
    zone = f"by {time.offset_heading}" if time.offset_heading else time.zone
    rows = [("time", named, f"{time.form}, {zone}")]
    rows += [(name, one.heading, one.unit) for name, one in column_map.columns.items()]
    say(f"COLUMNS  {path.name} has no column map yet; this is what its columns seem to be.")
    say(f"{'read as':26}{'column':24}{'unit':20}first")
    for ours, heading, unit in rows:
        sure = "" if heading not in guess.by_values else "  (by its values)"
        first = guess.row.get(heading, guess.row.get(time.heading, ""))
        say(f"{ours[:25]:26}{heading[:23]:24}{unit[:19]:20}{first[:18]}{sure}")
    if guess.unused:
        wrapped(
            f"Not used: {', '.join(guess.unused)}. A height or a speed needs its unit, a heading"
            " its north: write them into the map that is kept."
        )
    return typer.confirm("Is that right?", default=True)
