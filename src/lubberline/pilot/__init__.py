"""One pilot: certificates, dates, logbook, own minimums."""

from lubberline.pilot.file import read_pilot
from lubberline.pilot.fitness import FITNESS_FILE, Fitness, read_fitness, write_fitness
from lubberline.pilot.logbook import FlownAs, Landings, Lesson, Recorded
from lubberline.pilot.minimums import AfterPause, OwnMinimums
from lubberline.pilot.model import BasicMed, Pilot

__all__ = [
    "FITNESS_FILE",
    "AfterPause",
    "BasicMed",
    "Fitness",
    "FlownAs",
    "Landings",
    "Lesson",
    "OwnMinimums",
    "Pilot",
    "Recorded",
    "read_fitness",
    "read_pilot",
    "write_fitness",
]
