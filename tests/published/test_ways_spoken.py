"""Spoken figures and heights as the examples of AIM chapter 4, section 2 print them (memory)."""

from dataclasses import replace

import pytest

from lubberline.loop import Prepared
from lubberline.ways import spoken_call_sign, spoken_figures, spoken_height

# AIM 4-2-8 (figures) and 4-2-9 (altitudes), examples from memory.
HEIGHTS = [
    (500.0, "five hundred"),
    (4_500.0, "four thousand five hundred"),
    (10_000.0, "one zero thousand"),
    (12_000.0, "one two thousand"),
    (12_500.0, "one two thousand five hundred"),
    (13_500.0, "one three thousand five hundred"),
]
FIGURES = [("122.1", "one two two point one"), ("10", "one zero"), ("9", "niner")]


@pytest.mark.parametrize(("msl_ft", "spoken"), HEIGHTS)
def test_heights_are_spoken_in_thousands_and_hundreds(msl_ft: float, spoken: str) -> None:
    assert spoken_height(msl_ft) == spoken


@pytest.mark.parametrize(("figures", "spoken"), FIGURES)
def test_figures_are_spoken_one_by_one(figures: str, spoken: str) -> None:
    assert spoken_figures(figures) == spoken


@pytest.mark.parametrize(
    ("registration", "spoken"),
    [
        ("N123QX", "Heron One Two Three Quebec X-ray"),  # AIM 4-2-4: the N is dropped (memory)
        ("Q-HRN", "Heron Quebec Hotel Romeo November"),
    ],
)
def test_a_call_sign_is_type_and_registration(
    prepared: Prepared, registration: str, spoken: str
) -> None:
    airplane = replace(prepared.plan.aircraft, call_sign=registration)
    assert spoken_call_sign(airplane) == spoken
