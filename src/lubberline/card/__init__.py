"""The printed card, and the pledge that printing makes."""

from lubberline.card.compare import Difference, pledge_differences
from lubberline.card.pledging import make_pledge
from lubberline.card.printing import print_card, render
from lubberline.card.sheet import Sheet, make_sheet

__all__ = [
    "Difference",
    "Sheet",
    "make_pledge",
    "make_sheet",
    "pledge_differences",
    "print_card",
    "render",
]
