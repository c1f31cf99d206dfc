"""The files that use learned numbers: what they have now, and the patch that would change it.

A patch changes one line and leaves every other as the pilot wrote it. It is written only when
the pilot takes it, and only if the file can still be read afterwards.
"""

import os
import re
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from difflib import unified_diff
from pathlib import Path
from typing import Final

from lubberline.aircraft import LEARNED_TABLES, Aircraft, read_aircraft
from lubberline.errors import BadFile, NoSolution
from lubberline.flight import FLIGHT_FILE, read_plan
from lubberline.loop.learned import Learned
from lubberline.pilot import read_pilot

TABLE: Final = "learned"


@dataclass(frozen=True, slots=True, kw_only=True)
class InUse:
    """The file that a number would be taken into, and the value that is used now."""

    path: Path
    key: str
    value: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """The text of a file before and after one number is taken."""

    path: Path
    before: str
    after: str

    def rows(self) -> list[str]:
        """The changed lines, as a unified difference without its heading."""
        rows = unified_diff(self.before.splitlines(), self.after.splitlines(), n=0, lineterm="")
        return [row for row in rows if row[:2] not in ("--", "++", "@@")]


def aircraft_path(home: Path, call_sign: str) -> Path:
    """The file of the airplane with that call sign.

    Raises
    ------
    NoSolution
        If no file in ``aircraft/`` has it.
    """
    for path in sorted((home / "aircraft").glob("*.toml")):
        if read_aircraft(path).call_sign == call_sign:
            return path
    raise NoSolution(f"no file in {home / 'aircraft'} has the call sign {call_sign}")


def in_use(home: Path, learned: Learned, *, call_sign: str, flight: Path | None) -> InUse | None:
    """Where the number would be taken; None for one that no file has, or no flight was named for.

    Raises
    ------
    NoSolution, BadFile
        If the file is not there, or cannot be read.
    """
    key = learned.number.key
    match learned.number.file:
        case "airplane":
            path = aircraft_path(home, call_sign)
            return InUse(path=path, key=key, value=_of_aircraft(read_aircraft(path), key))
        case "pilot":
            path = home / "pilot.toml"
            return InUse(path=path, key=key, value=getattr(read_pilot(path), key))
        case "flight" if flight is not None:
            plan = read_plan(flight)
            return InUse(path=plan.folder / FLIGHT_FILE, key=key, value=getattr(plan.flight, key))
    return None


def patch_for(place: InUse, value: float) -> Patch:
    """The file with the number in it."""
    before = place.path.read_text(encoding="utf-8")
    table = TABLE if place.key in LEARNED_TABLES else None
    after = with_value(before, place.key, f"{value:g}", table=table)
    return Patch(path=place.path, before=before, after=after)


def take(patch: Patch) -> None:
    """Write the patched file in place of the old one, if it can be read.

    Raises
    ------
    BadFile
        If the file would be wrong with that number; nothing is changed.
    """
    handle, name = tempfile.mkstemp(
        dir=patch.path.parent, prefix=f".{patch.path.stem}.", suffix=".toml"
    )
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(patch.after)
        os.chmod(name, patch.path.stat().st_mode)
        try:
            _reader(patch.path)(Path(name))
        except BadFile as exc:
            raise BadFile(patch.path, exc.problems) from exc
        os.replace(name, patch.path)
    finally:
        Path(name).unlink(missing_ok=True)


def with_value(text: str, key: str, value: str, *, table: str | None = None) -> str:
    """A TOML text with one key set, at its top or in a table; comments and order stay."""
    rows = text.splitlines(keepends=True)
    first, last = _table_rows(rows, table)
    if first is None:
        lead = "" if not text or text.endswith("\n\n") else "\n" if text.endswith("\n") else "\n\n"
        return f"{text}{lead}[{table}]\n{key} = {value}\n"
    there = re.compile(rf"^(\s*{re.escape(key)}\s*=\s*)([^#\n]*?)(\s*(?:#.*)?)$")
    for index in range(first, last):
        if match := there.match(rows[index].rstrip("\n")):
            rows[index] = f"{match[1]}{value}{match[3]}\n"
            return "".join(rows)
    filled = [k for k in range(first, last) if rows[k].strip() and rows[k].lstrip()[0] != "#"]
    at = filled[-1] + 1 if filled else first
    if at and not rows[at - 1].endswith("\n"):
        rows[at - 1] += "\n"
    rows.insert(at, f"{key} = {value}\n")
    return "".join(rows)


def _table_rows(rows: list[str], table: str | None) -> tuple[int | None, int]:
    """First row and the one after the last of a table, or of what stands before all tables."""
    heads = [k for k, row in enumerate(rows) if re.match(r"^\s*\[", row) and _is_head(row)]
    ends = [*heads, len(rows)]
    if table is None:
        return 0, ends[0]
    for number, k in enumerate(heads):
        if rows[k].split("#")[0].strip() == f"[{table}]":
            return k + 1, ends[number + 1]
    return None, len(rows)


def _is_head(row: str) -> bool:
    """A table's name in brackets, not a row of a list."""
    return re.match(r"^\s*\[\[?\s*[A-Za-z0-9_\-.\"']+\s*\]\]?\s*(#.*)?$", row) is not None


def _of_aircraft(aircraft: Aircraft, key: str) -> float:
    if key in LEARNED_TABLES:
        return aircraft.learned.get(key, 1.0)
    return float(getattr(aircraft, key))


def _reader(path: Path) -> Callable[[Path], object]:
    """What reads a file of that name."""
    if path.name == "pilot.toml":
        return read_pilot
    return read_plan if path.name == FLIGHT_FILE else read_aircraft
