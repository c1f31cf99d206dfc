"""The printed card, and the pledge that printing makes."""

from lubberline.card.compare import Difference, pledge_differences
from lubberline.card.filing import filing_pdf, flight_plan_form, form_of_record, form_record
from lubberline.card.flight_calendar import flight_calendar
from lubberline.card.icao import (
    BadMessage,
    FlightPlanForm,
    Supplement,
    cancellation,
    change,
    delay,
    filed_plan,
)
from lubberline.card.pledging import make_pledge
from lubberline.card.printing import DAY, Form, print_card, render
from lubberline.card.sheet import Sheet, make_sheet
from lubberline.card.watch_note import WatchNote, watch_note, watch_note_pdf

__all__ = [
    "DAY",
    "BadMessage",
    "Difference",
    "FlightPlanForm",
    "Form",
    "Sheet",
    "Supplement",
    "WatchNote",
    "cancellation",
    "change",
    "delay",
    "filed_plan",
    "filing_pdf",
    "flight_calendar",
    "flight_plan_form",
    "form_of_record",
    "form_record",
    "make_pledge",
    "make_sheet",
    "pledge_differences",
    "print_card",
    "render",
    "watch_note",
    "watch_note_pdf",
]
