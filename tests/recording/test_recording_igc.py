"""Reading flight recorder files."""

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from recording_files import igc_fix, igc_flight, igc_text

from lubberline.errors import BadFile
from lubberline.recording.igc import read_igc
from lubberline.recording.raw import RawTrack
from lubberline.units import FT_PER_M

NOWHERE = Path("flight.igc")


def read(*fixes: str, header: tuple[str, ...] = ("HFDTE010626",)) -> RawTrack:
    return read_igc(NOWHERE, igc_text(*fixes, header=header).encode())


def clock(track: RawTrack) -> list[str]:
    return [f"{datetime.fromtimestamp(t, UTC):%d %H:%M:%S}" for t in track.time_s]


def test_heights_become_feet_and_keep_their_sign() -> None:
    track = read(igc_fix("140000", pressure_m=-12, gnss_m=1000))
    assert track.pressure_ft[0] == pytest.approx(-12 * FT_PER_M)
    assert track.gnss_ft[0] == pytest.approx(1000 * FT_PER_M)


def test_south_and_west_are_negative() -> None:
    track = read(igc_fix("140000", -33.5, -70.25), igc_fix("140001", 33.5, 170.25))
    np.testing.assert_allclose(track.lat_deg, [-33.5, 33.5])
    np.testing.assert_allclose(track.lon_deg, [-70.25, 170.25])


@pytest.mark.parametrize("date", ["HFDTE010626", "HFDTEDATE:010626,01", "HODTE010626"])
def test_both_forms_of_the_date_are_read(date: str) -> None:
    assert clock(read(igc_fix("140000"), header=(date,))) == ["01 14:00:00"]


def test_midnight_begins_the_next_day() -> None:
    fixes = [igc_fix(text) for text in ("235958", "235959", "000000", "000001")]
    assert clock(read(*fixes)) == ["01 23:59:58", "01 23:59:59", "02 00:00:00", "02 00:00:01"]


def test_a_late_record_from_before_midnight_stays_in_its_day() -> None:
    fixes = [igc_fix(text) for text in ("235958", "000001", "235959", "000002")]
    assert clock(read(*fixes)) == ["01 23:59:58", "02 00:00:01", "01 23:59:59", "02 00:00:02"]


def test_a_second_backward_is_not_a_day_forward() -> None:
    assert clock(read(igc_fix("140001"), igc_fix("140000"))) == ["01 14:00:01", "01 14:00:00"]


def test_a_second_date_record_starts_its_own_count() -> None:
    fixes = (igc_fix("235959"), igc_fix("000000"), "HFDTE020626", igc_fix("000001"))
    assert clock(read(*fixes)) == ["01 23:59:59", "02 00:00:00", "02 00:00:01"]


def test_extensions_become_channels_in_our_units() -> None:
    header = ("HFDTE010626", "I053638FXA3941IAS4246GSP4749TRT5052VAT")
    track = read(igc_fix("140000", further="02118510000090-15"), header=header)
    assert track.channels["fix_accuracy_ft"][0] == pytest.approx(21 * FT_PER_M)
    assert track.channels["ias_kt"][0] == pytest.approx(185 / 1.852)
    assert track.channels["ground_kt"][0] == pytest.approx(100.0 / 1.852)  # 100.00 km/h
    assert track.channels["track_true_deg"][0] == 90.0
    assert track.channels["total_energy_climb_fpm"][0] == pytest.approx(-1.5 * 60.0 * FT_PER_M)


def test_further_digits_sharpen_time_and_place() -> None:
    header = ("HFDTE010626", "I033636LAD3737LOD3839TDS")
    track = read(igc_fix("140000", 41.0, -131.0, further="5725"), header=header)
    assert track.lat_deg[0] == pytest.approx(41.0 + 0.0005 / 60.0, abs=1e-9)
    assert track.lon_deg[0] == pytest.approx(-131.0 - 0.0007 / 60.0, abs=1e-9)
    assert track.time_s[0] % 1.0 == pytest.approx(0.25)


def test_a_blank_extension_is_not_known_and_an_unknown_one_is_named() -> None:
    header = ("HFDTE010626", "I023638FXA3941XQX")
    track = read(igc_fix("140000", further="   123"), header=header)
    assert np.isnan(track.channels["fix_accuracy_ft"]).all()
    assert any("XQX" in line for line in track.account)


def test_a_fix_without_satellites_has_neither_their_height_nor_an_old_position() -> None:
    fixes = [igc_fix("140000"), igc_fix("140001", validity="V"), igc_fix("140002", 41.01)]
    track = read(*fixes)
    assert np.isnan(track.gnss_ft).tolist() == [False, True, False]
    assert np.isnan(track.lat_deg).tolist() == [False, True, False]
    assert np.isfinite(track.pressure_ft).all()
    assert any("marked V" in line for line in track.account)


@pytest.mark.parametrize(
    ("header", "reference"),
    [
        ((), "ellipsoid"),
        (("HFALGALTGPS:ELL",), "ellipsoid"),
        (("HFALGALTGPS:GEO",), "msl"),
        (("HFALGALTGPS:NKM",), "unknown"),
    ],
)
def test_the_header_says_what_satellite_heights_are_above(
    header: tuple[str, ...], reference: str
) -> None:
    track = read(igc_fix("140000"), header=("HFDTE010626", *header))
    assert track.gnss_reference == reference


def test_a_sensor_that_only_gives_zeros_is_not_there() -> None:
    track = read(*(igc_fix(f"1400{s:02d}", pressure_m=0) for s in range(3)))
    assert np.isnan(track.pressure_ft).all()
    assert any("pressure height is 0" in line for line in track.account)


def test_a_damaged_record_is_left_out_and_counted() -> None:
    track = read(igc_fix("140000"), igc_fix("140001").replace("N", "X"), igc_fix("146102"))
    assert track.time_s.size == 1
    assert "2 B records could not be read and left out; the first is line 4." in track.account


def test_a_file_cut_off_in_a_record_says_so() -> None:
    data = igc_flight(30).encode()
    cut = data[: data.rindex(b"B140029") + 20]
    track = read_igc(NOWHERE, cut)
    assert track.time_s.size == 29
    assert any("cut off" in line for line in track.account)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("AXQQ001\r\nHFDTE010626\r\n", "no B record"),
        ("AXQQ001\r\nHFDTE010626\r\nB1400004100000N131", "none of which can be read"),
        ("AXQQ001\r\n" + igc_fix("140000"), "no H record with a date"),
        ("AXQQ001\r\nHFDTE000000\r\n" + igc_fix("140000"), "no H record with a date"),
    ],
)
def test_a_file_without_fixes_or_date_is_refused(text: str, message: str) -> None:
    with pytest.raises(BadFile, match=message):
        read_igc(NOWHERE, text.encode())
