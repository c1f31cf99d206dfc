"""Working code of ``lubberline weather show``: what the weather says along a way, as text or JSON.

Nothing is decided here: the moments, who speaks and the worst of it come from ``fit``. Every raw
text stands below the table; what of it was not understood is told as unknown.
"""

from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from math import inf
from pathlib import Path
from typing import Any, Final

import numpy as np
import typer

from lubberline import loop
from lubberline.cli.output import document, hanging
from lubberline.cli.weather_file import age_text
from lubberline.earth import course_and_distance
from lubberline.fit import Passage, SettingUse, areas_met, passages, settings_along
from lubberline.flight import Plan
from lubberline.ways import Way
from lubberline.weather import Area, Conditions, PilotReport, category_of, wind_at
from lubberline.wording import CAUTION, direction_text

COLUMNS: Final = 80
BESIDE_NM: Final = 50.0  # own: as far as a pilot report tells something
LEGEND: Final = (
    "Wind there: true, at the planned height. SM, ceiling and category: the worst that may"
    " be met, told by the nearest field whose texts hold then."
)
_HEAD: Final = (
    f"  {'time':7}{'over':17}{'ft':>6}  {'wind there':12}{'told by':10}{'SM':>4}{'ceiling':>8}"
    "     weather"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One named place of the way at its time."""

    over: str
    passage: Passage
    wind_from_true_deg: float
    wind_kt: float
    oat_degc: float


def show(flight: Path, way: int | None, *, every: bool, as_json: bool) -> None:
    """The table, then every text that speaks of the way."""
    prepared = loop.prepare(flight, way)
    plan, chosen = prepared.plan, prepared.way
    moments = passages(plan, chosen)
    rows = list(_rows(plan, chosen, moments))
    if as_json:
        _document(plan, chosen, rows, moments)
        return
    typer.echo(f"WEATHER  {plan.flight.title}, way {prepared.number}: {chosen.name}")
    typer.echo(_HEAD)
    for row in rows:
        _line(row)
    hanging(LEGEND, hang=0)
    for title, texts in _sections(plan, chosen, moments, every=every):
        if texts:
            typer.echo(f"\n{title}")
            for text in texts:
                for line in text.splitlines():
                    indent = len(line) - len(line.lstrip())
                    hanging(line.strip(), indent=2 + indent)
    typer.echo()
    hanging(CAUTION, hang=0)


def _rows(plan: Plan, way: Way, moments: Sequence[Passage]) -> Iterator[Row]:
    """The departure, then the end of every leg."""
    after_min, names = 0.0, [way.legs[0].from_name if way.legs else plan.departure.id]
    at_min = [after_min]
    for leg in way.legs:
        after_min += leg.time_min
        names.append(leg.to_name)
        at_min.append(after_min)
    whole_min = max(float(way.path[-1, 3]), 1e-9)
    for name, minutes in zip(names, at_min, strict=True):
        index = round(min(minutes / whole_min, 1.0) * (len(moments) - 1))
        one = moments[index]
        aloft = wind_at(plan.weather.aloft, one.msl_ft)
        yield Row(
            over=name,
            passage=one,
            wind_from_true_deg=float(aloft[0]),
            wind_kt=float(aloft[1]),
            oat_degc=float(aloft[2]),
        )


def _line(row: Row) -> None:
    """One line; weather that does not fit stands below it."""
    one, worst = row.passage, row.passage.worst
    told = f"{one.field.id} {one.away_nm:.0f}NM" if one.field else "nobody"
    line = (
        f"  {one.at_utc:%H:%MZ} {row.over[:16]:17}{one.msl_ft:6,.0f}  {_wind(row):12}{told:10}"
        f"{_miles(worst):>4}{_ceiling(worst):>8} {category_of(worst) or '?':4}"
    )
    weather = " ".join(worst.weather) if worst else ""
    if len(line) + len(weather) < COLUMNS:
        typer.echo(f"{line} {weather}".rstrip())
    else:
        typer.echo(f"{line.rstrip()}\n{weather:>{COLUMNS}}")


def _wind(row: Row) -> str:
    if not np.isfinite(row.wind_kt):
        return "unknown"
    degrees = f" {row.oat_degc:+.0f}C" if np.isfinite(row.oat_degc) else ""
    return f"{direction_text(row.wind_from_true_deg)}/{row.wind_kt:02.0f}{degrees}"


def _miles(worst: Conditions | None) -> str:
    if worst is None or worst.visibility_sm is None:
        return "?"
    return f"{worst.visibility_sm:.2g}{'+' if worst.visibility_is_least else ''}"


def _ceiling(worst: Conditions | None) -> str:
    if worst is None or worst.ceiling_agl_ft is None:
        return "unknown"
    return "none" if worst.ceiling_agl_ft == inf else f"{worst.ceiling_agl_ft:,.0f}"


def _sections(
    plan: Plan, way: Way, moments: Sequence[Passage], *, every: bool
) -> Iterator[tuple[str, list[str]]]:
    weather = plan.weather
    speaking = _speaking(plan, moments)
    stations = sorted({*weather.reports, *weather.forecasts})
    shown = [one for one in stations if every or one in speaking]
    yield "Altimeter, where to change", [_setting(one) for one in settings_along(plan, way)]
    yield "Fields", [text for name in shown for text in _station(plan, name)]
    met = areas_met(plan, way)
    yield "Areas met or near", [f"{one.words}\n{_area(one.area)}" for one in met]
    near = [one for one in weather.pilot_reports if every or _is_near(one, moments)]
    yield "Pilots told", [_pilot(one) for one in near]
    yield "Winds aloft", list(_aloft(plan))
    yield "Not read", [f"{piece}" for piece in weather.unread]
    beside = {id(one.area) for one in met}
    others = [one for one in weather.areas if id(one) not in beside]
    if every:
        yield "Areas elsewhere or at other times", [_area(one) for one in others]
        return
    left = (
        (len(stations) - len(shown), "field(s) that nobody asks"),
        (len(weather.pilot_reports) - len(near), f"pilot report(s) over {BESIDE_NM:g} NM away"),
        (len(others), "area(s) that are not met"),
    )
    told = [f"{count} {what}" for count, what in left if count]
    yield "Also in the file (--all shows them)", ["; ".join(told)] if told else []


def _setting(use: SettingUse) -> str:
    """From when on a setting is to be used, and what the first one kept, or the air, would do."""
    line = (
        f"{use.from_utc:%H:%MZ} {use.station} {use.setting_inhg:.2f} of {use.observed_utc:%H:%MZ}"
    )
    if round(use.higher_ft):
        kept = "higher" if use.higher_ft > 0.0 else "lower"
        line += f"; with the first kept you fly {abs(use.higher_ft):.0f} ft {kept} than shown"
    if use.temperature_ft is None:
        return f"{line}; the air's part is unknown"
    side = "higher" if use.temperature_ft > 0.0 else "lower"
    return f"{line}; the air puts you {abs(use.temperature_ft):.0f} ft {side}"


def _speaking(plan: Plan, moments: Sequence[Passage]) -> set[str]:
    """Fields that tell the weather of a moment, and the ends and alternates."""
    ends = {plan.departure.id, plan.destination.id, *(one.id for one in plan.alternates)}
    return ends | {one.field.id for one in moments if one.field}


def _station(plan: Plan, name: str) -> Iterator[str]:
    """The raw texts of a field, and what of them was not understood."""
    report, forecast = plan.weather.reports.get(name), plan.weather.forecasts.get(name)
    if report is not None:
        age = age_text(report.observed_utc, plan.flight.off_block_utc)
        yield f"{name} report, {age} at off block"
        yield f"  {report.text}"
        yield from (f"  unknown: {group}" for group in report.undecoded)
    if forecast is not None:
        from_utc, until_utc = forecast.valid_from_utc, forecast.valid_until_utc
        yield f"{name} forecast, {from_utc:%d %HZ} to {until_utc:%d %HZ}"
        yield f"  {forecast.text}"
        yield from (f"  unknown: {group}" for group in forecast.undecoded)


def _area(area: Area) -> str:
    lost = [*(f"{one} (nowhere on file)" for one in area.missing), *area.undecoded]
    return "\n".join([f"  {' '.join(area.text.split())}", *(f"  unknown: {one}" for one in lost)])


def _is_near(report: PilotReport, moments: Sequence[Passage]) -> bool:
    """Whether a report is of a place beside the way; one whose place is not known may be."""
    if report.lat_deg is None or report.lon_deg is None:
        return True
    lat_deg, lon_deg = (np.array([getattr(m, n) for m in moments]) for n in ("lat_deg", "lon_deg"))
    away_nm = course_and_distance(lat_deg, lon_deg, report.lat_deg, report.lon_deg)[1]
    return bool(away_nm.min() <= BESIDE_NM)


def _pilot(report: PilotReport) -> str:
    urgent = "URGENT " if report.urgent else ""
    return "\n".join([f"{urgent}{report.text}", *(f"  unknown: {one}" for one in report.undecoded)])


def _aloft(plan: Plan) -> Iterator[str]:
    """Wind at every height that the flight reckons with, and where it is from."""
    aloft, tables = plan.weather.aloft, plan.weather.tables
    columns = (aloft.msl_ft, aloft.from_true_deg, aloft.wind_kt, aloft.oat_degc)
    levels = [
        f"{ft:,.0f} ft {direction_text(deg)}/{kt:02.0f}"
        + (f" {degc:+.0f}C" if degc == degc else "")
        for ft, deg, kt, degc in zip(*columns, strict=True)
    ]
    yield f"used: {'; '.join(levels) or 'unknown'}"
    for table in tables:
        span = f"{table.use_from_utc:%d %H:%MZ} to {table.use_until_utc:%d %H:%MZ}"
        known = [one for one in table.stations if one.lat_deg is not None]
        yield f"table for use {span}: {len(known)} of {len(table.stations)} stations are on file"
        yield from (f"  {one.text}" for one in known)
        yield from (f"  unknown: {row}" for row in table.undecoded)


def _document(plan: Plan, way: Way, rows: Sequence[Row], moments: Sequence[Passage]) -> None:
    def moment(one: Passage) -> dict[str, Any]:
        return {
            "at_utc": one.at_utc,
            "lat_deg": one.lat_deg,
            "lon_deg": one.lon_deg,
            "msl_ft": one.msl_ft,
            "told_by": one.field.id if one.field else None,
            "away_nm": one.away_nm,
            "no_ceiling": bool(one.worst and one.worst.ceiling_agl_ft == inf),
            "category": category_of(one.worst),
            "worst": asdict(one.worst) if one.worst else None,
        }

    weather = plan.weather
    document(
        flight=plan.flight.title,
        way=way.name,
        over=[
            {
                "over": row.over,
                "wind_from_true_deg": row.wind_from_true_deg,
                "wind_kt": row.wind_kt,
                "oat_degc": row.oat_degc,
                **moment(row.passage),
            }
            for row in rows
        ],
        passages=[moment(one) for one in moments],
        altimeter=[asdict(one) for one in settings_along(plan, way)],
        reports={name: asdict(one) for name, one in weather.reports.items()},
        forecasts={name: asdict(one) for name, one in weather.forecasts.items()},
        areas_met=[{"words": one.words, "text": one.area.text} for one in areas_met(plan, way)],
        pilot_reports=[asdict(one) for one in weather.pilot_reports],
        tables=[table.text for table in weather.tables],
        unread=[asdict(one) for one in weather.unread],
        caution=CAUTION,
    )
