"""What the search found and the checker refused: a defect, kept with its problem to be mended.

Such a way is never shown. While a search runs, its log is listened to; if it named any, the
problem is written in its file form to the user's cache, and a warning says where. The file
solves again with ``lubberline ways --problem``.
"""

import json
import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict
from hashlib import sha256
from math import ceil
from pathlib import Path
from typing import Any, Final

import numpy as np

from lubberline.arrays import FloatArray
from lubberline.places import Circle, Footprint, Height, Volume
from lubberline.ways.problem import WayEnd, WaysProblem

SEARCH_LOG: Final = "lubberline.ways.search.best"
AROUND_DEG: Final = 0.5  # own: ground is kept so far round the fields and the airspace
GRID_DEG: Final = 1.0 / 240.0  # own: a quarter of a mile
_MOST_ROWS: Final = 400

log = logging.getLogger(__name__)


class _Refusals(logging.Handler):
    """Collects what the search says of ways that its checker refused."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.said: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        """Keep one message."""
        self.said.append(record.getMessage())


@contextmanager
def defects_kept(problem: WaysProblem) -> Iterator[None]:
    """Around a search: if any way is refused by the checker, its problem is kept on file."""
    heard, source = _Refusals(), logging.getLogger(SEARCH_LOG)
    before = source.propagate
    source.addHandler(heard)
    source.propagate = False
    try:
        yield
    finally:
        source.removeHandler(heard)
        source.propagate = before
        if heard.said:
            _keep(problem, heard.said)


def _keep(problem: WaysProblem, said: list[str]) -> None:
    text = json.dumps(problem_record(problem, description="; ".join(said)), allow_nan=False)
    home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    folder = Path(home) / "lubberline" / "defects"
    path = folder / f"problem-{sha256(text.encode()).hexdigest()[:12]}.json"
    refused = f"{len(said)} way(s) that failed the check are not shown ({said[0]})"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    except OSError as exc:
        log.warning("%s; the problem could not be kept: %s", refused, exc)
        return
    log.warning("%s; a defect, its problem is kept in %s", refused, path)


def problem_record(problem: WaysProblem, *, description: str = "") -> dict[str, Any]:
    """A problem in its file form, as ``read_problem`` takes it.

    Terrain becomes one grid round fields and volumes; ground that is not known is the lowest
    that is, since the form has no unknown.
    """
    motion = asdict(problem.motion)
    fuel = {phase: motion.pop(f"{phase}_gph") for phase in ("climb", "cruise", "descent")}
    margins, rules = problem.margins, asdict(problem.rules)
    rules["magvar_deg"] = rules.pop("variation_deg")
    rules["level_vs_fpm"] = rules.pop("level_fpm")
    wind = problem.wind
    rows = zip(wind.msl_ft, wind.from_true_deg, wind.wind_kt, strict=True)
    return {
        "name": problem.name,
        "description": description or problem.description,
        "departure": _end(problem.departure),
        "destination": _end(problem.destination),
        "aircraft": {**motion, "fuel_gph": fuel},
        "wind": [
            {"alt_ft": float(ft), "from_deg": float(d), "kt": float(kt)} for ft, d, kt in rows
        ],
        "margins": {"lateral_nm": margins.lateral_nm, "vertical_ft": margins.vertical_ft},
        "rules": rules,
        "terrain": _terrain(problem),
        "land": [ring.tolist() for ring in problem.land_deg],
        "volumes": [_volume(one) for one in problem.volumes],
        "points": [
            {"name": one.name, "lat": one.lat_deg, "lon": one.lon_deg} for one in problem.points
        ],
    }


def _end(end: WayEnd) -> dict[str, Any]:
    return {"id": end.id, "lat": end.lat_deg, "lon": end.lon_deg, "elev_ft": end.elev_msl_ft}


def _volume(one: Volume) -> dict[str, Any]:
    record: dict[str, Any] = {
        "id": one.id,
        "name": one.name,
        "class": one.airspace_class,
        "group": one.group,
        "facility": one.facility,
        "floor": _height(one.floor),
        "ceiling": _height(one.ceiling),
        "shape": _shape(one.footprint),
    }
    if one.lateral_margin_nm is not None:
        record["lateral_margin_nm"] = one.lateral_margin_nm
    return record


def _height(height: Height) -> dict[str, Any]:
    return {"ref": height.reference, "ft": height.ft}


def _shape(footprint: Footprint) -> dict[str, Any]:
    if isinstance(footprint, Circle):
        return {
            "type": "circle",
            "center": [footprint.lat_deg, footprint.lon_deg],
            "radius_nm": footprint.radius_nm,
            "inner_nm": footprint.inner_nm,
        }
    return {
        "type": "polygon",
        "points": footprint.corners_deg.tolist(),
        "holes": [hole.tolist() for hole in footprint.holes_deg],
    }


def _terrain(problem: WaysProblem) -> dict[str, Any]:
    ends = np.array([[p.lat_deg, p.lon_deg] for p in (problem.departure, problem.destination)])
    south, west = ends.min(axis=0) - AROUND_DEG
    north, east = ends.max(axis=0) + AROUND_DEG
    step_deg = max(GRID_DEG, (north - south) / _MOST_ROWS, (east - west) / _MOST_ROWS)
    lat_deg = south + step_deg * np.arange(ceil((north - south) / step_deg) + 1)
    lon_deg = west + step_deg * np.arange(ceil((east - west) / step_deg) + 1)
    ground_ft = problem.terrain.ground_ft(*np.meshgrid(lat_deg, lon_deg, indexing="ij"))
    return {
        "type": "grid",
        "lat0": float(south),
        "lon0": float(west),
        "dlat": step_deg,
        "dlon": step_deg,
        "ft": _filled(ground_ft).tolist(),
    }


def _filled(ground_ft: FloatArray) -> FloatArray:
    known = np.isfinite(ground_ft)
    lowest_ft = float(ground_ft[known].min()) if known.any() else 0.0
    return np.asarray(np.round(np.where(known, ground_ft, lowest_ft), 1), dtype=np.float64)
