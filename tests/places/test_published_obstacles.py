"""The obstacle file is read in all of its forms, quickly and to the letter."""

from dataclasses import fields, replace
from datetime import UTC, datetime
from pathlib import Path

import nasr_made
import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from obstacles_made import CSV_HEAD, HEAD, Made

from lubberline.errors import BadFile
from lubberline.places import DataSet, Obstacles
from lubberline.places.published import read_obstacles
from lubberline.places.published._dof_columns import numbers

SOME = (
    Made(number=1),
    Made(number=2, kind="STACK", light="N", accuracy="9I", agl_ft=90, msl_ft=-16),
    Made(number=3, kind="T-L TWR", verified="U", sides="SE", lat=(3, 59, 59), lon=(179, 59, 59)),
    Made(number=4, kind="RIG", lat=(0, 0, 0), lon=(0, 0, 0), accuracy="1A", light="U"),
)


def write(path: Path, *made: Made, form: str = "line", ends: str = "\r\n") -> Path:
    head = [CSV_HEAD] if form == "row" else [*HEAD]
    lines = [*head, *(getattr(one, form)() for one in made)]
    path.write_text(ends.join(lines) + ends, newline="")
    return path


def obstacles_of(data: DataSet) -> Obstacles:
    assert data.obstacles is not None
    return data.obstacles


def same(one: Obstacles, other: Obstacles) -> bool:
    return all(
        np.allclose(a, b, atol=6e-7, equal_nan=True) if a.dtype.kind == "f" else (a == b).all()
        for a, b in ((getattr(one, f.name), getattr(other, f.name)) for f in fields(Obstacles))
    )


def test_the_current_layout_is_read_whole(tmp_path: Path) -> None:
    data = read_obstacles(write(tmp_path / "DOF.DAT", *SOME))
    found = obstacles_of(data)
    np.testing.assert_allclose(found.lat_deg, [one.lat_deg for one in SOME], rtol=1e-14)
    np.testing.assert_allclose(found.lon_deg, [one.lon_deg for one in SOME], rtol=1e-14)
    assert found.top_msl_ft.tolist() == [348.0, -16.0, 348.0, 348.0]
    assert found.top_agl_ft.tolist() == [236.0, 90.0, 236.0, 236.0]
    assert found.kind.tolist() == ["TOWER", "STACK", "T-L TWR unverified", "RIG"]
    assert found.lit.tolist() == [True, False, True, False]
    assert data.account.read == {"obstacles": 4}
    assert data.account.left_out_count == 0


def test_the_file_is_current_from_its_date_for_56_days(tmp_path: Path) -> None:
    source = read_obstacles(write(tmp_path / "DOF.DAT", *SOME)).source
    assert source.valid_from_utc == datetime(2026, 10, 25, tzinfo=UTC)
    assert source.valid_until_utc == datetime(2026, 12, 20, tzinfo=UTC)


@pytest.mark.parametrize(
    ("name", "form"), [("DOF.DAT", "line"), ("DOF.DAT", "older_line"), ("DOF.CSV", "row")]
)
@pytest.mark.parametrize("ends", ["\r\n", "\n"])
def test_all_forms_say_the_same(tmp_path: Path, name: str, form: str, ends: str) -> None:
    whole = obstacles_of(read_obstacles(write(tmp_path / "DOF.DAT", *SOME)))
    other = write(tmp_path / name, *SOME, form=form, ends=ends)
    assert same(obstacles_of(read_obstacles(other)), whole)


def test_dismantled_ones_are_left_out(tmp_path: Path) -> None:
    gone = [replace(SOME[0], number=10 + n, action="D") for n in range(70)]
    data = read_obstacles(write(tmp_path / "DOF.DAT", *SOME, *gone))
    assert len(obstacles_of(data)) == 4
    assert data.account.left_out_count == 70
    assert {one.reason for one in data.account.left_out} == {"dismantled"}
    assert len(data.account.left_out) == 50  # as many are told one by one
    assert data.account.left_out[0].line == len(HEAD) + 5


@pytest.mark.parametrize(
    ("at", "text", "reason"),
    [
        (35, "91", "no place on earth"),
        (38, "60", "no place on earth"),
        (46, "X", "no place on earth"),
        (48, "181", "no place on earth"),
        (52, "  ", "no place on earth"),
        (83, "0x236", "no height that can be"),
        (83, "99999", "no height that can be"),
        (89, "     ", "no height that can be"),
        (2, " ", "no record of an obstacle"),
    ],
)
def test_a_record_that_cannot_be_is_left_out(
    tmp_path: Path, at: int, text: str, reason: str
) -> None:
    path = write(tmp_path / "DOF.DAT", *SOME)
    lines = path.read_text().splitlines()
    lines[5] = lines[5][:at] + text + lines[5][at + len(text) :]
    path.write_text("\n".join(lines))
    data = read_obstacles(path)
    (left,) = data.account.left_out
    assert (left.line, left.reason) == (6, reason)
    assert len(obstacles_of(data)) == 3


def test_blank_lines_and_a_missing_heading_do_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "DOF.DAT"
    path.write_text("\n\n".join(one.line() for one in SOME))  # and no end of the last line
    data = read_obstacles(path)
    assert len(obstacles_of(data)) == 4
    assert data.source.valid_from_utc is None


def test_one_file_for_the_country_or_one_for_each_state(tmp_path: Path) -> None:
    first = write(tmp_path / "a.dat", *SOME[:2]).read_bytes()
    second = write(tmp_path / "b.dat", *SOME[2:]).read_bytes()
    states = {"90-QA.Dat": first, "91-QB.Dat": second}
    (tmp_path / "states.zip").write_bytes(nasr_made.zip_of(states))
    (tmp_path / "all.zip").write_bytes(nasr_made.zip_of({"DOF.DAT": first, **states}))
    assert len(obstacles_of(read_obstacles(tmp_path / "states.zip"))) == 4
    assert len(obstacles_of(read_obstacles(tmp_path / "all.zip"))) == 2


@pytest.mark.parametrize("content", ["", "nothing of the kind\n" * 10, "x" * 20_000])
def test_a_file_without_records_is_refused(tmp_path: Path, content: str) -> None:
    (tmp_path / "DOF.DAT").write_text(content)
    with pytest.raises(BadFile, match="no line that is a record"):
        read_obstacles(tmp_path)


def test_blocks_end_where_lines_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = obstacles_of(read_obstacles(write(tmp_path / "DOF.DAT", *SOME)))
    monkeypatch.setattr("lubberline.places.published.obstacles.BLOCK_BYTES", 200)
    assert same(obstacles_of(read_obstacles(tmp_path)), whole)


PLAIN = st.one_of(
    st.integers(-9_999, 99_999).map(str),
    st.decimals(-999, 999, places=2, allow_nan=False).map(str),
    st.text("0123456789.- ", max_size=8),
)


@given(st.lists(PLAIN, min_size=1, max_size=20))
@example([".-0"])
def test_columns_of_numbers_are_what_the_language_says(texts: list[str]) -> None:
    texts = [text[:9] for text in texts]
    columns = np.frombuffer("".join(f"{text:<9}" for text in texts).encode(), np.uint8)
    for text, value in zip(texts, numbers(columns.reshape(-1, 9)), strict=True):
        try:
            expected = float(text) if " " not in text.strip() else np.nan
        except ValueError:
            expected = np.nan
        assert value == pytest.approx(expected, abs=1e-9, nan_ok=True)
