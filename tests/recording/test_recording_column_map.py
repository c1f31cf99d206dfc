"""The pilot's map of a CSV, and the guess that stands in for it."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from recording_files import written

from lubberline.errors import BadFile
from lubberline.recording import column_map_toml, read_column_map
from lubberline.recording.column_map import EXAMPLE, ColumnMap, Source, TimeSource
from lubberline.recording.guess import guess_column_map, heading

GNSS_LINE = 'gnss_ft = { column = "gps altitude", unit = "m" }'


def test_the_example_in_the_refusals_is_a_valid_map(tmp_path: Path) -> None:
    column_map = read_column_map(written(tmp_path, "map.toml", EXAMPLE))
    assert column_map.columns["pressure_ft"] == Source(heading="pressure altitude", unit="ft")


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (('unit = "m" }', 'unit = "furlong" }'), "expected a unit that is known"),
        ((GNSS_LINE, 'gnss_ft = { column = "a", unit = "kt" }'), "expected a unit of length"),
        (("pressure_ft", "pressure"), "a name that ends in a unit"),
        (("lat_deg", "latitude_deg"), "columns.lat_deg: found nothing"),
        (('form = "iso"', 'form = "when I like"'), "expected iso, unix_s"),
        (('separator = ","', 'separater = ","'), "separator = ..."),
        (("header_line = 1", "header_line = 0"), "greater than or equal to 1"),
    ],
)  # fmt: skip
def test_a_wrong_map_says_what_is_wrong(
    change: tuple[str, str], message: str, tmp_path: Path
) -> None:
    path = written(tmp_path, "map.toml", EXAMPLE.replace(*change))
    with pytest.raises(BadFile) as refusal:
        read_column_map(path)
    assert message in str(refusal.value)


@given(st.text(min_size=1, max_size=20).filter(lambda text: text.isprintable()))
def test_any_heading_survives_being_written(name: str) -> None:
    import tempfile

    wanted = ColumnMap(
        header_line=1,
        first_data_line=2,
        separator="\t",
        decimal=",",
        time=TimeSource(heading=name, form="unix_s"),
        columns={
            "lat_deg": Source(heading=name, unit="deg"),
            "lon_deg": Source(heading=name, unit="rad"),
        },
        only_heading=name,
        only_value=name,
    )
    with tempfile.TemporaryDirectory() as folder:
        assert read_column_map(written(Path(folder), "m.toml", column_map_toml(wanted))) == wanted


@pytest.mark.parametrize(
    ("text", "words", "unit"),
    [
        ("Altitude (ft)", "altitude", "ft"),
        ("alt_m", "alt", "m"),
        ("GndSpd kt", "gndspd", "kt"),
        ("Vertical Speed [ft/min]", "verticalspeed", "fpm"),
        ("OAT (°C)", "oat", "degc"),
        ("heading_mag_deg", "headingmag", "deg"),
        ("m", "m", None),
        ("speed", "speed", None),
        ("#Latitude", "latitude", None),
    ],
)
def test_headings_are_taken_apart(text: str, words: str, unit: str | None) -> None:
    found = heading(text)
    assert (found.words, found.unit) == (words, unit)


def guessed(headings: str, row: str = "") -> dict[str, tuple[str, str]]:
    values = row or ",".join(["1780322400"] + ["1"] * headings.count(","))
    found = guess_column_map([headings, values]).column_map
    assert found is not None
    return {name: (one.heading, one.unit) for name, one in found.columns.items()}


@pytest.mark.parametrize(
    ("name", "ours", "unit"),
    [
        ("baro altitude (ft)", "pressure_ft", "ft"),
        ("pressure_alt_m", "pressure_ft", "m"),
        ("ellipsoid height m", "gnss_ft", "m"),
        ("ground speed (km/h)", "ground_kt", "kmh"),
        ("vertical rate (m/s)", "climb_fpm", "mps"),
        ("true heading", "heading_true_deg", "deg"),
        ("oil temperature (F)", "oil_temperature_degc", "degf"),
        ("ground force (F)", None, None),
        ("oil temperature (°F)", "oil_temperature_degc", "degf"),
        ("fuel flow gph", "fuel_flow_gph", "gph"),
        ("altitude", None, None),
        ("speed", None, None),
        ("vertical accuracy (m)", "vertical_accuracy_ft", "m"),
    ],
)
def test_only_what_a_heading_says_is_guessed(name: str, ours: str | None, unit: str | None) -> None:
    found = {
        k: v for k, v in guessed(f"time,lat,lon,{name}").items() if k not in ("lat_deg", "lon_deg")
    }
    assert found == ({} if ours is None else {ours: (name, unit)})


def test_a_column_that_is_not_understood_is_listed() -> None:
    found = guess_column_map(["time,lat,lon,altitude,mood", "1780322400,41,-131,1,2"])
    assert found.unused == ("altitude", "mood")
