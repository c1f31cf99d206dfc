"""Where on the paper each run of text lies, read from the drawing operations of a PDF."""

import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from pypdf import PdfReader
from pypdf.generic import ContentStream

ADVANCE_FRACTION = 1233.0 / 2048.0  # width of every sign of DejaVu Sans Mono by its size
DEEP_FRACTION, HIGH_FRACTION = 0.2, 0.7  # of its size below and above the line, without accents


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One run: page, left end and line from the lower left corner, width and size [pt]."""

    page_index: int
    left_pt: float
    line_pt: float
    wide_pt: float
    size_pt: float

    def overlaps(self, other: "Run") -> bool:
        """Whether the bodies of both lie on each other."""
        apart = (
            self.page_index != other.page_index
            or self.left_pt + self.wide_pt <= other.left_pt + 0.1
            or other.left_pt + other.wide_pt <= self.left_pt + 0.1
            or self.line_pt + HIGH_FRACTION * self.size_pt
            <= other.line_pt - DEEP_FRACTION * other.size_pt
            or other.line_pt + HIGH_FRACTION * other.size_pt
            <= self.line_pt - DEEP_FRACTION * self.size_pt
        )
        return not apart


def runs(pdf: bytes) -> list[Run]:
    """All runs of text of a PDF as typst writes it: one matrix, one font and one string each."""
    reader = PdfReader(io.BytesIO(pdf))
    return [run for number, page in enumerate(reader.pages) for run in _page_runs(number, page)]


def _page_runs(number: int, page: Any) -> Iterator[Run]:
    fonts = page["/Resources"]["/Font"]
    stack, here = [], (1.0, 0.0, 0.0)  # scale, left and line
    size_pt, bytes_count = 0.0, 1
    for operands, operator in ContentStream(page.get_contents(), page.pdf).operations:
        match operator:
            case b"q":
                stack.append(here)
            case b"Q":
                here = stack.pop()
            case b"cm":
                scale, _, _, _, left, line = (float(one) for one in operands)
                here = (here[0] * scale, here[1] + here[0] * left, here[2] + here[0] * line)
            case b"Tf":
                size_pt = float(operands[1])
                bytes_count = 2 if fonts[operands[0]]["/Encoding"] == "/Identity-H" else 1
            case b"Tj" | b"TJ":
                parts = operands[0] if operator == b"TJ" else operands
                strings = [one for one in parts if not isinstance(one, int | float)]
                count = sum(len(one.original_bytes) for one in strings) / bytes_count
                wide_pt = count * ADVANCE_FRACTION * size_pt * here[0]
                yield Run(
                    page_index=number,
                    left_pt=here[1],
                    line_pt=here[2],
                    wide_pt=wide_pt,
                    size_pt=size_pt * here[0],
                )
