"""A picture of the page as an SVG file of its own, on light paper, with its title and legend.

It draws the very content that the page draws, in the same inks. All letters are of one width, so
that labels keep clear of each other in every program that shows the file.
"""

import json
import re
from collections.abc import Iterator
from functools import lru_cache
from html import escape
from importlib.resources import files
from textwrap import wrap
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.page.figure import Caption, Figure, LegendRow
from lubberline.page.frame import EM_FRACTION, LETTER_PX, LINE_PX, Frame, frame_of, size_px, ticks
from lubberline.page.settle import settled

WIDE_PX: Final = 900.0
TITLE_PX: Final = 36.0
ROW_PX: Final = 18.0
SWATCH_PX: Final = 34.0
NOT_XML: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")
_FONT: Final = f'font-family="DejaVu Sans Mono, monospace" font-size="{LETTER_PX}"'


def figure_svg(figure: Figure) -> str:
    """The picture, 900 px wide."""
    content = json.loads(figure.json)
    frame = frame_of(content["layout"], content["ratio"], wide_px=WIDE_PX, top_px=TITLE_PX)
    body = [
        *_ground(content["layout"], frame),
        *_traces(content["data"], frame),
        *_labels(content, frame),
    ]
    below_px = frame.area[3] + content["layout"]["margin"]["b"]
    foot, tall_px = _foot(figure.caption, below_px)
    title = f'<text x="4" y="17" font-weight="bold">{escape(figure.caption.title)}</text>'
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE_PX:g} {tall_px:g}"'
        f' width="{WIDE_PX:g}" height="{tall_px:g}" role="img" {_FONT}>'
        f"<title>{escape(figure.caption.says)}</title>{_patterns(content['data'])}"
        f'<rect width="100%" height="100%" fill="{_color("@paper")[0]}"/>'
        f'<g fill="{_color("@ink")[0]}">{title}{"".join([*body, *foot])}</g></svg>\n'
    )
    return NOT_XML.sub("\ufffd", svg)


@lru_cache(maxsize=1)
def _inks() -> dict[str, str]:
    """The inks of the light paper, as the page's style sheet gives them."""
    style = files("lubberline.page").joinpath("templates", "page.css").read_text(encoding="utf-8")
    return dict(re.findall(r"--([\w-]+): (#\w{6})", style.partition("}")[0]))


def _color(name: str) -> tuple[str, str]:
    """An ink as a color and how much of it is seen."""
    ink, _, alpha = name.removeprefix("@").partition("/")
    return _inks()[ink], alpha or "1"


def _patterns(traces: list[dict[str, Any]]) -> str:
    """Every hatching in use, each once."""
    hatchings = {
        _hatching_id(one["fillpattern"]): one["fillpattern"]
        for one in traces
        if "fillpattern" in one
    }
    return "".join(_pattern(name, hatch) for name, hatch in hatchings.items())


def _pattern(name: str, hatch: dict[str, Any]) -> str:
    size, turn = hatch["size"], 45 if hatch["shape"] == "/" else -45
    return (
        f'<pattern id="{name}" width="{size}" height="{size}" patternUnits="userSpaceOnUse"'
        f' patternTransform="rotate({turn})"><path d="M0 0V{size}"'
        f' stroke="{_color(hatch["fgcolor"])[0]}"'
        f' stroke-width="{2.0 * size * hatch["solidity"]:g}"/></pattern>'
    )


def _hatching_id(hatch: dict[str, Any]) -> str:
    return f"hatch-{hatch['fgcolor'][1:]}-{'up' if hatch['shape'] == '/' else 'down'}"


def _ground(layout: dict[str, Any], frame: Frame) -> Iterator[str]:
    """The paper of the plot, its grid, and what stands at its axes."""
    left, top, right, bottom = frame.area
    color, alpha = _color(layout["plot_bgcolor"])
    plot = f'<rect x="{left:g}" y="{top:g}" width="{right - left:g}" height="{bottom - top:.2f}"'
    yield f'<clipPath id="plot">{plot}/></clipPath>{plot} fill="{color}" fill-opacity="{alpha}"/>'
    across, up = layout["xaxis"], layout["yaxis"]
    grid = f'stroke="{_color("@rule")[0]}" stroke-width="0.7"'
    for value in ticks(across, frame.across, most_count=8):
        x = float(frame.x_px([value])[0])
        yield f'<path d="M{x:.1f} {top:g}V{bottom:.1f}" {grid}/>'
        if across.get("showticklabels", True):
            yield _word(x, bottom + 15.0, f"{value:g}", "middle")
    for value in ticks(up, frame.up, most_count=8):
        y = float(frame.y_px([value])[0])
        yield f'<path d="M{left:g} {y:.1f}H{right:g}" {grid}/>'
        if up.get("showticklabels", True):
            yield _word(left - 5.0, y + 3.5, f"{value:,.0f}", "end")
    if across["title"]["text"]:
        yield _word((left + right) / 2.0, bottom + 32.0, across["title"]["text"], "middle")
    if up["title"]["text"]:
        yield _word(4.0, top - 6.0, up["title"]["text"], "start")


def _word(x_px: float, y_px: float, text: str, anchor: str) -> str:
    return f'<text x="{x_px:.1f}" y="{y_px:.1f}" text-anchor="{anchor}">{escape(text)}</text>'


