"""Airspace is drawn as the government's charts do, in inks that can be read on both papers."""

import re
from pathlib import Path

import numpy as np
import pytest

import lubberline.page
from lubberline.page.charting import (
    chart_style,
    class_row,
    height_words,
    heights_row,
    heights_texts,
    hundreds,
)
from lubberline.places import Circle, Height, Volume

STYLES = Path(lubberline.page.__file__).parent / "templates" / "page.css"
SURFACE = Height(reference="SFC", ft=0.0)
CEILING = Height(reference="MSL", ft=2500.0)


def volume(letter: str, floor: Height = SURFACE, ceiling: Height = CEILING) -> Volume:
    return Volume(
        id="Q",
        name="Quay",
        airspace_class=letter,
        group="",
        facility="",
        floor=floor,
        ceiling=ceiling,
        footprint=Circle(lat_deg=41.0, lon_deg=-131.0, radius_nm=4.0),
    )


# FAA Aeronautical Information Manual, 3-2-3 to 3-2-6 and 3-4: B solid blue, C solid magenta, D
# dashed blue, E from the surface dashed magenta, E from 700 ft a magenta shade, E from 1,200 ft a
# blue one, prohibited, restricted and warning areas blue hatched, military operations (M) and alert
# areas (L) magenta hatched; national security areas (N) dashed and veils (V) magenta: memory.
@pytest.mark.parametrize(
    ("letter", "floor", "ink", "is_dashed", "how"),
    [
        ("B", SURFACE, "blue", False, ""),
        ("C", SURFACE, "magenta", False, ""),
        ("D", SURFACE, "blue", True, ""),
        ("E", SURFACE, "magenta", True, ""),
        ("E", Height(reference="AGL", ft=700.0), "magenta", False, "shaded"),
        ("E", Height(reference="AGL", ft=1200.0), "blue", False, "shaded"),
        ("P", SURFACE, "blue", False, "hatched"),
        ("R", SURFACE, "blue", False, "hatched"),
        ("W", SURFACE, "blue", False, "hatched"),
        ("M", SURFACE, "magenta", False, "hatched"),
        ("L", SURFACE, "magenta", False, "hatched"),
        ("N", SURFACE, "magenta", True, ""),
        ("V", SURFACE, "magenta", False, ""),
        ("Q", SURFACE, "grey", True, ""),
    ],
)
def test_each_class_has_its_line(
    letter: str, floor: Height, ink: str, is_dashed: bool, how: str
) -> None:
    style = chart_style(volume(letter, floor))
    assert style.stroke.ink == ink
    assert bool(style.stroke.dash) == is_dashed
    assert (style.shaded, style.hatched) == (how == "shaded", how == "hatched")


@pytest.mark.parametrize(
    ("drawn", "row"),
    [
        (volume("D"), "[25]"),
        (
            volume("B", Height(reference="MSL", ft=1500.0), Height(reference="MSL", ft=7000.0)),
            "70/15",
        ),
        (volume("C"), "25/SFC"),
        (volume("R", SURFACE, Height(reference="MSL", ft=17_999.0)), "179.99/SFC"),
        (volume("E", Height(reference="AGL", ft=700.0)), "E 7 AGL"),
        (volume("D", Height(reference="MSL", ft=1200.0)), "25/12"),
    ],
)
def test_heights_stand_in_hundreds_of_feet(drawn: Volume, row: str) -> None:
    assert heights_row(drawn) == row


def test_ceiling_stands_over_floor() -> None:
    assert heights_texts(volume("B")) == ("<u>25</u><br>SFC",)


def test_special_use_has_its_name_and_class_e_its_letter_once() -> None:
    assert heights_texts(volume("R"))[0] == "Quay<br>25/SFC"
    assert class_row(volume("E", Height(reference="AGL", ft=700.0))) == "E 7 AGL"
    assert class_row(volume("B")) == "B 25/SFC"


