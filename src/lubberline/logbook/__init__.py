"""The pilot's logbook: entries, what they add up to, and plain CSV in and out."""

from lubberline.logbook.columns import LogbookMap, own_map, read_logbook_map
from lubberline.logbook.csv_file import LogbookRow, csv_text, read_logbook
from lubberline.logbook.model import COUNTS, HOURS, Entry
from lubberline.logbook.totals import Total, landings_of, totals

__all__ = [
    "COUNTS",
    "HOURS",
    "Entry",
    "LogbookMap",
    "LogbookRow",
    "Total",
    "csv_text",
    "landings_of",
    "own_map",
    "read_logbook",
    "read_logbook_map",
    "totals",
]
