"""Flight recorder files against the example of the specification and against another reader.

Source of the lines: FAI, Technical Specification for IGC-Approved GNSS Flight Recorders, appendix
A, example file, as kept with the general library aerofiles (tests/igc/data/example.igc, read).
The header lines that name persons are left out. Decoded values are computed by hand from the
layout of the B record: DDMMmmm, DDDMMmmm, meters.
"""

import io
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from lubberline.recording.clean import clean
from lubberline.recording.igc import read_igc
from lubberline.recording.raw import RawTrack
from lubberline.units import FT_PER_M

EXAMPLE = """\
AXXXABC FLIGHT:1
HFFXA035
HFDTE160701
HFDTM100GPSDATUM: WGS-1984
HFTZNTIMEZONE:+3.00
HFGPS:MarconiCanada, Superstar,12ch, max10000m
I033638FXA3940SIU4143ENL
J010812HDT
C150701213841160701000102 500K Tri
C5111359N00101899W Lasham Clubhouse
F160240040609123624221821
B1602405407121N00249342WA002800042120509950
D20331
E160245PEV
B1602455107126N00149300WA002880042919509020
B1602505107134N00149283WA002900043221009015
B1602555107140N00149221WA002900043020009012
F1603000609123624221821
B1603005107150N00149202WA002910043225608009
E160305PEV
B1603055107180N00149185WA002910043521008015
B1603105107212N00149174WA002930043519608024
K16024800090
B2202485107220N00149150WA004940043619008018
B1602525107330N00149127WA004960043919508015
LXXXRURITANIAN STANDARD NATIONALS DAY 1
GREJNGJERJKNJKRE31895478537H43982FJN9248F942389T433T
"""

# Fix number, clock, degrees and minutes, meters, and what the I record cuts out of the rest.
FIXES = [
    (0, "16:02:40", (54, 7.121), (2, 49.342), 280, 421, (205, 9, 950)),
    (1, "16:02:45", (51, 7.126), (1, 49.300), 288, 429, (195, 9, 20)),
    (2, "16:02:50", (51, 7.134), (1, 49.283), 290, 432, (210, 9, 15)),
    (4, "16:03:00", (51, 7.150), (1, 49.202), 291, 432, (256, 8, 9)),
    (6, "16:03:10", (51, 7.212), (1, 49.174), 293, 435, (196, 8, 24)),
    (7, "22:02:48", (51, 7.220), (1, 49.150), 494, 436, (190, 8, 18)),
]
# Decimal degrees as the dossier of this project computed them from the first two records.
DECIMAL_DEG = [(0, "54.118683", "-2.822367"), (1, "51.118767", "-1.821667")]


def example() -> RawTrack:
    return read_igc(Path("example.igc"), EXAMPLE.replace("\n", "\r\n").encode())


@pytest.mark.parametrize(
    ("number", "clock", "north", "west", "pressure_m", "gnss_m", "more"), FIXES
)
def test_a_fix_of_the_example_is_read(
    number: int,
    clock: str,
    north: tuple[int, float],
    west: tuple[int, float],
    pressure_m: int,
    gnss_m: int,
    more: tuple[int, int, int],
) -> None:
    track = example()
    moment = datetime.fromtimestamp(track.time_s[number], UTC)
    assert f"{moment:%Y-%m-%d %H:%M:%S}" == f"2001-07-16 {clock}"
    assert track.lat_deg[number] == pytest.approx(north[0] + north[1] / 60.0, abs=1e-9)
    assert track.lon_deg[number] == pytest.approx(-(west[0] + west[1] / 60.0), abs=1e-9)
    assert track.pressure_ft[number] / FT_PER_M == pytest.approx(pressure_m)
    assert track.gnss_ft[number] / FT_PER_M == pytest.approx(gnss_m)
    accuracy_m = track.channels["fix_accuracy_ft"][number] / FT_PER_M
    found = (
        accuracy_m,
        *(track.channels[n][number] for n in ("satellites_count", "engine_noise_index")),
    )
    assert found == pytest.approx(more)


@pytest.mark.parametrize(("number", "lat_deg", "lon_deg"), DECIMAL_DEG)
def test_decimal_degrees_agree_to_the_printed_digit(
    number: int, lat_deg: str, lon_deg: str
) -> None:
    track = example()
    assert track.lat_deg[number] == pytest.approx(float(lat_deg), abs=5e-7)
    assert track.lon_deg[number] == pytest.approx(float(lon_deg), abs=5e-7)


def test_satellite_heights_of_the_example_are_above_the_ellipsoid() -> None:
    assert example().gnss_reference == "ellipsoid"


def test_the_misprinted_first_latitude_of_the_example_is_seen_as_a_jump() -> None:
    """54 degrees where all others have 51: 340 km in 5 s, and the file is too short to say who
    is right, so one of two things must have happened to the first fix."""
    track, gaps, _ = clean(Path("example.igc"), example())
    first_gone = bool(np.isnan(track.lat_deg[0]))
    assert first_gone or any(gap.reason == "jump" for gap in gaps)


def test_ours_agrees_with_another_reader_on_ten_thousand_fixes() -> None:
    from aerofiles.igc import Reader

    rng = np.random.default_rng(7)
    numbers = [rng.integers(0, top, 10_000) for top in (90, 60_000, 180, 60_000, 9_000, 9_000)]
    lines = [
        f"B{second // 3600:02d}{second // 60 % 60:02d}{second % 60:02d}"
        f"{a:02d}{b:05d}{'NS'[b % 2]}{c:03d}{d:05d}{'EW'[d % 2]}A{e - 500:05d}{f:05d}{e % 900:03d}"
        for second, (a, b, c, d, e, f) in enumerate(zip(*numbers, strict=True))
    ]
    text = "\n".join(["AXQQ001", "HFDTE010626", "I013638FXA", *lines])
    ours = read_igc(Path("random.igc"), text.encode())
    theirs = Reader().read(io.StringIO(text))["fix_records"][1]
    for name, key, factor in (
        ("lat_deg", "lat", 1.0),
        ("lon_deg", "lon", 1.0),
        ("pressure_ft", "pressure_alt", FT_PER_M),
        ("gnss_ft", "gps_alt", FT_PER_M),
    ):
        expected = np.array([fix[key] for fix in theirs]) * factor
        np.testing.assert_allclose(getattr(ours, name), expected, rtol=0.0, atol=1e-8)
    seconds = np.array([fix["datetime"].timestamp() for fix in theirs])
    np.testing.assert_array_equal(ours.time_s, seconds)
