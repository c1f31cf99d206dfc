"""Working code of ``lubberline weather dictate``: words become a report in the weather file."""

import sys
from collections.abc import Callable, Sequence
from dataclasses import asdict
from datetime import UTC, datetime, timedelta
from math import inf
from pathlib import Path

import typer

from lubberline.cli.output import document, hanging
from lubberline.cli.weather_file import check_near, keep_text, plan_and_file, say_unnamed, text_of
from lubberline.fit import wind_text
from lubberline.flight import Plan
from lubberline.weather import Heard, Report, read_dictated

FORM = """\
One item a line, an empty line ends. First the field, the letter, the time UTC:
  QMRL information bravo 2053
then any of
  wind 280 at 12 gust 19     (magnetic as spoken; add "true" where it is)
  visibility 1 1/2           weather light rain, mist
  clouds few 2500, broken 4500                    temperature 10
  dew point 5                altimeter 29.96      runway 30      remarks ..."""


def dictate(
    flight: Path, lines: Sequence[str] | None, *, on: datetime | None, as_json: bool
) -> None:
    """Read the words, add the report at the end of the file, and show what it comes to."""
    plan, file = plan_and_file(flight)
    clock = datetime.now(UTC)
    now_utc = on.replace(tzinfo=UTC) + timedelta(hours=23, minutes=59) if on else clock
    check_near(plan, now_utc)
    heard = read_dictated(lines or _asked(), find=_finder(plan), now_utc=now_utc)
    before = text_of(file).rstrip("\r\n")
    keep_text(file, "\n".join([before, "", *heard.lines, ""]))
    if as_json:
        document(file=file, report=asdict(heard.report), lines=heard.lines)
        return
    _show(heard, file)
    say_unnamed(plan)


def _asked() -> list[str]:
    """Lines from the terminal, or from whatever is piped in."""
    if sys.stdin.isatty():
        typer.echo(FORM, err=True)
    lines: list[str] = []
    for line in sys.stdin:
        if not line.strip() and lines:
            break
        lines.append(line)
    return lines


def _finder(plan: Plan) -> Callable[[str], tuple[str, float, float] | None]:
    def find(name: str) -> tuple[str, float, float] | None:
        field = plan.places.aerodrome(name)
        return (field.id, field.lat_deg, field.lon_deg) if field else None

    return find


def _show(heard: Heard, file: Path) -> None:
    report = heard.report
    typer.echo(f"HEARD  {report.station}, {report.observed_utc:%Y-%m-%d %H:%MZ}")
    for name, told in _elements(report):
        typer.echo(f"  {name:14}{told}")
    hanging(report.text, indent=2)
    typer.echo(f"added to {file}")


def _elements(report: Report) -> list[tuple[str, str]]:
    """Every element in words; "not said" where it was not."""
    miles = report.visibility_sm
    more = " or more" if report.visibility_is_least else ""
    ceiling = report.ceiling_agl_ft
    pressure = report.altimeter_inhg
    rows = [
        ("wind", wind_text(report.wind).removeprefix("wind ") if report.wind else None),
        ("visibility", None if miles is None else f"{miles:.3g} SM{more}"),
        ("weather", ", ".join(report.weather) or None),
        (
            "ceiling",
            None if ceiling is None else "none" if ceiling == inf else f"{ceiling:,.0f} ft",
        ),
        ("temperature", _degrees(report.temperature_degc)),
        ("dew point", _degrees(report.dewpoint_degc)),
        ("altimeter", None if pressure is None else f"{pressure:.2f} inHg"),
    ]
    return [(name, "not said" if told is None else told) for name, told in rows]


def _degrees(degc: float | None) -> str | None:
    return None if degc is None else f"{degc:g} degC"
