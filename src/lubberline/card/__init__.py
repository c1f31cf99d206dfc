"""The printed card, and the pledge that printing makes."""

from lubberline.card.compare import Difference, pledge_differences
from lubberline.card.flight_calendar import flight_calendar
from lubberline.card.pledging import make_pledge
from lubberline.card.printing import print_card, render
from lubberline.card.sheet import Sheet, make_sheet
from lubberline.card.watch_note import WatchNote, watch_note, watch_note_pdf

__all__ = [
    "Difference",
    "Sheet",
    "WatchNote",
    "flight_calendar",
    "make_pledge",
    "make_sheet",
    "pledge_differences",
    "print_card",
    "render",
    "watch_note",
    "watch_note_pdf",
]