@pytest.mark.parametrize(
    ("height", "short", "words"),
    [
        (SURFACE, "SFC", "the ground"),
        (Height(reference="AGL", ft=0.0), "SFC", "the ground"),
        (Height(reference="AGL", ft=1200.0), "12 AGL", "1,200 ft AGL"),
        (Height(reference="MSL", ft=4500.0), "45", "4,500 ft MSL"),
        (Height(reference="MSL", ft=0.0), "0", "0 ft MSL"),
    ],
)
def test_a_height_says_its_reference(height: Height, short: str, words: str) -> None:
    assert hundreds(height) == short
    assert height_words(height) == words


def inks(theme: int) -> dict[str, str]:
    """Inks of the light (0) or the dark (1) paper, as the style sheet gives them."""
    blocks = re.findall(r":root[^{]*\{(.*?)\}", STYLES.read_text(encoding="utf-8"), flags=re.DOTALL)
    return dict(re.findall(r"--([\w-]+): (#\w{6})", blocks[theme]))


def luminance(color: str) -> float:
    """Relative luminance, Web Content Accessibility Guidelines 2.2, W3C 2023, definitions."""
    parts = [int(color[at : at + 2], 16) / 255.0 for at in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_computed_as_published() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)  # W3C, memory


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize("ink", ["ink", "soft", "inside", "close", "outside", "unknown"])
def test_words_can_be_read(theme: int, ink: str) -> None:
    assert contrast(inks(theme)[ink], inks(theme)["paper"]) >= 4.5  # the same, criterion 1.4.3


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["paper", "land", "water"])
@pytest.mark.parametrize("ink", ["ink", "blue", "magenta", *(f"way-{n}" for n in range(1, 7))])
def test_lines_can_be_seen(theme: int, ground: str, ink: str) -> None:
    assert contrast(inks(theme)[ink], inks(theme)[ground]) >= 3.0  # the same, criterion 1.4.11


@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
def test_both_papers_have_the_same_inks(theme: int) -> None:
    assert inks(theme).keys() == inks(0).keys()
    assert len(inks(theme)) == 21


# Machado, Oliveira, Fernandes, A physiologically-based model for simulation of color vision
# deficiency, IEEE TVCG 15 (2009), matrices of severity 1.0 (memory), on linear colors.
VISION = {
    "usual": np.eye(3),
    "no red": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "no green": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "no blue": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}
XYZ_OF_RGB = np.array(  # IEC 61966-2-1, white D65
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)
WHITE = XYZ_OF_RGB.sum(axis=1)


def seen_as(color: str, vision: str) -> np.ndarray:
    """A color in CIE L*a*b* (CIE 15), as someone sees it."""
    parts = np.array([int(color[at : at + 2], 16) / 255.0 for at in (1, 3, 5)])
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    shares = XYZ_OF_RGB @ np.clip(VISION[vision] @ linear, 0.0, 1.0) / WHITE
    x, y, z = np.where(shares > 216 / 24389, np.cbrt(shares), (24389 / 27 * shares + 16) / 116)
    return np.array([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)])


def test_white_is_white() -> None:
    assert seen_as("#ffffff", "usual") == pytest.approx([100.0, 0.0, 0.0], abs=0.1)


@pytest.mark.parametrize("vision", VISION)
@pytest.mark.parametrize("theme", [0, 1], ids=["light", "dark"])
def test_ways_and_airspace_stay_apart_for_every_eye(theme: int, vision: str) -> None:
    ways = [inks(theme)[f"way-{number}"] for number in range(1, 7)]
    airspace = [inks(theme)[ink] for ink in ("blue", "magenta")]
    for index, one in enumerate(ways):
        for other in (*ways[:index], *airspace):
            apart = np.linalg.norm(seen_as(one, vision) - seen_as(other, vision))
            assert apart > 10.0, f"{one} {other}"  # own: 2.3 is just noticeable