def _traces(traces: list[dict[str, Any]], frame: Frame) -> Iterator[str]:
    """Lines and areas cut off at the edge of the plot, marks on top."""
    yield '<g clip-path="url(#plot)">'
    for trace in traces:
        if trace["mode"] == "lines":
            yield _line(trace, frame)
        elif trace["mode"] == "markers":
            yield from _marks(trace, frame)
    yield "</g>"


def _line(trace: dict[str, Any], frame: Frame) -> str:
    data = _path(np.column_stack([frame.x_px(trace["x"]), frame.y_px(trace["y"])]))
    fill = 'fill="none"'
    if "fillpattern" in trace:
        fill = f'fill="url(#{_hatching_id(trace["fillpattern"])})" fill-rule="evenodd"'
    elif "fill" in trace:
        color, alpha = _color(trace["fillcolor"])
        fill = f'fill="{color}" fill-opacity="{alpha}" fill-rule="evenodd"'
    return f'<path d="{data}" {fill} {_stroke(trace["line"])}/>'


def _stroke(line: dict[str, Any]) -> str:
    if not line["width"]:
        return 'stroke="none"'
    dashes = "" if line["dash"] == "solid" else f' stroke-dasharray="{line["dash"]}"'
    color = _color(line["color"])[0]
    return f'stroke="{color}" stroke-width="{line["width"]:g}" stroke-linejoin="round"{dashes}'


def _path(line_px: FloatArray) -> str:
    """A line with its breaks."""
    known = np.asarray(np.isfinite(line_px).all(axis=1))
    starts = known & ~np.concatenate([[False], known[:-1]])
    return "".join(
        f"{'M' if start else 'L'}{x:.2f} {y:.2f}"
        for (x, y), start, seen in zip(line_px.tolist(), starts, known, strict=True)
        if seen
    )


def _marks(trace: dict[str, Any], frame: Frame) -> Iterator[str]:
    marker = trace["marker"]
    color, size = _color(marker["color"])[0], marker["size"]
    for x, y in zip(frame.x_px(trace["x"]), frame.y_px(trace["y"]), strict=True):
        if marker["symbol"] == "circle":
            edge = _color(marker["line"]["color"])[0]
            yield (
                f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{size / 2.0:g}" fill="{color}"'
                f' stroke="{edge}" stroke-width="{marker["line"]["width"]:g}"/>'
            )
        else:
            half = size * 0.55
            corners = f"M{x:.1f} {y - half:.1f}l{half:g} {1.7 * half:g}h{-2 * half:g}z"
            yield f'<path d="{corners}" fill="{color}"/>'


def _labels(content: dict[str, Any], frame: Frame) -> Iterator[str]:
    for text, ink, (left, top, right, _) in settled(content, frame):
        middle, color = (left + right) / 2.0, _color(ink)[0]
        for row, line in enumerate(text.split("<br>")):
            yield _label_line(line, middle, top + (row + 0.8) * LINE_PX, color)


def _label_line(line: str, x_px: float, y_px: float, color: str) -> str:
    """One line of a label, whose words are escaped already, with its styles and a pale edge."""
    words = re.sub("</?[ub]>", "", line)
    weight = ' font-weight="bold"' if "<b>" in line else ""
    text = (
        f'<text x="{x_px:.1f}" y="{y_px:.1f}" text-anchor="middle" fill="{color}"{weight}'
        f' stroke="{_color("@paper")[0]}" stroke-width="3" stroke-linejoin="round"'
        f' paint-order="stroke">{words}</text>'
    )
    if "<u>" not in line:
        return text
    wide_px = size_px(line)[0]
    start = f"M{x_px - wide_px / 2.0:.1f} {y_px + 1.8:.1f}"
    return f'{text}<path d="{start}h{wide_px:.1f}" stroke="{color}" stroke-width="1"/>'


def _foot(caption: Caption, top_px: float) -> tuple[list[str], float]:
    """Legend and notes under the picture, and where they end."""
    parts: list[str] = []
    x_px, y_px = 4.0, top_px + ROW_PX
    for row in caption.legend:
        wide_px = SWATCH_PX + 8.0 + len(row.label) * EM_FRACTION * LETTER_PX
        if x_px > 4.0 and x_px + wide_px > WIDE_PX:
            x_px, y_px = 4.0, y_px + ROW_PX
        parts += [
            _swatch(row, x_px, y_px - 3.5),
            _word(x_px + SWATCH_PX + 6.0, y_px, row.label, "start"),
        ]
        x_px += wide_px + 16.0
    letters_count = int((WIDE_PX - 8.0) / (EM_FRACTION * LETTER_PX))
    for line in (line for note in caption.notes for line in wrap(note, letters_count)):
        y_px += ROW_PX
        parts.append(_word(4.0, y_px, line, "start"))
    return parts, y_px + 8.0


def _swatch(row: LegendRow, x_px: float, y_px: float) -> str:
    stroke = _stroke({"color": f"@{row.ink}", "width": row.width_px, "dash": row.dash or "solid"})
    if row.hatched:
        stroke = _stroke({"color": f"@{row.ink}", "width": 1.0, "dash": "solid"})
        strokes = "".join(f"M{x_px + step} {y_px - 5.0}l8 10" for step in (0, 8, 16, 24))
        return f'<path d="{strokes}" {stroke}/>'
    return f'<path d="M{x_px} {y_px}h{SWATCH_PX:g}" {stroke}/>'
