"""The weather file of a flight: found, made where it is missing, and never half written."""

import shutil
import tomllib
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from lubberline.cli.output import hanging
from lubberline.errors import BadFile, Problem, RangeError
from lubberline.flight import FLIGHT_FILE, Plan, read_plan
from lubberline.tomlfile import read_text

USUAL_NAME: Final = "weather.txt"
MOST_APART: Final = timedelta(days=14)  # weather texts name no month
BEGINS: Final = (
    "# Weather for this flight: METAR, TAF and all else as pasted, dictated or fetched.\n"
)


def plan_and_file(path: Path) -> tuple[Plan, Path]:
    """The plan of a flight and its weather file, which is begun if the flight names an absent one.

    Raises
    ------
    BadFile
        If anything else is wrong with the flight.
    """
    try:
        plan = read_plan(path)
    except BadFile as exc:
        if {problem.key for problem in exc.problems} != {"weather"}:
            raise
        named = tomllib.loads(read_text(exc.path, FLIGHT_FILE))["weather"]
        keep_text(exc.path.parent / named, BEGINS)
        plan = read_plan(path)
    return plan, plan.folder / (plan.flight.weather_file or USUAL_NAME)


def text_of(path: Path) -> str:
    """What is in the file; its beginning if there is none yet."""
    return read_text(path, "a text file with METAR and TAF") if path.exists() else BEGINS


def keep_text(path: Path, text: str) -> None:
    """Put the file in its place whole.

    Raises
    ------
    BadFile
        If it cannot be written; what was there stays.
    """
    new = path.with_name(f"{path.name}.new")
    try:
        new.write_bytes(text.encode())
        if path.exists():
            shutil.copymode(path, new)
        new.replace(path)
    except OSError as exc:
        problem = Problem(key="file", found=f"{exc}", expected="a file that can be written")
        raise BadFile(path, [problem]) from exc


def say_unnamed(plan: Plan) -> None:
    """What is missing in a flight that names no weather file."""
    if plan.flight.weather_file is None:
        hanging(f'The flight does not read it yet: add weather = "{USUAL_NAME}" to {FLIGHT_FILE}.')


def check_near(plan: Plan, now_utc: datetime) -> None:
    """Refuse weather of another month than the flight's.

    Raises
    ------
    RangeError
        If the flight is more than ``MOST_APART`` away.
    """
    off_utc = plan.flight.off_block_utc
    apart = off_utc - now_utc
    if abs(apart) > MOST_APART:
        raise RangeError(
            f"off_block_utc is {off_utc:%Y-%m-%d %H:%MZ}, {abs(apart).days} days from"
            f" {now_utc:%Y-%m-%d}; weather texts name no month, so expected at most"
            f" {MOST_APART.days} days"
        )


def age_text(then_utc: datetime, now_utc: datetime) -> str:
    """How old something is: "25 min old", "3 h 05 min old", "2 days old"."""
    minutes = max(round((now_utc - then_utc) / timedelta(minutes=1)), 0)
    if minutes < 60:
        return f"{minutes} min old"
    if minutes < 48 * 60:
        return f"{minutes // 60} h {minutes % 60:02d} min old"
    return f"{minutes // 1440} days old"
