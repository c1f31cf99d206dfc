"""Published records of the US Digital Obstacle File, decoded to the last figure."""

from pathlib import Path

import numpy as np
import pytest

from lubberline.places import Obstacles
from lubberline.places.published import read_obstacles
from lubberline.units import FT_PER_NM

# Digital Obstacle File, DOF.DAT of 2014-05-18 and later: a record printed in the documentation of
# a reader, with its meaning: 30°10'45"N 088°04'39"W, rig, 236 ft AGL and AMSL, red light,
# horizontal accuracy 5 = 500 ft, vertical D = 50 ft.
DAUPHIN = (
    "01-001307 O US AL DAUPHIN ISLAND   30 10 45.00N 088 04 39.00W RIG                1"
    " 00236 00236 R 5 D M 1990ASO01578OE C 2014138"
)
# The CSV edition: its header and two records as another reader's tests quote them.
CSV_HEADER = (
    "OAS,VERIFIED STATUS,COUNTRY,STATE,CITY,LATDEC,LONDEC,DMSLAT,DMSLON,TYPE,QUANTITY,AGL,AMSL,"
    "LIGHTING,ACCURACY,MARKING,FAA STUDY,ACTION,JDATE"
)
GREENWICH = (
    "09-021145,O,US,CT,GREENWICH       ,41.005065,-73.648312,41 00 18.23N,073 38 53.92W,"
    "TOWER             ,1,00084,00137,N, 2C,N,2011ANE01884OE,A,2012268 "
)
OAKDALE = (
    "09-000279,O,US,CT,OAKDALE         ,41.417500,-72.198134,41 25 03.00N,072 11 53.28W,"
    "TOWER             ,1,01090,01399,H, 1A,N,2022ANE00687OE,C,2023003"
)
# Accuracy codes of the same file: horizontal 1 to 6 in feet, 7 and 8 in nautical miles, 9 not
# known; vertical A to H in feet, I not known.
LATERAL_FT = {"1": 20, "2": 50, "3": 100, "4": 250, "5": 500, "6": 1_000}
LATERAL_NM = {"7": 0.5, "8": 1.0, "9": np.nan}
VERTICAL_FT = {"A": 3, "B": 10, "C": 20, "D": 50, "E": 125, "F": 250, "G": 500, "H": 1_000}
# Lighting codes: R red, D and H white and red, M and S white, F flood, C catenary, W red, L
# lighted; N none, U unknown.
LIGHTS = {**dict.fromkeys("RDHMSFCWL", True), "N": False, "U": False}


def decoded(tmp_path: Path, name: str, *lines: str) -> Obstacles:
    (tmp_path / name).write_text("\r\n".join(lines) + "\r\n")
    obstacles = read_obstacles(tmp_path / name).obstacles
    assert obstacles is not None
    return obstacles


def test_the_printed_record_is_decoded_exactly(tmp_path: Path) -> None:
    rig = decoded(tmp_path, "DOF.DAT", "CURRENCY DATE = 05/18/14", "-" * 127, DAUPHIN)
    assert rig.lat_deg[0] == pytest.approx(30 + 10 / 60 + 45 / 3600, abs=1e-12)
    assert rig.lon_deg[0] == pytest.approx(-(88 + 4 / 60 + 39 / 3600), abs=1e-12)
    assert (rig.top_agl_ft[0], rig.top_msl_ft[0]) == (236.0, 236.0)
    assert rig.lateral_doubt_nm[0] * FT_PER_NM == pytest.approx(500.0)
    assert rig.vertical_doubt_ft[0] == 50.0
    assert (rig.kind[0], bool(rig.lit[0])) == ("RIG", True)


@pytest.mark.parametrize(
    ("row", "lat_dms", "lon_dms", "tops_ft", "doubts_ft", "lit"),
    [
        (GREENWICH, (41, 0, 18.23), (73, 38, 53.92), (84, 137), (50, 20), False),
        (OAKDALE, (41, 25, 3.0), (72, 11, 53.28), (1_090, 1_399), (20, 3), True),
    ],
)
def test_records_of_the_csv_edition_agree_with_their_own_other_columns(
    tmp_path: Path,
    row: str,
    lat_dms: tuple[float, float, float],
    lon_dms: tuple[float, float, float],
    tops_ft: tuple[float, float],
    doubts_ft: tuple[float, float],
    lit: bool,
) -> None:
    tower = decoded(tmp_path, "DOF.CSV", CSV_HEADER, row)
    lat_deg, lon_deg = (d + m / 60 + s / 3600 for d, m, s in (lat_dms, lon_dms))
    printed_deg = 0.01 / 3600  # a hundredth of a second
    assert tower.lat_deg[0] == pytest.approx(lat_deg, abs=printed_deg)
    assert tower.lon_deg[0] == pytest.approx(-lon_deg, abs=printed_deg)
    assert (tower.top_agl_ft[0], tower.top_msl_ft[0]) == tops_ft
    assert tower.lateral_doubt_nm[0] * FT_PER_NM == pytest.approx(doubts_ft[0])
    assert (tower.vertical_doubt_ft[0], bool(tower.lit[0])) == (doubts_ft[1], lit)
    assert tower.kind[0] == "TOWER"


@pytest.mark.parametrize("code", "123456789")
def test_each_horizontal_code_is_its_doubt(tmp_path: Path, code: str) -> None:
    rig = decoded(tmp_path, "DOF.DAT", DAUPHIN[:97] + code + DAUPHIN[98:])
    expected_nm = LATERAL_NM.get(code, LATERAL_FT.get(code, 0.0) / FT_PER_NM)
    np.testing.assert_allclose(rig.lateral_doubt_nm, [expected_nm])


@pytest.mark.parametrize("code", "ABCDEFGHI")
def test_each_vertical_code_is_its_doubt(tmp_path: Path, code: str) -> None:
    rig = decoded(tmp_path, "DOF.DAT", DAUPHIN[:99] + code + DAUPHIN[100:])
    np.testing.assert_allclose(rig.vertical_doubt_ft, [VERTICAL_FT.get(code, np.nan)])


@pytest.mark.parametrize(("code", "lit"), LIGHTS.items())
def test_each_lighting_code_is_light_or_none(tmp_path: Path, code: str, lit: bool) -> None:
    rig = decoded(tmp_path, "DOF.DAT", DAUPHIN[:95] + code + DAUPHIN[96:])
    assert bool(rig.lit[0]) is lit
