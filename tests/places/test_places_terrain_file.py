"""Tiles that are not what they claim are refused together; what is not covered is unknown."""

from pathlib import Path

import numpy as np
import pytest

from lubberline.errors import BadFile
from lubberline.places import read_terrain

SMALL = 2 * 1_201 * 1_201


def test_a_folder_without_tiles_knows_no_ground(tmp_path: Path) -> None:
    (tmp_path / "region.toml").write_text("")
    assert np.isnan(read_terrain(tmp_path).ground_ft(41.5, -130.5))


def test_outside_the_tiles_the_ground_is_unknown(tmp_path: Path) -> None:
    (tmp_path / "N41W131.hgt").write_bytes(bytes(SMALL))
    ground_ft = read_terrain(tmp_path).ground_ft([41.0, 40.999, 42.001, 41.5, np.nan], -130.5)
    np.testing.assert_array_equal(ground_ft, [0.0, np.nan, np.nan, 0.0, np.nan])


def test_names_may_be_lower_case_and_south_or_east(tmp_path: Path) -> None:
    (tmp_path / "s01e009.HGT").write_bytes(bytes(SMALL))
    terrain = read_terrain(tmp_path)
    np.testing.assert_array_equal(
        terrain.ground_ft([-1.0, 0.0, 0.5], [9.0, 10.0, 9.5]), [0.0, 0.0, np.nan]
    )


@pytest.mark.parametrize(
    ("name", "content", "message"),
    [
        ("island.hgt", bytes(SMALL), "found the name 'island.hgt', expected the south-west corner"),
        ("N91W131.hgt", bytes(SMALL), "the south-west corner; e.g. N41W131.hgt"),
        ("N41W181.hgt", bytes(SMALL), "the south-west corner"),
        ("N41E180.hgt", bytes(SMALL), "the south-west corner"),
        ("N41W131.hgt", bytes(SMALL - 2), "found 2,884,800 bytes, expected 2,884,802 bytes (1201"),
        ("N41W131.hgt", b"", "found 0 bytes"),
        ("N41W131.hgt", b"\x64\x00" + bytes(SMALL - 2), "1 heights such as 25600 m"),
        ("N41W131.hgt", b"\xf0\x00" + bytes(SMALL - 2), "-4096 m, expected -500 to 9000 m, most"),
    ],
)
def test_what_is_no_tile_is_refused(
    tmp_path: Path, name: str, content: bytes, message: str
) -> None:
    (tmp_path / name).write_bytes(content)
    with pytest.raises(BadFile) as caught:
        read_terrain(tmp_path)
    assert message in str(caught.value)


def test_all_bad_tiles_are_told_together(tmp_path: Path) -> None:
    for name in ("N41W131.hgt", "N41W132.hgt", "hill.hgt"):
        (tmp_path / name).write_bytes(b"12")
    with pytest.raises(BadFile, match=r"3 problem") as caught:
        read_terrain(tmp_path)
    assert [problem.key for problem in caught.value.problems] == [
        "N41W131.hgt",
        "N41W132.hgt",
        "hill.hgt",
    ]


def test_a_missing_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="found no such folder"):
        read_terrain(tmp_path / "absent")
