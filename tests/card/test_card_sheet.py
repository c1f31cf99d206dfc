"""The card says what the plan says, fits its paper, and its template uses all of it."""

import io
import re
from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader

import lubberline.card
from lubberline import loop
from lubberline.card import Sheet, make_sheet, render
from lubberline.card.sheet import LegRow, Pair
from lubberline.demo import write_folder

TEMPLATE = Path(lubberline.card.__file__).with_name("sheet.typ").read_text(encoding="utf-8")
A5_PT = (419.5, 595.3)  # 148 mm by 210 mm
MARGIN_PT = 25.5  # 9 mm


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Sheet:
    folder = write_folder(tmp_path_factory.mktemp("card") / "folder")
    one = loop.prepare(folder, None)
    return make_sheet(one.plan, one.way, one.findings, pledge_sha256="0123456789abcdef" * 4)


def words(text: str) -> str:
    """The text without spaces or line breaks: where it is broken is the template's business."""
    return re.sub(r"[\s\u00ad\u2010-]+", "", text)


def pages(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages]


def every_text(sheet: Sheet) -> list[str]:
    """Each text of a sheet, its rows and pairs included."""
    found: list[str] = []
    for field in fields(sheet):
        value = getattr(sheet, field.name)
        for one in [value] if isinstance(value, str) else value:
            if isinstance(one, str):
                found.append(one)
            else:
                found += [getattr(one, part.name) for part in fields(one)]
    return found


def test_template_and_sheet_use_each_other_wholly() -> None:
    assert set(re.findall(r"\bs\.(\w+)", TEMPLATE)) == {field.name for field in fields(Sheet)}
    assert set(re.findall(r"\bleg\.(\w+)", TEMPLATE)) == {field.name for field in fields(LegRow)}
    assert set(re.findall(r"\brow\.(\w+)", TEMPLATE)) == {field.name for field in fields(Pair)}


def test_every_word_and_number_of_the_sheet_is_printed(sheet: Sheet) -> None:
    printed = words("".join(pages(render(sheet, "pdf"))))
    for text in every_text(sheet):
        assert words(text).lower() in printed.lower(), text


def test_the_demo_is_one_page_of_a5(sheet: Sheet) -> None:
    reader = PdfReader(io.BytesIO(render(sheet, "pdf")))
    assert len(reader.pages) == 1
    size = reader.pages[0].mediabox
    assert (float(size.width), float(size.height)) == pytest.approx(A5_PT, abs=0.5)


def sizes_and_places(pdf: bytes) -> list[tuple[float, float, float]]:
    """Font size, right end and y of each printed piece [pt]; every sign is 0.602 of its size."""
    found: list[tuple[float, float, float]] = []
    for page in PdfReader(io.BytesIO(pdf)).pages:

        def visit(
            text: str, current: list[float], line: list[float], font: object, size: float
        ) -> None:
            if text.strip():
                scale = abs(line[3]) * abs(current[3])
                wide_pt = len(text.strip()) * size * scale * 0.602
                found.append((size * scale, line[4] + wide_pt, line[5]))

        page.extract_text(visitor_text=visit)
    return found


def test_nothing_is_smaller_than_eight_points(sheet: Sheet) -> None:
    assert min(size for size, _, _ in sizes_and_places(render(sheet, "pdf"))) >= 7.99


def long_sheet(sheet: Sheet, random: np.random.Generator) -> Sheet:
    """A sheet of 2 to 25 legs with long names in three scripts."""
    letters = ("abcdefgh", "αβγδεζηθ", "абвгдежз")

    def name() -> str:
        script = letters[int(random.integers(3))]
        return " ".join(
            "".join(random.choice(list(script), int(random.integers(3, 12))))
            for _ in range(int(random.integers(1, 6)))
        )

    legs = tuple(replace(sheet.legs[0], to=name()) for _ in range(int(random.integers(2, 26))))
    pairs = tuple(Pair(label=name(), text=name()) for _ in range(int(random.integers(1, 12))))
    heed = tuple(f"close: {name()}" for _ in range(int(random.integers(0, 12))))
    return replace(sheet, legs=legs, airspace=pairs, heed=heed, way=name())


@pytest.mark.parametrize("seed", range(30))
def test_long_flights_take_a_second_page_and_lose_nothing(sheet: Sheet, seed: int) -> None:
    made = long_sheet(sheet, np.random.default_rng(seed))
    pdf = render(made, "pdf")
    texts = pages(pdf)
    printed = words("".join(texts))
    for text in [leg.to for leg in made.legs] + [pair.text for pair in made.airspace]:
        assert words(text) in printed
    assert all(words(made.route) in words(text) for text in texts), "each page has the heading"
    for size, right_pt, y_pt in sizes_and_places(pdf):
        assert size >= 7.99
        assert right_pt <= A5_PT[0] - MARGIN_PT + 3.0
        assert 0.0 <= y_pt <= A5_PT[1]
