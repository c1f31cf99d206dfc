"""One pilot: certificates, dates, logbook, own minimums."""

from lubberline.pilot.file import read_pilot
from lubberline.pilot.logbook import Landings, Lesson
from lubberline.pilot.model import BasicMed, OwnMinimums, Pilot

__all__ = [
    "BasicMed",
    "Landings",
    "Lesson",
    "OwnMinimums",
    "Pilot",
    "read_pilot",
]
