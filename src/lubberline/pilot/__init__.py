"""One pilot: certificates, dates, own minimums."""

from lubberline.pilot.file import read_pilot
from lubberline.pilot.model import OwnMinimums, Pilot

__all__ = [
    "OwnMinimums",
    "Pilot",
    "read_pilot",
]
