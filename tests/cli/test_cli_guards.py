"""Every command has help and a page in the reference; help is quick to start."""

import subprocess
import sys
from pathlib import Path

import pytest
import typer.main
from typer.testing import CliRunner

from lubberline.cli import commands
from lubberline.cli.app import app
from lubberline.demo import write_folder

ROOT = Path(__file__).parents[2]
GROUP = typer.main.get_command(app)
NAMES = list(GROUP.commands)  # type: ignore[attr-defined]  # a group has commands


def test_the_loop_gives_the_commands_their_order() -> None:
    loop = [name for name in NAMES if name in {"fit", "ways", "card", "flown", "drift"}]
    assert loop == ["fit", "ways", "card", "flown", "drift"]
    assert commands.fit.__doc__ is not None


@pytest.mark.parametrize("name", NAMES)
def test_a_command_and_each_of_its_words_has_help(name: str) -> None:
    command = GROUP.commands[name]  # type: ignore[attr-defined]
    assert command.help
    for parameter in command.params:
        assert getattr(parameter, "help", None), f"{name}: {parameter.name}"


@pytest.mark.parametrize("name", NAMES)
def test_a_command_is_in_the_reference(name: str) -> None:
    reference = (ROOT / "docs" / "reference" / "commands.md").read_text(encoding="utf-8")
    assert f"## lubberline {name}\n" in reference


def test_help_is_written_on_a_narrow_screen() -> None:
    shown = CliRunner().invoke(app, ["--help"], env={"COLUMNS": "80"})
    assert shown.exit_code == 0
    assert max(len(row) for row in shown.output.splitlines()) <= 80


def test_help_loads_no_heavy_library() -> None:
    heavy = {"numpy", "scipy", "pydantic", "shapely", "sqlalchemy", "plotly", "polars"}
    loaded, printed = loaded_by("--help")
    assert not heavy & loaded
    assert "fit" in printed


def test_a_card_waits_for_nothing_that_it_does_not_need(tmp_path: Path) -> None:
    rest = {"sqlalchemy", "scipy", "plotly", "polars", "numba"}
    rest |= {f"lubberline.{room}" for room in ("flown", "recording", "store", "page", "demo")}
    loaded, printed = loaded_by("card", str(write_folder(tmp_path / "folder")), "--way", "1")
    assert not (rest | {"lubberline.places.published"}) & loaded
    assert "lubberline.card" in loaded
    assert "pledge" in printed


def loaded_by(*words: str) -> tuple[set[str], str]:
    """The modules that a command has loaded when it ends, and what it printed."""
    script = (
        "import sys; from lubberline.cli import main\n"
        "sys.argv = ['lubberline', *sys.argv[1:]]\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print(*sys.modules, file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, *words], capture_output=True, text=True, check=True
    )
    return set(done.stderr.split()), done.stdout
