"""The commands that judge a recording: as text, and as a page."""

from pathlib import Path
from typing import Annotated

import typer

from lubberline.cli.arguments import (
    AimFt,
    Also,
    Another,
    AsJson,
    ByClock,
    Columns,
    EveryS,
    FlightPath,
    GateFt,
    GustKt,
    KeepColumns,
    RoleName,
    StandardName,
    Start,
    TakeRow,
    WayNumber,
    clock_of,
)


def flown(  # noqa: PLR0913 - options of a command
    flight: FlightPath,
    recording: Annotated[Path, typer.Argument(help="GPX, IGC, KML, NMEA, CSV or JSON.")],
    also: Also = None,
    by_clock: ByClock = False,
    start: Start = None,
    every_s: EveryS = None,
    columns: Columns = None,
    keep_columns: KeepColumns = False,
    standard: StandardName = None,
    keep: Annotated[bool, typer.Option(help="Keep the flight in the store for drift.")] = True,
    parquet: Annotated[
        Path | None, typer.Option(help="Write the derived samples, too.", metavar="FILE")
    ] = None,
    aim_ft: AimFt = None,
    gate_ft: GateFt = 500.0,
    gust_kt: GustKt = 0.0,
    role: RoleName = None,
    log: TakeRow = False,
    another: Another = False,
    as_json: AsJson = False,
) -> None:
    """What was flown, against the pledge and the standard?"""
    from lubberline.cli.columns import settle_columns
    from lubberline.cli.flown import show_flown
    from lubberline.flown import Aims
    from lubberline.loop.debriefing import Asked, judge
    from lubberline.loop.taken import LogAsked

    asked = Asked(
        columns=columns, also=tuple(also or ()), by_clock=by_clock, standard=standard,
        clock=clock_of(start, every_s),
        aims=Aims(point_ft=aim_ft, gate_ft=gate_ft, gust_kt=gust_kt),
    )  # fmt: skip
    settle_columns(flight, recording, asked, keep=keep_columns, may_ask=not as_json)
    logged = LogAsked(role=role, take=log, another=another)
    judged = judge(flight, recording, asked=asked, keep=keep, log=logged)
    show_flown(judged, as_json=as_json, parquet=parquet)


def page(  # noqa: PLR0913 - options of a command
    flight: FlightPath,
    recording: Annotated[Path | None, typer.Option(help="A recording to show as well.")] = None,
    also: Also = None,
    by_clock: ByClock = False,
    start: Start = None,
    every_s: EveryS = None,
    columns: Columns = None,
    keep_columns: KeepColumns = False,
    standard: StandardName = None,
    aim_ft: AimFt = None,
    gate_ft: GateFt = 500.0,
    gust_kt: GustKt = 0.0,
    way: WayNumber = None,
    out: Annotated[Path, typer.Option(help="HTML file to write.")] = Path("report.html"),
) -> None:
    """Write one HTML report: map, profiles, the line, drift."""
    from lubberline.cli.columns import settle_columns
    from lubberline.flown import Aims
    from lubberline.loop.debriefing import Asked
    from lubberline.page import write_report

    asked = Asked(
        columns=columns, also=tuple(also or ()), by_clock=by_clock, standard=standard,
        clock=clock_of(start, every_s),
        aims=Aims(point_ft=aim_ft, gate_ft=gate_ft, gust_kt=gust_kt),
    )  # fmt: skip
    if recording is not None:
        settle_columns(flight, recording, asked, keep=keep_columns, may_ask=True)
    elif also:
        raise typer.BadParameter("--also goes with --recording, whose clock sets its own")
    wrote = write_report(flight, out, recording_path=recording, number=way, asked=asked)
    typer.echo(f"wrote {wrote}")
