"""The docs tell the truth: reference pages are fresh, shell lines run, links lead somewhere."""

import importlib.util
import re
import shlex
from pathlib import Path

import pytest
from typer.testing import CliRunner

from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app

ROOT = Path(__file__).parent.parent
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
SHELL = re.compile(r"^```sh\n(.*?)^```", re.MULTILINE | re.DOTALL)
LINK = re.compile(r"\]\((?!https?:)([^)#]+)")


def test_reference_pages_are_fresh() -> None:
    spec = importlib.util.spec_from_file_location("generate", ROOT / "docs" / "generate.py")
    assert spec is not None
    assert spec.loader is not None
    generate = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(generate)
    for path, text in generate.pages().items():
        assert path.read_text(encoding="utf-8") == text, f"{path.name} is stale: make docs"


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_every_shell_line_of_a_page_runs(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for block in SHELL.findall(page.read_text(encoding="utf-8")):
        for line in block.splitlines():
            words = shlex.split(line, comments=True)
            if not words or words[0] == "make":  # the two commands are what runs these tests
                continue
            assert words[0] == "lubberline", f"{page.name}: {line}"
            done = CliRunner().invoke(app, words[1:])
            assert done.exit_code == 0, f"{page.name}: {line}\n{done.output}"


def test_the_readme_shows_what_the_demo_prints(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    printed = CliRunner().invoke(app, ["demo", "out/demo"]).output.splitlines()
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = re.findall(r"^```text\n(.*?)^```", readme, re.MULTILINE | re.DOTALL)[0].splitlines()
    assert len(shown) > 40
    assert [line for line in shown if line not in printed] == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_links_lead_to_files(page: Path) -> None:
    for target in LINK.findall(page.read_text(encoding="utf-8")):
        assert (page.parent / target).exists(), f"{page.name}: {target}"
