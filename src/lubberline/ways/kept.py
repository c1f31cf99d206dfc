"""Found ways kept for the next command, under the content of everything they came from.

A search takes a second to start; what it found is written to the user's cache and taken from
there as long as no input and no line of the search has changed. What cannot be read is sought
again: nothing is lost by deleting it.
"""

import hashlib
import json
import os
from contextlib import suppress
from pathlib import Path
from typing import Any

import numpy as np

from lubberline.errors import LubberlineError, NoSolution
from lubberline.flight import Plan
from lubberline.ways.ahead import mark_compiled
from lubberline.ways.defects import defects_kept
from lubberline.ways.evaluate import Rows, way_of_rows
from lubberline.ways.found import search_problem, sought_ways
from lubberline.ways.from_plan import problem_from_plan
from lubberline.ways.hours import at_its_hours
from lubberline.ways.model import Way
from lubberline.ways.motion import fly


def found_ways(plan: Plan) -> tuple[Way, ...]:
    """The ways that the search finds for a plan, fastest first; kept ones where nothing changed.

    Raises
    ------
    NoSolution
        If nothing leads there with any permission.
    """
    path = _kept_path(plan)
    kept = _read(plan, path)
    if kept is not None:
        return kept
    problem = search_problem(plan)
    with defects_kept(problem):
        found = sought_ways(plan, problem)
    mark_compiled()
    rows = [_row(way) for way in found]
    _write(path, rows)
    return _flown(plan, rows) or found


def _kept_path(plan: Plan) -> Path:
    """Where the ways of exactly these inputs are kept."""
    digest = hashlib.sha256()
    sources = sorted(Path(__file__).parent.rglob("*.py"))
    for path in [*plan.inputs, *sources]:
        digest.update(path.read_bytes() + b"\0")
    digest.update(repr((plan.pilot.own, plan.pilot.height_keeping_ft, plan.flight)).encode())
    home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(home) / "lubberline" / "ways" / f"{digest.hexdigest()[:24]}.json"


def _row(way: Way) -> dict[str, Any]:
    return {
        "name": way.name,
        "permissions": sorted(way.permissions),
        "cruise_msl_ft": way.cruise_msl_ft,
        "path": way.path.tolist(),
        "point_names": way.point_names,
    }


def _write(path: Path, rows: list[dict[str, Any]]) -> None:
    """Written whole or not at all; a cache that cannot be written is none."""
    part = path.with_suffix(f".{os.getpid()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        part.write_text(json.dumps(rows), encoding="utf-8")
        part.replace(path)
    except OSError:
        with suppress(OSError):
            part.unlink()


def _read(plan: Plan, path: Path) -> tuple[Way, ...] | None:
    """The kept ways; None where there are none to be trusted."""
    try:
        return _flown(plan, json.loads(path.read_text(encoding="utf-8")))
    except (OSError, ValueError):
        return None


def _flown(plan: Plan, rows: list[dict[str, Any]]) -> tuple[Way, ...] | None:
    """Ways flown and checked anew; None where there is none, or one does not keep the rules."""
    try:
        ways = tuple(_way(plan, row) for row in rows)
    except (ValueError, KeyError, TypeError, LubberlineError):
        return None
    return None if not ways or any(way.violations for way in ways) else ways


def _way(plan: Plan, row: dict[str, Any]) -> Way:
    cruise_ft = float(row["cruise_msl_ft"])
    problem = problem_from_plan(plan, cruise_ft)
    path = np.array(row["path"], dtype=np.float64)
    east_nm, north_nm = problem.plane.to_plane_nm(path[:, 0], path[:, 1])
    flown = fly(problem.motion, problem.wind, east_nm=east_nm, north_nm=north_nm, msl_ft=path[:, 2])
    if np.isnan(flown.time_min).any():
        raise NoSolution("a kept way cannot be flown")
    way = way_of_rows(
        problem,
        str(row["name"]),
        Rows(east_nm, north_nm, path[:, 2], tuple(row["point_names"])),
        frozenset(row["permissions"]),
        cruise_msl_ft=cruise_ft,
        flown=flown,
    )
    return at_its_hours(plan, way)
