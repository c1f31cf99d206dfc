"""Vertical limits, letters and coordinates in every way that they are written."""

import pytest

from lubberline.places.published._account import Unfit
from lubberline.places.published._coordinates import angle_deg, place_of
from lubberline.places.published._letters import letter_of
from lubberline.places.published._limits import limit_of

M_FT = 1.0 / 0.3048


@pytest.mark.parametrize(
    ("text", "reference", "ft"),
    [
        *[("FL 65", "MSL", 6_500.0), ("FL065", "MSL", 6_500.0), ("FL 95 STD", "MSL", 9_500.0)],
        *[("2500ft MSL", "MSL", 2_500.0), ("2500 MSL", "MSL", 2_500.0), ("2500", "MSL", 2_500.0)],
        *[("2500 FT AMSL", "MSL", 2_500.0), ("1,500 ft", "MSL", 1_500.0), ("2500F", "MSL", 2_500)],
        *[("1000 ft AGL", "AGL", 1_000.0), ("1000ft GND", "AGL", 1_000.0)],
        *[("500 ASFC", "AGL", 500.0), ("500 SFC", "AGL", 500.0), ("1200.5 AGL", "AGL", 1_200.5)],
        *[("300m AGL", "AGL", 300 * M_FT), ("1500 m AMSL", "MSL", 1_500 * M_FT)],
        *[
            ("4500MSL", "MSL", 4_500.0),
            ("4500FTAMSL", "MSL", 4_500.0),
            ("100MAGL", "AGL", 100 * M_FT),
        ],
        *[("100 MAMSL", "MSL", 100 * M_FT), ("4500 ft. MSL", "MSL", 4_500.0)],
        *[("1500M MSL", "MSL", 1_500 * M_FT), ("4429.133858 MSL", "MSL", 4_429.133858)],
    ],
)
@pytest.mark.parametrize("upper", [True, False])
def test_a_limit_is_understood(text: str, reference: str, ft: float, upper: bool) -> None:
    height, _ = limit_of(text, upper=upper)
    assert height.reference == reference
    assert height.ft == pytest.approx(ft)


@pytest.mark.parametrize("text", ["SFC", "gnd", "0 AGL", "0ft GND", "Surface"])
def test_the_ground_is_a_floor_and_no_ceiling(text: str) -> None:
    assert limit_of(text, upper=False)[0].reference == "SFC"
    assert limit_of(text, upper=True)[0].ft == 60_000.0


@pytest.mark.parametrize("text", ["UNL", "UNLIM", "Unlimited", "", "-9998", "999999", "abc"])
def test_what_is_no_ceiling_is_unlimited_and_the_note_says_so(text: str) -> None:
    height, note = limit_of(text, upper=True)
    assert (height.reference, height.ft) == ("MSL", 60_000.0)
    assert "taken as unlimited" in note


@pytest.mark.parametrize("text", ["1.500 ft", "100m/FL20", "FL", "ft", "FL 65 66", "-9998", "nan"])
def test_what_is_no_floor_is_the_ground_and_the_note_says_so(text: str) -> None:
    height, note = limit_of(text, upper=False)
    assert height.reference == "SFC"
    assert "taken as the ground" in note


@pytest.mark.parametrize(
    ("airspace_class", "kind", "letter"),
    [
        *[("D", "", "D"), ("c", "tma", "C"), ("G", "R", "R"), ("D", "P", "P"), ("G", "Q", "Q")],
        *[("", "D", "Q"), ("", "CTR", "C"), ("UNC", "", "U"), ("", "GSEC", "U")],
        ("", "MODE C", "V"),
    ],
)  # fmt: skip
def test_a_letter_follows_from_class_and_type(airspace_class: str, kind: str, letter: str) -> None:
    assert letter_of(airspace_class, kind)[0] == letter


@pytest.mark.parametrize(
    "text",
    [
        *["41:05:30 N 130:30:54 W", "41:05:30N,130:30:54W", "N41:05:30 W130:30:54"],
        *["41:05.5N 130:30.9W", "410530N 1303054W", "41.0916667N130.515W"],
        "41 05 30 n / 130 30 54 w",
    ],
)  # fmt: skip
def test_a_place_is_the_same_however_it_is_written(text: str) -> None:
    assert place_of(text) == pytest.approx((41.0916667, -130.515), abs=1e-7)


@pytest.mark.parametrize(
    "text",
    ["", "41N", "41:05:30 130:30:54", "41:61:00N 130:00:00W", "91N 1E", "41N 181W", "4.1.1N 1E"],
)
def test_what_is_no_place_is_unfit(text: str) -> None:
    with pytest.raises(Unfit):
        place_of(text)


@pytest.mark.parametrize("text", ["131", "410530", "", "41 05 30 10", "--41"])
def test_what_is_no_latitude_is_unfit(text: str) -> None:
    with pytest.raises(Unfit):
        angle_deg(text, "NS")
