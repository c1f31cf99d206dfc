"""One pilot: certificates, dates, logbook, own minimums."""

from lubberline.pilot.file import read_pilot
from lubberline.pilot.fitness import FITNESS_FILE, Fitness, read_fitness, write_fitness
from lubberline.pilot.logbook import Landings, Lesson
from lubberline.pilot.model import BasicMed, OwnMinimums, Pilot

__all__ = [
    "FITNESS_FILE",
    "BasicMed",
    "Fitness",
    "Landings",
    "Lesson",
    "OwnMinimums",
    "Pilot",
    "read_fitness",
    "read_pilot",
    "write_fitness",
]
