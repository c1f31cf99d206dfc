"""Writes the reference pages from the code: commands from their help, files from their schemas.

``make docs`` runs it; a test compares the pages with what it would write.
"""

import contextlib
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import typer.main
from typer.testing import CliRunner

from lubberline.aircraft._schema import AircraftForm
from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app
from lubberline.flight._schema import FlightForm
from lubberline.flown.corrections_file import _CorrectionsForm
from lubberline.flown.own_mark import _MarksForm
from lubberline.flown.standard_file import _StandardForm
from lubberline.logbook import LogbookMap
from lubberline.loop.debriefing_word import _AfterFile
from lubberline.loop.school import _SchoolFile
from lubberline.pilot.file import _PilotFile
from lubberline.places._schema import PlacesForm
from lubberline.recording.column_map import _MapFile

HERE = Path(__file__).parent
FILES = {
    "flights/NAME/flight.toml": FlightForm,
    "flights/NAME/after.toml": _AfterFile,
    "flights/NAME/marks.toml": _MarksForm,
    "flights/NAME/corrections.toml": _CorrectionsForm,
    "pilot.toml": _PilotFile,
    "school.toml": _SchoolFile,
    "aircraft/NAME.toml": AircraftForm,
    "standards/NAME.toml": _StandardForm,
    "places/NAME.toml": PlacesForm,
    "a column map in `recordings/`, or for `lubberline flown --columns`": _MapFile,
    "a column map for `lubberline logbook import --columns`": LogbookMap,
}


def pages() -> dict[Path, str]:
    """Every generated page with its text."""
    return {
        HERE / "reference" / "commands.md": commands_page(),
        HERE / "reference" / "files.md": files_page(),
    }


def commands_page() -> str:
    """Each command's help as it is shown."""
    parts = ["# Commands\n\nGenerated from `--help`; `make docs` renews it.\n"]
    for words in _commands(typer.main.get_command(app)):
        shown = CliRunner().invoke(app, [*words, "--help"], env={"COLUMNS": "80"})
        text = "\n".join(row.rstrip() for row in shown.output.strip().splitlines())
        parts.append(f"## lubberline {' '.join(words)}\n\n```text\n{text}\n```\n")
    return "\n".join(parts)


def _commands(group: Any, *before: str) -> Iterator[list[str]]:
    """Words of every command, those of a group after the group itself."""
    for name, command in group.commands.items():
        yield [*before, name]
        if hasattr(command, "commands"):
            yield from _commands(command, *before, name)


def files_page() -> str:
    """Each file's keys with type, bounds and example."""
    parts = ["# Files\n\nGenerated from the schemas that read them; `make docs` renews it.\n"]
    for name, schema in FILES.items():
        described = schema.model_json_schema()
        parts.append(f"## {name}\n")
        parts.append(_table("", described))
        for nested, form in described.get("$defs", {}).items():
            if "properties" in form:
                parts.append(_table(nested.removeprefix("_"), form))
    return "\n".join(parts)


def _table(title: str, form: dict[str, Any]) -> str:
    rows = ["| key | what | needed | example |", "|---|---|---|---|"]
    for key, field in form.get("properties", {}).items():
        needed = "yes" if key in form.get("required", []) else ""
        example = next(iter(field.get("examples", [])), "")
        shown = f"`{example}`" if example != "" else ""
        rows.append(f"| `{key}` | {_kind(field)} | {needed} | {shown} |")
    heading = f"### {title}\n\n" if title else ""
    return heading + "\n".join(rows) + "\n"


def _kind(field: dict[str, Any]) -> str:
    """Type and bounds in words."""
    if "$ref" in field:
        return field["$ref"].rsplit("/", 1)[-1].removeprefix("_")
    if "anyOf" in field:
        kinds = [_kind(one) for one in field["anyOf"]]
        return " or ".join(kind for kind in kinds if kind != "null")
    if "enum" in field:
        return ", ".join(str(value) for value in field["enum"])
    if field.get("type") == "array":
        return f"list of {_kind(field.get('items', {}))}" if field.get("items") else "list"
    kind = str(field.get("format", field.get("type", "value")))
    words = {
        "minimum": "at least",
        "exclusiveMinimum": "above",
        "maximum": "at most",
        "exclusiveMaximum": "below",
    }
    bounds = [f"{word} {field[key]:g}" for key, word in words.items() if key in field]
    return ", ".join([kind, *bounds])


def readme() -> str:
    """The README with a fresh excerpt of what the demo prints, without hashes and file names."""
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        printed = CliRunner().invoke(app, ["demo", "out/demo"]).output.splitlines()
    start = {line.split("  ")[0]: number for number, line in enumerate(printed)}
    shown = [
        *printed[: start["CARD"]],
        *printed[start["FLOWN"] : start["DRIFT"]],
        *printed[start["DRIFT"] : start["folder"]],
    ]
    excerpt = "\n".join(line for line in shown if not line.startswith("Held to")).rstrip()
    text = (HERE.parent / "README.md").read_text(encoding="utf-8")
    before, _, rest = text.partition("```text\n")
    return f"{before}```text\n{excerpt}\n```{rest.partition('```')[2]}"


if __name__ == "__main__":
    for path, text in {**pages(), HERE.parent / "README.md": readme()}.items():
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
