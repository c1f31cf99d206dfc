"""Reading CSV by a map or by a guess."""

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from recording_files import START_S, csv_flight, written

from lubberline.air import pressure_altitude_ft
from lubberline.errors import BadFile
from lubberline.recording import Clock, column_map_toml, proposed_columns
from lubberline.recording.csv import read_csv
from lubberline.recording.guess import guess_column_map
from lubberline.recording.raw import RawTrack

NOWHERE = Path("flight.csv")
MAP = """\
header_line = {header}
separator = "{separator}"
decimal = "{decimal}"
[time]
column = "when"
{time}
[columns]
lat_deg = {{ column = "y", unit = "deg" }}
lon_deg = {{ column = "x", unit = "deg" }}
gnss_ft = {{ column = "z", unit = "m" }}
{more}
"""


def map_file(
    folder: Path,
    time: str,
    *,
    header: int = 1,
    separator: str = ",",
    decimal: str = ".",
    more: str = "",
) -> Path:
    text = MAP.format(time=time, header=header, separator=separator, decimal=decimal, more=more)
    return written(folder, "map.toml", text)


def read(text: str, column_map: Path | None = None) -> RawTrack:
    return read_csv(NOWHERE, text.encode(), column_map)


def test_our_own_headings_need_no_map() -> None:
    track = read(csv_flight(3))
    np.testing.assert_allclose(track.time_s, START_S + np.arange(3.0))
    np.testing.assert_allclose(track.pressure_ft, 2500.0)


def test_the_guess_can_be_written_down_as_a_map_that_reads_the_same(tmp_path: Path) -> None:
    text = csv_flight(5)
    guessed = read(text)
    guess = proposed_columns(written(tmp_path, "flight.csv", text))
    assert guess is not None
    assert guess.column_map is not None
    told = column_map_toml(guess.column_map)
    assert guessed.account[-1].endswith(f"keep this column map in recordings/:\n{told}")
    again = read(text, written(tmp_path, "map.toml", told))
    np.testing.assert_array_equal(again.lon_deg, guessed.lon_deg)
    np.testing.assert_array_equal(again.time_s, guessed.time_s)


def test_units_in_the_headings_are_converted() -> None:
    text = (
        "UTC Time;Latitude [deg];Longitude [deg];"
        "GPS Altitude (m);Pressure Altitude (m);IAS (km/h)\n"
        "2026-06-01T14:00:00Z;41;-131;762;304.8;185.2\n"
    )
    track = read(text)
    assert track.gnss_ft[0] == pytest.approx(2500.0)
    assert track.pressure_ft[0] == pytest.approx(1000.0)
    assert track.channels["ias_kt"][0] == pytest.approx(100.0)


def test_a_line_of_units_under_the_headings_counts() -> None:
    text = (
        "time,lat,lon,hMSL,velN\n(),(deg),(deg),(m),(m/s)\n2026-06-01T14:00:00.25Z,41,-131,762,1\n"
    )
    track = read(text)
    assert track.gnss_ft[0] == pytest.approx(2500.0)
    assert track.gnss_reference == "msl"
    assert track.time_s[0] % 1.0 == pytest.approx(0.25)


def test_local_date_time_and_offset_columns_are_put_together() -> None:
    text = (
        '# recorder "QQ"\n'
        "#yyyy-mm-dd,hh:mm:ss,hh:mm,degrees,degrees,ft,kt\n"
        "Local Date,Local Time,UTC Offset,Latitude,Longitude,AltMSL,IAS\n"
        "2026-06-01,07:00:00,-07:00,41,-131,2600,100\n"
    )
    track = read(text)
    assert track.time_s[0] == START_S
    assert track.gnss_reference == "msl"
    assert track.channels["ias_kt"][0] == 100.0


