"""What every command says with: a line, a sentence at 80 columns, one JSON document."""

import json
import textwrap
from datetime import date
from math import isfinite
from pathlib import Path
from typing import Any

import typer


def say(text: str = "") -> None:
    """One line of text."""
    typer.echo(text)


def wrapped(text: str, *, indent: int = 0, hang: int = 0) -> None:
    """A sentence broken at 80 columns."""
    pad = " " * indent
    for row in textwrap.wrap(text, 80, initial_indent=pad, subsequent_indent=pad + " " * hang):
        typer.echo(row)


def hanging(text: str, *, indent: int = 0, hang: int = 2) -> None:
    """A sentence broken at 80 columns, all but its first row further in."""
    wrapped(text, indent=indent, hang=hang)


def made(path: Path) -> Path:
    """The path of a file to write, its folder made if it is missing."""
    path.parent.mkdir(parents=True, exist_ok=True)
    return path


def document(**values: Any) -> None:
    """One JSON document on standard output: times in their ISO form, unknown numbers null."""
    typer.echo(json.dumps(_plain(values), indent=2, ensure_ascii=False, allow_nan=False))


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    if isinstance(value, float):
        return value if isfinite(value) else None
    if isinstance(value, date):
        return value.isoformat()
    return value if value is None or isinstance(value, str | int) else str(value)
