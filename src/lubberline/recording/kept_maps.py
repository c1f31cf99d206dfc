"""Column maps that the pilot keeps in a folder: which fits a file, and what to propose if none.

A map fits a file whose line of headings holds every heading the map names. Formats that say
themselves what their columns are need none.
"""

from pathlib import Path

from lubberline.recording.column_map import (
    ColumnMap,
    column_map_toml,
    headings_of,
    read_column_map,
)
from lubberline.recording.csv import HEAD_BYTES, guessed, head_lines
from lubberline.recording.guess import Guess, split
from lubberline.recording.read import is_csv

FOLDER = "recordings"


def fitting_map(folder: Path, recording: Path) -> Path | None:
    """The kept map that explains most of a file's columns; None if none fits or none is needed.

    Raises
    ------
    BadFile
        If a map in the folder cannot be read.
    """
    kept = sorted(folder.glob("*.toml")) if folder.is_dir() and recording.is_file() else []
    if not kept:
        return None
    with recording.open("rb") as file:
        head = file.read(HEAD_BYTES)
    if not is_csv(head):
        return None
    lines = head_lines(head)
    maps = [(path, read_column_map(path)) for path in kept]
    fitting = [(len(one.columns), path) for path, one in maps if _fits(one, lines)]
    return max(fitting, key=lambda each: each[0])[1] if fitting else None


def proposed_columns(recording: Path) -> Guess | None:
    """What a CSV's columns probably mean, for the pilot to confirm; None for other formats."""
    data = recording.read_bytes() if recording.is_file() else b""
    return guessed(data) if data.strip() and is_csv(data[:HEAD_BYTES]) else None


def keep_map(folder: Path, recording: Path, column_map: ColumnMap) -> Path:
    """Write a map into the folder under the recording's name; never over one that is there."""
    folder.mkdir(exist_ok=True)
    names = (f"{recording.stem}{f'-{n}' if n > 1 else ''}.toml" for n in range(1, 10_000))
    path = next(folder / name for name in names if not (folder / name).exists())
    path.write_text(column_map_toml(column_map), encoding="utf-8")
    return path


def _fits(column_map: ColumnMap, lines: list[str]) -> bool:
    if column_map.header_line > len(lines):
        return False
    there = split(lines[column_map.header_line - 1], column_map.separator)
    return set(headings_of(column_map)) <= set(there)