@pytest.mark.parametrize(
    ("form", "text"),
    [
        ('form = "unix_ms"', f"{START_S * 1000:.0f}"),
        ('form = "iso"', "2026-06-01 14:00:00"),
        ('form = "iso"\nzone = "-07:00"', "2026/06/01 07:00:00"),
        ('form = "iso"\nzone = "America/Los_Angeles"', "2026-06-01T07:00:00"),
        ('form = "iso"', "2026-06-01T16:00:00+0200"),
        ('form = "%d.%m.%Y %H:%M:%S"', "01.06.2026 14:00:00"),
        ('form = "elapsed_s"\nstart_utc = 2026-06-01T13:59:50Z', "10.0"),
    ],
)
def test_times_are_read_in_the_form_of_the_map(form: str, text: str, tmp_path: Path) -> None:
    track = read(f"when,y,x,z\n{text},41,-131,762\n", map_file(tmp_path, form))
    assert track.time_s[0] == pytest.approx(START_S)
    assert track.gnss_ft[0] == pytest.approx(2500.0)


def test_the_hour_that_a_zone_repeats_is_not_known(tmp_path: Path) -> None:
    zone = map_file(tmp_path, 'form = "iso"\nzone = "America/Los_Angeles"')
    rows = "2026-11-01 01:30:00,41,-131,0\n2026-11-01 03:30:00,41,-131,0\n"
    assert np.isnan(read(f"when,y,x,z\n{rows}", zone).time_s).tolist() == [True, False]


def test_semicolons_decimal_commas_and_lines_above_the_headings(tmp_path: Path) -> None:
    column_map = map_file(tmp_path, 'form = "unix_s"', header=3, separator=";", decimal=",")
    track = read("made by\n\nwhen;y;x;z\n1780322400,5;41,5;-131,25;762,0\n", column_map)
    assert (track.time_s[0], track.lat_deg[0]) == (1780322400.5, 41.5)


def test_what_is_not_a_number_is_not_known_and_counted(tmp_path: Path) -> None:
    column_map = map_file(tmp_path, 'form = "unix_s"')
    track = read("when,y,x,z\n1,41,-131,--\n2,41,-131,nan\n3,41,-131\n4,inf,-131,1\n", column_map)
    assert np.isnan(track.gnss_ft).tolist() == [True, True, True, False]
    assert np.isnan(track.lat_deg).tolist() == [False, False, False, True]
    assert any("2 values of 'z' are not numbers (the first is '--')" in a for a in track.account)


def test_several_aircraft_are_refused_until_the_map_says_which(tmp_path: Path) -> None:
    text = "when,icao24,y,x,z\n1,aaaaaa,41,-131,1\n1,bbbbbb,42,-131,2\n2,aaaaaa,41,-131,3\n"
    with pytest.raises(BadFile, match=r"2 aircraft \(aaaaaa, bbbbbb\)"):
        read(text, map_file(tmp_path, 'form = "unix_s"'))
    only = '[only]\ncolumn = "icao24"\nvalue = "aaaaaa"'
    assert read(text, map_file(tmp_path, 'form = "unix_s"', more=only)).time_s.tolist() == [1, 2]
    with pytest.raises(BadFile, match=r"no row with 'cccccc', expected one of aaaaaa, bbbbbb"):
        read(text, map_file(tmp_path, 'form = "unix_s"', more=only.replace("aaaaaa", "cccccc")))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("time,lat,height\n1780322400,41,100\n", "no column for longitude; the columns are time, "),
        ("a,b,c\n1,2,3\n", "no column for latitude"),
        ("lat,lon,x\n41,-131,3\n", "no column for time"),
        ("time,lat,lon\n14:00:00,41,-131\n", "has no date"),
        ("time,lat,lon\n01/06/2026 14:00,41,-131\n", "more than one way"),
        ("time (s),lat,lon\n12.5,41,-131\n", "start_utc says it"),
        ("local time,lat,lon\n2026-06-01 14:00:00,41,-131\n", "no column gives its offset"),
        ("time,lat,lon\n", "headings and no rows"),
    ],
)
def test_columns_that_are_not_clear_are_refused_with_an_example(text: str, message: str) -> None:
    with pytest.raises(BadFile) as refusal:
        read(text)
    assert message in str(refusal.value)
    assert "lat_deg = { column = " in str(refusal.value)


def test_a_heading_that_is_not_there_names_those_that_are(tmp_path: Path) -> None:
    column_map = map_file(tmp_path, 'form = "iso"')
    with pytest.raises(BadFile, match="no column 'z'; there are when, y, x, alt"):
        read("when,y,x,alt\n2026-06-01T14:00:00Z,41,-131,1\n", column_map)


