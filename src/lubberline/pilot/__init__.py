"""One pilot: certificates, dates, own minimums."""

from lubberline.pilot.model import OwnMinimums, Pilot

__all__ = [
    "OwnMinimums",
    "Pilot",
]
