"""The pilot's logbook: entries, what they add up to, and plain CSV in and out."""

from lubberline.logbook.columns import LogbookMap, own_map, read_logbook_map
from lubberline.logbook.csv_file import LogbookRow, csv_text, read_logbook
from lubberline.logbook.model import COUNTS, HOURS, Entry
from lubberline.logbook.roles import ROLE_WORDS, at_the_controls, role_hours
from lubberline.logbook.totals import Total, landings_of, totals

__all__ = [
    "COUNTS",
    "HOURS",
    "ROLE_WORDS",
    "Entry",
    "LogbookMap",
    "LogbookRow",
    "Total",
    "at_the_controls",
    "csv_text",
    "landings_of",
    "own_map",
    "read_logbook",
    "read_logbook_map",
    "role_hours",
    "totals",
]
