"""The line as pictures for a page: one small drawing per finding, all with the mark in one place.

Left of the mark is outside, right is inside, by margin in steps of the tolerance; the whisker
is twice the standard uncertainty. Shape carries the verdict beside the word, color only helps.
"""

from dataclasses import dataclass
from typing import Final

from lubberline.line import COVERAGE, Finding, Verdict, worst_first
from lubberline.wording import doubt_text, limit_text, value_text

WIDTH_PX: Final = 220.0
HEIGHT_PX: Final = 22.0
MARK_PX: Final = 73.0
PX_PER_STEP: Final = 90.0
EDGE_PX: Final = 9.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LineRow:
    """One finding as the page shows it; ``picture`` is an SVG element."""

    label: str
    verdict: str
    numbers: str
    remark: str
    source: str
    picture: str


def line_rows(findings: tuple[Finding, ...]) -> tuple[LineRow, ...]:
    """The findings worst first."""
    return tuple(_row(finding) for finding in worst_first(findings))


def ruler_svg() -> str:
    """The head of the line: which side of the mark is which."""
    words = (
        f'<text class="word" x="{MARK_PX - 8.0:g}" y="16" text-anchor="end">outside</text>'
        f'<text class="word" x="{MARK_PX + 8.0:g}" y="16">inside</text>'
    )
    return _svg(f"{_mark()}{words}", "")


def _row(finding: Finding) -> LineRow:
    missing = f"would supply it: {finding.missing}" if finding.missing else ""
    doubt = doubt_text(finding)
    value = f"{value_text(finding)} {doubt}".strip()
    return LineRow(
        label=finding.limit.label,
        verdict=str(finding.verdict),
        numbers=f"{value}, {limit_text(finding.limit)}",
        remark="; ".join(part for part in (finding.where, finding.note, missing) if part),
        source=finding.limit.source,
        picture=_picture(finding),
    )


def _picture(finding: Finding) -> str:
    middle = HEIGHT_PX / 2.0
    parts = [_mark()]
    if finding.value is None or finding.steps is None:
        x_px = MARK_PX
    else:
        doubt = COVERAGE * finding.sigma
        values = (finding.value - doubt, finding.value + doubt)
        ends = [_place_px(finding.limit.steps(value)) for value in values]
        x_px = _marker_px(finding.verdict, _place_px(finding.steps))
        if finding.sigma > 0.0:
            across = f'x1="{min(*ends, x_px):.1f}" x2="{max(*ends, x_px):.1f}"'
            parts.append(f'<line class="whisker" {across} y1="{middle}" y2="{middle}"/>')
    parts.append(_marker(finding.verdict, x_px, middle))
    return _svg("".join(parts), str(finding.verdict))


def _mark() -> str:
    return f'<line class="mark" x1="{MARK_PX:g}" x2="{MARK_PX:g}" y1="0" y2="{HEIGHT_PX:g}"/>'


def _svg(content: str, kind: str) -> str:
    """A drawing that says nothing its row does not say in words."""
    box = f"0 0 {WIDTH_PX:g} {HEIGHT_PX:g}"
    return f'<svg viewBox="{box}" class="line {kind}" aria-hidden="true">{content}</svg>'


def _place_px(steps: float) -> float:
    return max(EDGE_PX, min(WIDTH_PX - EDGE_PX, MARK_PX + steps * PX_PER_STEP))


def _marker_px(verdict: Verdict, x_px: float) -> float:
    """A marker never stands on the wrong side of the mark."""
    return min(x_px, MARK_PX - 7.0) if verdict is Verdict.OUTSIDE else max(x_px, MARK_PX + 7.0)


def _marker(verdict: Verdict, x_px: float, y_px: float) -> str:
    """Disk inside, half disk close, cross outside, question mark unknown."""
    left, right, top, bottom = x_px - 5, x_px + 5, y_px - 5, y_px + 5
    if verdict is Verdict.OUTSIDE:
        strokes = f"M{left} {top}L{right} {bottom}M{left} {bottom}L{right} {top}"
        return f'<path class="cross" d="{strokes}"/>'
    if verdict is Verdict.UNKNOWN:
        return f'<text class="sign" x="{x_px:g}" y="{y_px + 6:g}" text-anchor="middle">?</text>'
    disk = f'<circle cx="{x_px:.1f}" cy="{y_px:.1f}" r="5.5"/>'
    if verdict is Verdict.CLOSE:
        half = f"M{x_px:.1f} {y_px - 5.5}A5.5 5.5 0 0 0 {x_px:.1f} {y_px + 5.5}Z"
        return f'<g class="half">{disk}<path d="{half}"/></g>'
    return disk
