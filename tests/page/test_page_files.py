"""Pictures as files: whole, well-formed, every label clear of the others, and the same as dots."""

import json
import struct
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, Final
from xml.etree import ElementTree

import numpy as np
import pytest

from lubberline.errors import RangeError
from lubberline.loop import Prepared
from lubberline.page import write_pictures
from lubberline.page.figure import Figure
from lubberline.page.figure_svg import WIDE_PX, figure_svg
from lubberline.page.frame import Frame, box_of, frame_of, size_px, ticks
from lubberline.page.map_picture import map_picture
from lubberline.page.profile_picture import way_profile
from lubberline.page.settle import settled

SVG: Final = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def figures(prepared: Prepared) -> list[Figure]:
    plan, ways = prepared.plan, prepared.ways
    profiles = [way_profile(plan, number, way) for number, way in enumerate(ways, 1)]
    return [map_picture(plan, ways, prepared.way), *profiles]


@pytest.fixture(scope="module")
def written(prepared: Prepared, tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    return write_pictures(prepared, tmp_path_factory.mktemp("pictures") / "new")


def framed(figure: Figure) -> tuple[dict[str, Any], Frame]:
    content: dict[str, Any] = json.loads(figure.json)
    frame = frame_of(content["layout"], content["ratio"], wide_px=WIDE_PX, top_px=0.0)
    return content, frame


def elements(figure: Figure, name: str) -> Iterator[ElementTree.Element]:
    yield from ElementTree.fromstring(figure_svg(figure)).iter(f"{SVG}{name}")


def test_the_map_and_each_way_are_written_in_both_forms(
    written: list[Path], prepared: Prepared
) -> None:
    names = ["map", *(f"profile-{number}" for number in range(1, len(prepared.ways) + 1))]
    assert [path.name for path in written] == [f"{n}.{f}" for n in names for f in ("svg", "png")]


def test_a_file_in_the_place_of_the_folder_is_refused(prepared: Prepared, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("")
    with pytest.raises(RangeError, match="expected a folder to write into"):
        write_pictures(prepared, tmp_path / "taken")


def test_dots_are_twice_as_many_as_pixels(written: list[Path]) -> None:
    for drawn, dots in zip(written[::2], written[1::2], strict=True):
        root = ElementTree.fromstring(drawn.read_text(encoding="utf-8"))
        size = struct.unpack(">II", dots.read_bytes()[16:24])
        pixels = float(root.attrib["width"]), float(root.attrib["height"])
        assert size == pytest.approx([2.0 * one for one in pixels], abs=1.5)


def test_a_file_reaches_for_nothing_outside(figures: list[Figure]) -> None:
    for figure in figures:
        text = figure_svg(figure).replace("http://www.w3.org/2000/svg", "")
        assert not any(word in text for word in ("http", "href", "script", "import"))


def test_every_way_and_legend_row_is_in_the_file(figures: list[Figure], prepared: Prepared) -> None:
    words = {one.text for one in elements(figures[0], "text")}
    assert {f"{number} {way.name}" for number, way in enumerate(prepared.ways, 1)} <= words
    assert {prepared.plan.flight.departure_id, prepared.plan.flight.destination_id} <= words
    for figure in figures[1:]:
        assert {row.label for row in figure.caption.legend} <= {
            one.text for one in elements(figure, "text")
        }


def test_labels_in_files_touch_neither_each_other_nor_the_edge(figures: list[Figure]) -> None:
    for figure in figures:
        content, frame = framed(figure)
        boxes = [box for _, _, box in settled(content, frame)]
        assert len(boxes) > 5
        for index, (left, top, right, bottom) in enumerate(boxes):
            assert frame.area[0] - 1.0 <= left < right <= frame.area[2] + 1.0
            assert frame.area[1] - 1.0 <= top < bottom <= frame.area[3] + 1.0
            for other in boxes[:index]:
                apart = left >= other[2] or other[0] >= right
                assert apart or top >= other[3] or other[1] >= bottom


def test_a_value_stands_where_the_axes_say(figures: list[Figure]) -> None:
    content, frame = framed(figures[0])
    (west, east), (south, north) = frame.across, frame.up
    assert frame.x_px([west, east]).tolist() == [frame.area[0], frame.area[2]]
    assert frame.y_px([south, north]).tolist() == pytest.approx([frame.area[3], frame.area[1]])
    per_nm = np.diff(frame.x_px([0.0, 1.0])) / -np.diff(frame.y_px([0.0, 1.0]))
    assert per_nm == pytest.approx(1.0, abs=1e-3)  # a mile is as long across as up
    assert content["layout"]["yaxis"]["scaleanchor"] == "x"


def test_a_gap_in_a_line_stays_a_gap(figures: list[Figure]) -> None:
    content = json.loads(figures[1].json)
    line = next(trace for trace in content["data"] if trace["mode"] == "lines")
    line |= {"x": [0.0, 1.0, None, 2.0, 3.0], "y": [0.0, 0.0, None, 0.0, 0.0]}
    broken = replace(figures[1], json=json.dumps(content))
    paths = [one.attrib["d"] for one in elements(broken, "path")]
    assert any(data.count("M") == 2 and data.count("L") == 2 for data in paths)


def test_names_from_files_stay_text_in_a_file(prepared: Prepared) -> None:
    name = '<script>&"\x07</script>'
    volumes = tuple(replace(one, name=name) for one in prepared.plan.places.volumes)
    evil = replace(prepared.plan, places=replace(prepared.plan.places, volumes=volumes))
    figure = way_profile(evil, 1, replace(prepared.way, name=name))
    assert not list(elements(figure, "script"))


@pytest.mark.parametrize(
    ("span", "most", "expected"),
    [
        ((0.0, 4_000.0), 8, [500.0 * n for n in range(9)]),
        ((-0.5, 54.9), 8, [0.0, 10.0, 20.0, 30.0, 40.0, 50.0]),
        ((-900.0, 1_500.0), 8, [-500.0, 0.0, 500.0, 1_000.0, 1_500.0]),
        ((0.0, 7.0), 8, [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0]),
    ],
)
def test_ticks_are_round(span: tuple[float, float], most: int, expected: list[float]) -> None:
    assert ticks({}, span, most_count=most) == pytest.approx(expected)


def test_a_label_is_as_wide_as_its_longest_line() -> None:
    wide_px, high_px = size_px("<u>70</u><br>SFC &amp; up")
    one_px, line_px = size_px("x")
    assert wide_px == pytest.approx(len("SFC & up") * one_px)
    assert high_px == 2.0 * line_px


@pytest.mark.parametrize(
    ("side", "off"),
    [("middle right", (1, 0)), ("top center", (0, -1)), ("bottom left", (-1, 1))],
)
def test_a_label_stands_on_its_side(side: str, off: tuple[int, int]) -> None:
    left, top, right, bottom = box_of(100.0, 100.0, "QWRN", side, 4.0)
    assert np.sign(round((left + right) / 2.0 - 100.0, 6)) == off[0]
    assert np.sign(round((top + bottom) / 2.0 - 100.0, 6)) == off[1]
