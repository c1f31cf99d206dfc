"""The line in a terminal: one fixed vertical mark, each finding a row with marker and whisker.

Left of the mark is outside, right is inside; the distance is the margin in steps of its
tolerance, the whisker is twice the standard uncertainty. Shape and word carry the verdict, so
that nothing depends on color; 80 columns are enough.
"""

import textwrap
from collections.abc import Sequence
from typing import Final

from lubberline.line import COVERAGE, Finding, Verdict, worst_first
from lubberline.wording import SHAPES, limit_text, value_text

LABEL_WIDTH: Final = 28
PLOT_WIDTH: Final = 18
MARK: Final = 7  # column of the line within the plot
COLUMNS_PER_STEP: Final = 7.0  # a margin of one tolerance


def line_rows(findings: Sequence[Finding], *, width: int = 80) -> list[str]:
    """The findings worst first, one row each, a second row for what the pilot must read."""
    rows = [f"{'':{LABEL_WIDTH}}{_ruler()} {'verdict':8}value, limit"]
    for finding in worst_first(findings):
        rows += _rows(finding)
        remark = _remark(finding)
        if remark:
            rows.extend(_wrapped(remark, indent=4, width=width))
    return rows


def _ruler() -> str:
    return f"{'outside':>{MARK}}│{'inside':<{PLOT_WIDTH - MARK - 1}}"


def _rows(finding: Finding) -> list[str]:
    """Label, picture, word and numbers; what is left of a long label stands below."""
    first, *rest = textwrap.wrap(finding.limit.label, LABEL_WIDTH, subsequent_indent="  ")
    numbers = f"{value_text(finding)}, {limit_text(finding.limit)}"
    return [f"{first:{LABEL_WIDTH}}{_plot(finding)} {finding.verdict:8}{numbers}", *rest]


def _plot(finding: Finding) -> str:
    """The row's picture: the mark, the whisker and the marker on top."""
    cells = [" "] * PLOT_WIDTH
    cells[MARK] = "│"
    shape = SHAPES[finding.verdict]
    if finding.value is None or finding.steps is None:
        cells[MARK] = shape
        return "".join(cells)
    doubt = COVERAGE * finding.sigma
    ends = [finding.limit.steps(finding.value + side) for side in (-doubt, 0.0, doubt)]
    columns = [_column(steps) for steps in ends]
    if finding.sigma > 0.0:
        for column in range(min(columns), max(columns) + 1):
            cells[column] = "┼" if column == MARK else "─"
    cells[_marker_column(finding.verdict, columns[1])] = shape
    return "".join(cells)


def _column(steps: float) -> int:
    return max(0, min(PLOT_WIDTH - 1, MARK + round(steps * COLUMNS_PER_STEP)))


def _marker_column(verdict: Verdict, column: int) -> int:
    """Rounding must not put a marker on the wrong side of the mark."""
    if verdict is Verdict.OUTSIDE:
        return min(column, MARK - 1)
    return max(column, MARK + 1)


def _remark(finding: Finding) -> str:
    """What stands under a row: always for what is not inside, else nothing."""
    if finding.verdict is Verdict.INSIDE:
        return ""
    parts = [finding.where, finding.note]
    if finding.missing:
        parts.append(f"would supply it: {finding.missing}")
    parts.append(f"[{finding.limit.source}]")
    return "; ".join(part for part in parts if part)


def _wrapped(text: str, *, indent: int, width: int) -> list[str]:
    pad = " " * indent
    return textwrap.wrap(text, width, initial_indent=pad, subsequent_indent=pad)
