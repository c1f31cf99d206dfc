"""Working code of ``lubberline ways --problem``: a stated problem, and the ways that solve it."""

from pathlib import Path

import typer

from lubberline.cli.output import document, say, wrapped
from lubberline.errors import RangeError
from lubberline.ways import Way, answer_record, read_problem
from lubberline.ways.ahead import is_compiled, mark_compiled
from lubberline.ways.defects import defects_kept
from lubberline.ways.search import find_way, find_ways
from lubberline.wording import CAUTION


def solve(path: Path, permissions: str, *, as_json: bool) -> None:
    """All different ways, or the best for exactly these permissions ("a,b", "none")."""
    problem = read_problem(path)
    say_compiling()
    with defects_kept(problem):
        every = permissions == "all"
        ways = find_ways(problem) if every else (find_way(problem, _said(permissions)),)
    mark_compiled()
    if as_json:
        document(**answer_record(ways), caution=CAUTION)
        return
    say(f"WAYS  {problem.name}")
    for number, way in enumerate(ways, 1):
        _row(number, way)
    say()
    wrapped(CAUTION)


def say_compiling() -> None:
    """Tell why the first search of all takes so long."""
    if not is_compiled():
        typer.echo("compiling the search, once: about half a minute", err=True)


def _said(permissions: str) -> frozenset[str]:
    if permissions == "none":
        return frozenset()
    said = frozenset(part.strip() for part in permissions.split(","))
    if said & {"", "none", "all"}:
        raise RangeError(f"--permissions is {permissions!r}; expected a,b or none or all")
    return said


def _row(number: int, way: Way) -> None:
    say(
        f"{number:2} {way.time_min:6.1f} min {way.fuel_gal:5.1f} gal {way.distance_nm:6.1f} NM"
        f" {way.cruise_msl_ft:7,.0f} ft  {way.name}"
    )
    wrapped(f"asks for: {', '.join(sorted(way.asks)) or 'nothing'}", indent=5)
