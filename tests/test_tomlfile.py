"""A wrong file gives one clear error that lists everything wrong with it."""

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import pytest
from pydantic import Field, field_validator

from lubberline.errors import BadFile
from lubberline.tomlfile import Schema, read_toml
from lubberline.tomlfile import refusal as refusal_at


class Tank(Schema):
    usable_gal: Annotated[float, Field(gt=0, examples=[24.0])]


class Airplane(Schema):
    name: Annotated[str, Field(min_length=1, examples=["'Blue Heron'"])]
    altimeter_inhg: Annotated[float, Field(ge=25, le=32, examples=[29.92])] = 29.92
    tank: tuple[Tank, ...] = ()
    rows: Annotated[tuple[tuple[float, ...], ...], Field(min_length=2)] = ((1.0,), (1.0,))

    @field_validator("rows")
    @classmethod
    def _one_each(cls, rows: Sequence[Sequence[float]]) -> Sequence[Sequence[float]]:
        wrong = [((n,), row, "one number") for n, row in enumerate(rows) if len(row) != 1]
        if wrong:
            raise refusal_at(wrong)
        return rows


def refusal(tmp_path: Path, text: str | bytes) -> BadFile:
    path = tmp_path / "heron.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises(BadFile) as caught:
        read_toml(path, Airplane)
    return caught.value


def test_a_good_file_becomes_the_schema(tmp_path: Path) -> None:
    path = tmp_path / "heron.toml"
    path.write_text("name = 'Heron'\n[[tank]]\nusable_gal = 24\n")
    assert read_toml(path, Airplane).tank[0].usable_gal == 24.0


def test_every_problem_is_told_with_line_key_found_expected_example(tmp_path: Path) -> None:
    error = refusal(
        tmp_path, "altimeter_inhg = 1013\nnmae = 'H'\n\n[[tank]]\nusable_gal = -3\n[[tank]]\n"
    )
    assert [str(problem) for problem in error.problems] == [
        "name: found nothing, expected a value; e.g. name = 'Blue Heron'",
        "line 1, altimeter_inhg: found 1013, expected less than or equal to 32;"
        " e.g. altimeter_inhg = 29.92",
        "line 2, nmae: found 'H', expected a known key; e.g. name = ...",
        "line 5, tank.0.usable_gal: found -3, expected greater than 0; e.g. usable_gal = 24.0",
        "line 6, tank.1.usable_gal: found nothing, expected a value; e.g. usable_gal = 24.0",
    ]


def test_inline_tables_and_nested_arrays_keep_their_lines(tmp_path: Path) -> None:
    error = refusal(tmp_path, "name = 'H'\ntank = [\n  {usable_gal = 1},\n  {usable_gal = 0},\n]\n")
    assert [problem.line for problem in error.problems] == [4]


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (b"name = \n", "'name ="),
        (b"\x89PNG\r\n\x1a\n\x00\xff", "not UTF-8"),
        (b"name = 'a\x00b'", "binary data"),
    ],
)
def test_what_is_not_toml_is_refused(tmp_path: Path, content: bytes, found: str) -> None:
    assert found in str(refusal(tmp_path, content))


def test_an_empty_file_lacks_its_keys(tmp_path: Path) -> None:
    assert "name: found nothing" in str(refusal(tmp_path, ""))


def test_a_missing_file_and_a_directory_are_told_apart(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="found a directory"):
        read_toml(tmp_path, Airplane)
    with pytest.raises(BadFile, match="found nothing"):
        read_toml(tmp_path / "absent.toml", Airplane)


def test_nan_is_refused(tmp_path: Path) -> None:
    assert "finite number" in str(refusal(tmp_path, "name = 'H'\naltimeter_inhg = nan\n"))


def test_a_validator_may_name_the_place_of_each_problem(tmp_path: Path) -> None:
    error = refusal(tmp_path, "name = 'H'\nrows = [\n  [1, 2],\n  [1],\n  [],\n]\n")
    assert [str(problem) for problem in error.problems] == [
        "line 3, rows.0: found (1.0, 2.0), expected one number",
        "line 5, rows.2: found (), expected one number",
    ]


def test_a_list_is_too_short_only_if_nothing_in_it_was_refused(tmp_path: Path) -> None:
    (short,) = refusal(tmp_path, "name = 'H'\nrows = [[1]]\n").problems
    assert short.expected == "at least 2 items, not 1"
    (bad,) = refusal(tmp_path, "name = 'H'\nrows = [[1], ['x']]\n").problems
    assert bad.key == "rows.1.0"


def test_a_huge_file_is_refused_unread(tmp_path: Path) -> None:
    assert "under 4 MB" in str(refusal(tmp_path, b"#" * 4_000_001))
