"""``lubberline differ``: text at 80 columns, JSON, and refusals."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

import lubberline
from lubberline.cli import commands  # noqa: F401 - registers the commands
from lubberline.cli.app import app

HERON = Path(lubberline.__file__).parent / "demo" / "files" / "aircraft" / "heron.toml"


@pytest.fixture
def tern(tmp_path: Path) -> Path:
    """The starter's airplane with other tanks, a higher final speed and fewer things."""
    text = HERON.read_text(encoding="utf-8")
    for old, new in (
        ('"Q-HRN"', '"Q-TRN"'),
        ('name = "left"\narm_in', 'name = "the one in the left wing outboard"\narm_in'),
        ("final_kt = 75", "final_kt = 82"),
        ("flaps_kt = 105", "flaps_kt = 108"),
        ("max_kt = 105", "max_kt = 108"),
        ('"attitude indicator", ', ""),
    ):
        assert old in text
        text = text.replace(old, new, 1)
    path = tmp_path / "tern.toml"
    path.write_text(text, encoding="utf-8")
    return path


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(app, ["differ", *(str(word) for word in words)])


def test_traps_stand_above_the_rest_at_80_columns(tern: Path) -> None:
    shown = run(HERON, tern)
    assert shown.exit_code == 0, shown.output
    rows = shown.output.splitlines()
    assert max(map(len, rows)) <= 80
    assert rows[0] == "DIFFER  from Q-HRN, Heron 200, to Q-TRN, Heron 200"
    places = [
        next(number for number, row in enumerate(rows) if row.strip().startswith(label))
        for label in (
            *("Where the old habit errs", "tanks", "final approach", "by habit 7 kt too slow"),
            *("Other differences", "flaps", "attitude indicator"),
        )
    ]
    assert places == sorted(places)
    assert "never exceed" not in shown.output


def test_json_has_the_same_in_the_same_order(tern: Path) -> None:
    document = json.loads(run(HERON, tern, "--json").output)
    assert document["new"] == {"call_sign": "Q-TRN", "type_name": "Heron 200"}
    labels = [one["label"] for one in document["differences"]]
    assert labels == ["tanks", "final approach", "flaps", "attitude indicator"]
    assert document["differences"][0]["change_ratio"] is None
    assert document["differences"][1]["change_ratio"] == pytest.approx(7.0 / 75.0)


def test_the_same_airplane_twice_says_so() -> None:
    assert "Nothing differs of what the two files give.\n" in run(HERON, HERON).output


def test_a_wrong_file_is_one_error(tmp_path: Path) -> None:
    refused = run(HERON, tmp_path / "absent.toml")
    assert refused.exit_code == 1
    assert "absent.toml" in refused.stderr
