"""The flights of a pilot's folder by name. Only names that are in the list lead anywhere."""

from pathlib import Path
from typing import Final

from lubberline.errors import NoSolution
from lubberline.flight import FLIGHT_FILE

RECORDINGS: Final = (".gpx", ".igc", ".kml", ".nmea", ".csv", ".tsv", ".json", ".jsonl")

PLEDGES: Final = "pledge-"  # what the program itself writes as JSON


def flight_names(home: Path) -> list[str]:
    """Names of the flights in a folder, newest name first."""
    found = (home / "flights").glob(f"*/{FLIGHT_FILE}")
    return sorted((path.parent.name for path in found), reverse=True)


def flight_folder(home: Path, name: str) -> Path:
    """The folder of a flight that is in the list; NoSolution for any other name."""
    if name not in flight_names(home):
        raise NoSolution(f"there is no flight {name!r} in {home}")
    return home / "flights" / name


def recordings_in(folder: Path) -> list[str]:
    """Names of the files in a flight's folder that a recorder may have written."""
    return sorted(
        path.name
        for path in folder.iterdir()
        if path.suffix.lower() in RECORDINGS and not path.name.startswith(PLEDGES)
    )


def recording_named(folder: Path, name: str | None) -> Path | None:
    """A recording of a flight by its name, else its first; None if there is none at all.

    Raises
    ------
    NoSolution
        If a name is given that is not in the folder.
    """
    names = recordings_in(folder)
    if name is None:
        return folder / names[0] if names else None
    if name not in names:
        shown = ", ".join(names) or "none"
        raise NoSolution(f"there is no recording {name!r}; recordings there: {shown}")
    return folder / name