def test_headings_without_rows_are_refused(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="headings and nothing below"):
        read("when,y,x,z\n", map_file(tmp_path, 'form = "iso"'))


@pytest.mark.parametrize(
    ("form", "key"),
    [('form = "iso"\nzone = "Nowhere/Land"', "time.zone"), ('form = "%Q"', "time.form")],
)
def test_a_zone_or_pattern_that_does_not_exist_is_refused(
    form: str, key: str, tmp_path: Path
) -> None:
    with pytest.raises(BadFile, match=key):
        read("when,y,x,z\n2026-06-01 14:00:00,41,-131,1\n", map_file(tmp_path, form))


def test_a_time_in_utc_ends_up_where_the_calendar_says() -> None:
    track = read("time,lat,lon\n2026-06-01T14:00:00,41,-131\n")
    assert datetime.fromtimestamp(track.time_s[0], UTC) == datetime(2026, 6, 1, 14, tzinfo=UTC)
    assert "1 time without an offset: taken as UTC." in track.account


AVIONICS = (
    '#information,log_version="1.00"\n'
    "#yyy-mm-dd,hh:mm:ss,hh:mm,degrees,degrees,ft baro,inch,ft msl,ft wgs,deg F,psi,Hg,"
    "rpm,gph,gals\n"
    "Lcl Date,Lcl Time,UTCOfst,Latitude,Longitude,AltB,BaroA,AltMSL,AltGPS,E1 CHT1,E1 OilP,E1 MAP,"
    "E1 RPM,E1 FFlow,FQtyL\n"
    "2026-06-01,07:00:00,-07:00,41,-131,2500,30.42,2600,2510,392.0,58,23.5,2350,11.2,20\n"
)


def test_a_panel_of_avionics_needs_no_map() -> None:
    """Its line of units says what heights are counted from, and which engine a column is of."""
    track = read(AVIONICS)
    found = {name: float(column[0]) for name, column in track.channels.items()}
    assert track.gnss_ft[0] == 2600.0
    assert track.gnss_reference == "msl"
    assert found["cht1_degc"] == pytest.approx(200.0)
    assert found["manifold_inhg"] == pytest.approx(23.5)
    assert found["oil_pressure_psi"] == pytest.approx(58.0)
    assert (found["engine_rpm"], found["fuel_flow_gph"], found["fuel_left_gal"]) == (2350, 11.2, 20)


def test_the_altimeter_and_its_setting_give_pressure_height() -> None:
    """0.4987 inHg over standard is some 460 ft there ([ISA] by hand: 26.9 hPa/1000 ft and less)."""
    track = read(AVIONICS)
    assert track.pressure_ft[0] == pytest.approx(
        float(pressure_altitude_ft(2500.0, 30.42)), abs=1e-6
    )
    assert 2000.0 < track.pressure_ft[0] < 2100.0
    assert "Pressure height is worked out" in " ".join(track.account)


UNKNOWN = (
    "Wann;Breite;Laenge;Druck\n"
    "25.11.2026 20:38:30;40,829403;-131,658301;12\n"
    "25.11.2026 20:38:31;40,829405;-131,658299;12\n"
)


def test_what_only_values_suggest_is_refused_with_the_map_to_confirm(tmp_path: Path) -> None:
    with pytest.raises(BadFile) as refusal:
        read(UNKNOWN)
    text = str(refusal.value)
    assert "Wann, Breite, Laenge, whose meaning only their values suggest" in text
    told = text.partition("e.g. ")[2]
    track = read(UNKNOWN, written(tmp_path, "map.toml", told))
    assert track.lon_deg[1] == pytest.approx(-131.658299)
    assert datetime.fromtimestamp(track.time_s[0], UTC).isoformat() == "2026-11-25T20:38:30+00:00"


@pytest.mark.parametrize(
    ("cells", "form"),
    [
        ("25/11/2026 20:38:30", "%d/%m/%Y %H:%M:%S"),
        ("11/25/2026 20:38:30", "%m/%d/%Y %H:%M:%S"),
        ("05/11/2026 20:38:30", None),  # the fifth of November, or the eleventh of May
        ("1780322400", "unix_s"),
        ("20:38:30", None),  # no date
    ],
)
def test_a_time_is_proposed_where_day_and_month_are_sure(cells: str, form: str | None) -> None:
    guess = guess_column_map(["A,B,C", f"{cells},40.829403,-131.658301"])
    found = guess.column_map
    assert (None if found is None else found.time.form) == form


