"""Writes a pilot's folder: the commented starter, or the whole demo with its recordings."""

import shutil
from pathlib import Path
from typing import Final

from lubberline.demo.flights import FLIGHTS, DemoFlight, flight_text, weather_text
from lubberline.demo.flying import fly
from lubberline.demo.recorders import write_recording
from lubberline.demo.relief import write_relief
from lubberline.errors import BadFile, Problem
from lubberline.flight import FLIGHT_FILE, Plan, read_plan
from lubberline.places import read_places
from lubberline.ways import Way, evaluate_plan

FILES: Final = Path(__file__).with_name("files")
WHOLE: Final = ("pilot.toml", "aircraft", "standards", "places")


def write_folder(directory: Path) -> Path:
    """A starter folder with one flight to plan; the flight's own folder is given back.

    Raises
    ------
    BadFile
        If the folder exists already: nothing in it is touched.
    """
    if directory.exists():
        problem = Problem(
            key="folder",
            found="a file or folder of that name",
            expected="a name that is free; nothing was written",
            example=f"lubberline init {directory}-2",
        )
        raise BadFile(directory, [problem])
    directory.mkdir(parents=True)
    for name in WHOLE:
        source, target = FILES / name, directory / name
        shutil.copytree(source, target) if source.is_dir() else shutil.copy(source, target)
    write_relief(directory / "places", read_places(directory / "places"))
    return write_flight(directory, FLIGHTS[-1])


def write_flight(directory: Path, flight: DemoFlight) -> Path:
    """One flight's folder with its flight file and weather."""
    folder = directory / "flights" / flight.folder_name
    folder.mkdir(parents=True)
    (folder / FLIGHT_FILE).write_text(flight_text(flight), encoding="utf-8")
    pasted = FILES / "flights" / flight.folder_name / "weather.txt"
    weather = pasted.read_text(encoding="utf-8") if pasted.exists() else weather_text(flight)
    (folder / "weather.txt").write_text(weather, encoding="utf-8")
    return folder


def record(folder: Path, flight: DemoFlight) -> tuple[Plan, Way, Path]:
    """Fly a demo flight as planned, with its faults, and write what its recorder kept."""
    plan = read_plan(folder)
    way = next(way for way in evaluate_plan(plan) if way.name == flight.way_name)
    seed = flight.off_block_utc.toordinal()
    path = folder / f"recording{flight.suffix}"
    write_recording(
        fly(plan, way, flight.faults, seed=seed),
        path,
        off_block_utc=flight.off_block_utc,
        altimeter_inhg=flight.altimeter_inhg,
        seed=seed + 1,
    )
    return plan, way, path
