"""Flies an invented flight along a way of its plan and leaves its recording in its folder."""

from pathlib import Path
from typing import Final

from lubberline.demo.flights import DemoFlight
from lubberline.demo.flying import fly
from lubberline.demo.monitor import write_monitor
from lubberline.demo.recorders import write_recording
from lubberline.demo.truth import Truth
from lubberline.errors import NoSolution
from lubberline.fit import settings
from lubberline.flight import Plan, read_plan
from lubberline.ways import Way, evaluate_plan

STANDARD_INHG: Final = 29.92
MONITOR: Final = "recording_engine.csv"  # after the other by name, which is shown first


def record(folder: Path, flight: DemoFlight) -> tuple[Path, Truth]:
    """Fly the flight's own way with its faults; the recording's path, and what really happened."""
    plan = read_plan(folder)
    return record_way(plan, way_of(flight, evaluate_plan(plan)), flight)


def record_way(plan: Plan, way: Way, flight: DemoFlight) -> tuple[Path, Truth]:
    """Fly an evaluated way with the flight's faults; the recording lands in the plan's folder."""
    seed = flight.off_block_utc.toordinal()
    truth = fly(plan, way, flight.faults, join=flight.join, seed=seed)
    departure, destination = (end.altimeter_inhg or STANDARD_INHG for end in settings(plan, way))
    path = plan.folder / f"recording{flight.suffix}"
    write_recording(
        truth,
        path,
        off_block_utc=plan.flight.off_block_utc,
        ends_inhg=(departure, destination),
        seed=seed + 1,
    )
    if flight.monitored:
        write_monitor(
            truth,
            plan.folder / MONITOR,
            off_block_utc=plan.flight.off_block_utc,
            seed=seed + 2,
        )
    return path, truth


def way_of(flight: DemoFlight, ways: tuple[Way, ...]) -> Way:
    """The way that a demo flight takes.

    Raises
    ------
    NoSolution
        If none of the ways has its name.
    """
    for way in ways:
        if way.name == flight.way_name:
            return way
    names = ", ".join(way.name for way in ways)
    raise NoSolution(f"no way is called {flight.way_name!r}; there are: {names}")
