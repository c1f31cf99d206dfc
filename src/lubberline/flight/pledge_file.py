"""Reads a pledge back, and refuses one that was changed after it was written."""

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, get_type_hints

from lubberline.errors import BadFile, Problem
from lubberline.flight.pledge import SCHEMA_VERSION, Pledge, PledgedGate, PledgedPoint
from lubberline.tomlfile import read_text


def read_pledge(path: Path) -> Pledge:
    """The pledge in a file.

    Raises
    ------
    BadFile
        If the file is no pledge, is of another version, or is not, byte for byte, the one whose
        hash its name carries.
    """
    text = read_text(path, "a pledge")
    try:
        pledge = _pledge(json.loads(text))
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError) as exc:
        found = f"something else ({type(exc).__name__}: {exc})"
        raise BadFile(path, [Problem(key="file", found=found, expected="a pledge")]) from exc
    if pledge.canonical() != text.encode() or path.name != pledge.file_name:
        expected = "the bytes as the card wrote them, under the name that it gave them"
        raise BadFile(path, [Problem(key="file", found="a changed pledge", expected=expected)])
    return pledge


def latest_pledge(flight_folder: Path) -> tuple[Path, Pledge] | None:
    """The pledge of a flight that was printed last; None if no card was printed.

    Of two that were printed in the same second the file that is newer is taken.

    Raises
    ------
    BadFile
        If any pledge of the flight was changed: it might be the one that counts.
    """
    pledges = [(path, read_pledge(path)) for path in sorted(flight_folder.glob("pledge-*.json"))]
    return max(
        pledges, key=lambda one: (one[1].printed_utc, one[0].stat().st_mtime_ns), default=None
    )


def _pledge(record: Any) -> Pledge:
    if record["schema_version"] not in range(1, SCHEMA_VERSION + 1):
        known = f"this program reads 1 to {SCHEMA_VERSION}"
        raise ValueError(f"version {record['schema_version']}, {known}")
    fields = _with_times(record, Pledge)
    fields["points"] = tuple(PledgedPoint(**_with_times(p, PledgedPoint)) for p in record["points"])
    fields["permissions"] = tuple(record["permissions"])
    fields["findings"] = tuple(record["findings"])
    fields["gates"] = tuple(PledgedGate(**gate) for gate in record.get("gates", ()))
    fields["practice"] = tuple(record.get("practice", ()))
    return Pledge(**fields)


def _with_times(record: dict[str, Any], kind: type) -> dict[str, Any]:
    """The record's values with those that the type declares as times made into times."""
    times = [name for name, hint in get_type_hints(kind).items() if hint is datetime]
    moments = {name: datetime.fromisoformat(record[name]).astimezone(UTC) for name in times}
    return {**record, **moments}
