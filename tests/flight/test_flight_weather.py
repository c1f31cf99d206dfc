import re
from pathlib import Path

import numpy as np
import pytest

from lubberline.demo import write_folder
from lubberline.flight import read_plan

TABLE = """
DATA BASED ON 251200Z
VALID 251800Z   FOR USE 1400-2100Z. TEMPS NEG ABV 24000
FT  3000    6000    9000
QWRN 2610 2720+02 2830-04
QMRL 2610 2720+02 2830-04

DATA BASED ON 251200Z
VALID 260000Z   FOR USE 2100-0600Z. TEMPS NEG ABV 24000
FT  3000    6000    9000
QWRN 2620 2730+04 2840-02
QMRL 2620 2730+04 2840-02
"""


@pytest.fixture
def flight(tmp_path: Path) -> Path:
    folder = write_folder(tmp_path / "pilot")
    with (folder / "weather.txt").open("a", encoding="utf-8") as weather:
        weather.write(TABLE)
    return folder


def without_rows(folder: Path) -> None:
    path = folder / "flight.toml"
    text = re.sub(r"\[\[wind_aloft\]\]\n(?:\w+ = .*\n)+", "", path.read_text(encoding="utf-8"))
    path.write_text(text, encoding="utf-8")


def test_the_pilot_s_own_rows_hold_before_any_table(flight: Path) -> None:
    own = read_plan(flight).weather
    assert len(own.tables) == 2
    assert own.aloft.msl_ft.tolist() != [3_000.0, 6_000.0, 9_000.0]


def test_without_rows_the_tables_hold_for_the_middle_of_the_flight(flight: Path) -> None:
    without_rows(flight)
    plan = read_plan(flight)
    aloft = plan.weather.aloft
    assert aloft.msl_ft.tolist() == [3_000.0, 6_000.0, 9_000.0]
    np.testing.assert_allclose(aloft.from_true_deg, [260.0, 270.0, 280.0])
    assert 15.0 < float(aloft.wind_kt[0]) < 20.0  # between 18Z and 00Z, off block at 21Z
    assert plan.weather.unread == ()
