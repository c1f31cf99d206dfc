"""The line in a terminal: fixed mark, shapes that speak without color, 80 columns, any charset."""

import pytest

from lubberline.cli import plain_signs
from lubberline.cli.line_rows import LABEL_WIDTH, MARK, line_rows
from lubberline.line import Finding, Limit, unknown

COLUMN = LABEL_WIDTH + MARK


def limit(label: str = "crosswind", high: float = 15.0, buffer: float = 0.0) -> Limit:
    return Limit(
        key="flight.test",
        label=label,
        unit="kt",
        high=high,
        buffer=buffer,
        tolerance=10.0,
        basis="manual",
        source="a manual",
    )


FINDINGS = [
    Finding(limit=limit(), value=17.2, where="QMRL 30"),
    unknown(limit("tailwind"), "a METAR for QMRL"),
    Finding(limit=limit(buffer=4.0), value=12.0),
    Finding(limit=limit(), value=3.0, sigma=1.0),
]


def test_each_verdict_has_its_shape_on_its_side_of_the_mark() -> None:
    rows = [row for row in line_rows(FINDINGS)[1:] if not row.startswith("    ")]
    assert ["✖" in rows[0][:COLUMN], rows[1][COLUMN] == "?", "◐" in rows[2][COLUMN:]] == [True] * 3
    assert "●" in rows[3][COLUMN + 1 :]
    assert all(row[COLUMN] in "│┼?" for row in rows)


def test_what_is_not_inside_says_why_and_from_where() -> None:
    text = "\n".join(line_rows(FINDINGS))
    assert "QMRL 30; [a manual]" in text
    assert "would supply it: a METAR for QMRL; [a manual]" in text


@pytest.mark.parametrize("label", ["short", "a label that is far too long for its column by half"])
@pytest.mark.parametrize("value", [-1e6, 0.0, 15.0, 15.01, 1e6])
def test_rows_fit_eighty_columns(label: str, value: float) -> None:
    rows = line_rows([Finding(limit=limit(label), value=value, sigma=abs(value) / 3.0)])
    assert max(len(row) for row in rows) <= 80


@pytest.mark.parametrize("value", [15.0, 15.000001, 14.999])
def test_a_marker_at_the_mark_stands_on_its_own_side(value: float) -> None:
    row = line_rows([Finding(limit=limit(), value=value)])[1]
    side = row[:COLUMN] if value > 15.0 else row[COLUMN + 1 :]
    assert any(shape in side for shape in "✖●◐")


def test_a_poor_terminal_never_turns_a_sign_into_unknown() -> None:
    poor = "\n".join(line_rows([FINDINGS[0], *FINDINGS[2:]])).encode(
        "ascii", errors=plain_signs.register()
    )
    assert b"?" not in poor
    assert b" x" in poor
    assert b"|" in poor
