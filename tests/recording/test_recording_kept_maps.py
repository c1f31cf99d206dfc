"""Column maps that the pilot keeps: the one that fits a file is found."""

from pathlib import Path

import pytest
from recording_files import csv_flight, gpx_flight, gpx_text, written

from lubberline.errors import BadFile
from lubberline.recording import fitting_map, keep_map, proposed_columns, read_recording

CSV = csv_flight(5, heading="when,up,across,z1,z2").replace("when", "stamp")


def kept(folder: Path, heading: str = "stamp", *, more: str = "") -> Path:
    text = (
        f'[time]\ncolumn = "{heading}"\nform = "unix_s"\n[columns]\n'
        'lat_deg = { column = "up", unit = "deg" }\nlon_deg = { column = "across", unit = "deg" }\n'
    )
    folder.mkdir(exist_ok=True)
    return written(folder, f"{heading}{len(more)}.toml", text + more)


def test_the_map_that_explains_most_is_taken(tmp_path: Path) -> None:
    path = written(tmp_path, "flight.csv", CSV)
    kept(tmp_path / "maps", "other")
    kept(tmp_path / "maps")
    best = kept(tmp_path / "maps", more='gnss_ft = { column = "z1", unit = "ft" }\n')
    assert fitting_map(tmp_path / "maps", path) == best
    recording = read_recording(path, column_map=best)
    assert f"What the columns are was read from {best.name}." in recording.account


def test_no_map_fits_other_headings_or_a_format_that_says_itself(tmp_path: Path) -> None:
    kept(tmp_path / "maps")
    other = written(tmp_path, "flight.csv", csv_flight(5))
    gpx = written(tmp_path, "flight.gpx", gpx_text(gpx_flight(0, 5)))
    assert fitting_map(tmp_path / "maps", other) is None
    assert fitting_map(tmp_path / "maps", gpx) is None
    assert proposed_columns(gpx) is None
    assert fitting_map(tmp_path / "none", other) is None


def test_a_wrong_map_is_told_and_not_passed_over(tmp_path: Path) -> None:
    path = written(tmp_path, "flight.csv", CSV)
    (tmp_path / "maps").mkdir()
    written(tmp_path / "maps", "bad.toml", "[time]\n")
    with pytest.raises(BadFile, match=r"time\.column"):
        fitting_map(tmp_path / "maps", path)


def test_what_is_kept_fits_and_nothing_is_written_over(tmp_path: Path) -> None:
    path = written(tmp_path, "flight.csv", CSV)
    guess = proposed_columns(path)
    assert guess is not None
    assert guess.column_map is not None
    assert guess.by_values == ("stamp", "up", "across")
    folder = tmp_path / "maps"
    names = [keep_map(folder, path, guess.column_map).name for _ in range(2)]
    assert names == ["flight.toml", "flight-2.toml"]
    assert fitting_map(folder, path) in [folder / name for name in names]
