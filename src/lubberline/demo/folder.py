"""Writes a pilot's folder: the commented starter, or the demo with all its flights."""

import shutil
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from lubberline.demo.flights import FLIGHTS, DemoFlight
from lubberline.demo.relief import write_relief
from lubberline.demo.texts import FILES, flight_text, weather_text
from lubberline.errors import BadFile, Problem
from lubberline.flight import FLIGHT_FILE
from lubberline.places import read_places

WHOLE: Final = ("pilot.toml", "fitness.toml", "aircraft", "standards", "places")
MARKER: Final = ".lubberline-demo"
MARKED: Final = (
    "This folder was made by 'lubberline demo', and all of it is invented.\n"
    "The next run replaces it as long as this file is in it: keep nothing of your own here.\n"
)


def write_folder(directory: Path) -> Path:
    """A starter folder with one flight to plan; the flight's own folder is given back.

    Raises
    ------
    BadFile
        If the folder exists already: nothing in it is touched.
    """
    _refuse_existing(directory, "init")
    return _write(directory, FLIGHTS[-1:])[0]


def write_demo(directory: Path) -> tuple[Path, ...]:
    """A folder with all invented flights, in place of one that an earlier run has made.

    Raises
    ------
    BadFile
        If the folder exists and was not made by an earlier run: nothing in it is touched.
    """
    if not (directory / MARKER).is_file():
        _refuse_existing(directory, "demo")
    return _write(directory, FLIGHTS, {MARKER: MARKED})


def _refuse_existing(directory: Path, command: str) -> None:
    if directory.exists() or directory.is_symlink():
        problem = Problem(
            key="folder",
            found="a file or folder of that name",
            expected="a name that is free; nothing was written",
            example=f"lubberline {command} {directory}-2",
        )
        raise BadFile(directory, [problem])


def _write(
    directory: Path, flights: Sequence[DemoFlight], extra: dict[str, str] | None = None
) -> tuple[Path, ...]:
    """Make everything beside the place where it will stand, then put it there at once."""
    directory.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=directory.parent, prefix=f".{directory.name}-") as beside:
        made = Path(beside) / directory.name
        made.mkdir()
        for name, text in (extra or {}).items():
            (made / name).write_text(text, encoding="utf-8")
        for name in WHOLE:
            source, target = FILES / name, made / name
            shutil.copytree(source, target) if source.is_dir() else shutil.copy(source, target)
        write_relief(made / "places", read_places(made / "places"))
        for flight in flights:
            _write_flight(made, flight)
        if directory.exists():
            directory.rename(Path(beside) / "replaced")
        made.rename(directory)
    return tuple(directory / "flights" / flight.folder_name for flight in flights)


def _write_flight(home: Path, flight: DemoFlight) -> None:
    folder = home / "flights" / flight.folder_name
    folder.mkdir(parents=True)
    (folder / FLIGHT_FILE).write_text(flight_text(flight), encoding="utf-8")
    (folder / "weather.txt").write_text(weather_text(flight), encoding="utf-8")