def test_a_file_without_places_is_read_and_says_so() -> None:
    track = read("time_utc,pressure_ft,rpm\n2026-06-01T14:00:00Z,2500,2300\n")
    assert np.isnan(track.lat_deg).all()
    assert "nothing is known of places" in " ".join(track.account)


@pytest.mark.parametrize("stamp", ["2026-06-01T14:00:0{}Z", "2026-06-01 16:00:0{}.25+02:00"])
@pytest.mark.parametrize(
    "odd", ["2026/06/01 14:00:09Z", "2026-13-01T14:00:09Z", "2026-06-01T14:00Z", "", "Z26-06-01T14"]
)
def test_one_time_that_is_written_differently_changes_no_other(stamp: str, odd: str) -> None:
    rows = [f"{stamp.format(k)},41,-131" for k in range(9)]
    alike = read("\n".join(["time,lat,lon", *rows]))
    np.testing.assert_allclose(np.diff(alike.time_s), 1.0)
    mixed = read("\n".join(["time,lat,lon", *rows, f"{odd},41,-131"]))
    np.testing.assert_array_equal(mixed.time_s[:-1], alike.time_s)
    known = odd.startswith("2026/06")
    assert np.isfinite(mixed.time_s[-1]) == known


@pytest.mark.parametrize("odd", ["", " 12.5 ", "nan", "---", "inf", '"12.5"', "0x10"])
def test_one_text_among_numbers_changes_none_of_them(odd: str) -> None:
    rows = [f"2026-06-01T14:00:0{k}Z,41.{k},-131.123456789{k},{k}e-1" for k in range(9)]
    heading = "time,lat,lon,ias_kt"
    numbers = read("\n".join([heading, *rows]))
    mixed = read("\n".join([heading, *rows, f"2026-06-01T14:00:09Z,41,-131,{odd}"]))
    np.testing.assert_array_equal(mixed.lon_deg[:-1], numbers.lon_deg)
    np.testing.assert_array_equal(mixed.channels["ias_kt"][:-1], numbers.channels["ias_kt"])
    assert np.isfinite(mixed.channels["ias_kt"][-1]) == ("12.5" in odd)
    told = any("is not" in line or "are not" in line for line in mixed.account)
    assert told == (odd in ("nan", "---", "inf", "0x10"))


CLOCK = Clock(start_utc=datetime(2026, 6, 1, 14, 0, tzinfo=UTC), every_s=None)


@pytest.mark.parametrize(
    ("text", "clock", "second_s"),
    [
        ("seconds,lat,lon\n0,41,-131\n2.5,41,-131\n", CLOCK, 2.5),
        ("lat,lon\n41,-131\n41,-131\n", replace(CLOCK, every_s=0.5), 0.5),
        ("time_s,lat,lon\n1780322500,41,-131\n1780322501,41,-131\n", CLOCK, 101.0),
    ],
)
def test_the_pilot_says_the_time_that_is_not_there(
    text: str, clock: Clock, second_s: float
) -> None:
    """A time that was recorded is not written over."""
    track = read_csv(NOWHERE, text.encode(), clock=clock)
    assert track.time_s[1] - START_S == pytest.approx(second_s)
    said = "as you said: from 2026-06-01 14:00:00 UTC" in " ".join(track.account)
    assert said is (second_s < 100.0)


def test_a_column_without_a_heading_is_no_date() -> None:
    """An index of rows, as tables are often written with."""
    track = read(",time,lat,lon\n0,2026-06-01T14:00:00Z,41,-131\n")
    assert track.time_s[0] == START_S


def test_half_a_position_is_completed_by_its_neighbor_alone() -> None:
    guess = guess_column_map(["time,lat,X,Y", f"{START_S:.0f},41.123456,-131.123456,7.654321"])
    assert guess.by_values == ("X",)
    assert guess.column_map is not None
    assert guess.column_map.columns["lon_deg"].heading == "X"
