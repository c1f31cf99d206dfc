"""Own marks beside what was measured: bias only where it is borne out, nothing dropped."""

import pytest

from lubberline.drift import OwnMarkRow, chance_marks, kappa, own_marks_standing


def rows(phase: str, own: str, measured: str | None, count: int) -> list[OwnMarkRow]:
    return [OwnMarkRow(phase=phase, mark=own, measured=measured)] * count


def test_who_marks_kinder_is_told_so_by_phase() -> None:
    given = [
        *rows("approach", "inside", "close", 8),
        *rows("approach", "inside", "inside", 2),
        *rows("cruise", "inside", "inside", 6),
        *rows("cruise", "close", "close", 4),
    ]
    approach, cruise, together = own_marks_standing(given).phases
    assert (approach.phase, approach.flight_count, approach.same_count) == ("approach", 10, 2)
    assert approach.bias_count == pytest.approx(0.8)
    assert approach.low is not None
    assert approach.low > 0.0
    assert (cruise.bias_count, cruise.agreement and cruise.agreement.kappa_ratio) == (0.0, 1.0)
    assert (together.phase, together.flight_count) == ("all together", 20)


def test_agreement_is_that_of_the_table() -> None:
    words = ("outside", "close", "inside")
    table = [[5, 2, 0], [3, 9, 4], [1, 2, 20]]
    given = [
        row
        for measured, counts in zip(words, table, strict=True)
        for own, count in zip(words, counts, strict=True)
        for row in rows("landing", own, measured, count)
    ]
    (found,) = own_marks_standing(given).phases
    assert found.agreement == kappa(table)


def test_fewer_than_five_say_nothing_of_bias() -> None:
    (found,) = own_marks_standing(rows("climb", "inside", "outside", 4)).phases
    assert found.bias_count is None
    assert found.agreement is not None or found.same_count == 0


def test_chances_are_scored_by_what_came_inside() -> None:
    given = [
        OwnMarkRow(phase="a", mark=None, measured=word, chance_fraction=chance)
        for word, chance in (("outside", 0.1), ("inside", 0.9), ("inside", 0.8), ("close", 0.3))
    ]
    found = own_marks_standing(given)
    assert found.chances == chance_marks([0.1, 0.9, 0.8, 0.3], [0.0, 1.0, 1.0, 0.0])
    assert found.chances is not None
    assert found.chances.score_ratio == pytest.approx(0.0375)
    assert found.phases == ()


def test_what_nothing_answers_is_counted() -> None:
    found = own_marks_standing([*rows("landing", "inside", None, 3)])
    assert (found.unanswered_count, found.phases, found.chances) == (3, (), None)
