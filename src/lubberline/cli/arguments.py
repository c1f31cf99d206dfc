"""Words that many commands take."""

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

import typer

if TYPE_CHECKING:
    from lubberline.recording import Clock

FlightPath = Annotated[Path, typer.Argument(help="The flight's folder, or its flight.toml.")]
WayNumber = Annotated[
    int | None, typer.Option("--way", help="Number of the way in 'lubberline ways'.", min=1)
]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document instead of text.")]
RoleName = Annotated[
    Literal["command", "solo", "dual", "instruction"] | None,
    typer.Option("--role", help="Who you were aboard; else as flight.toml or pilot.toml say."),
]
TakeRow = Annotated[bool, typer.Option("--log", help="Take the row into the logbook.")]
Another = Annotated[
    bool, typer.Option("--another", help="With --log: the logbook's line of the day is another.")
]
Also = Annotated[
    list[Path] | None,
    typer.Option(help="A further recording of the same flight; its clock is set by the first."),
]
ByClock = Annotated[bool, typer.Option("--by-clock", help="With --also: take its clock as it is.")]
Columns = Annotated[
    Path | None,
    typer.Option(help="TOML that maps a CSV's columns; else one in recordings/, or a guess."),
]
KeepColumns = Annotated[
    bool, typer.Option("--keep-columns", help="Keep the guessed map in recordings/ unasked.")
]
StandardName = Annotated[
    str | None, typer.Option(help="Name of a file in standards/; else the flight's own.")
]
AimFt = Annotated[
    float | None,
    typer.Option("--aim", help="Point aimed at, feet past the threshold.", metavar="FT"),
]
GateFt = Annotated[
    float, typer.Option("--gate", help="Stable by this height above the runway.", metavar="FT")
]
GustKt = Annotated[
    float,
    typer.Option("--gust", help="Gust over the mean wind; half is added on final.", metavar="KT"),
]
Start = Annotated[
    datetime | None,
    typer.Option(help="When a recording without times began, UTC.", formats=["%Y-%m-%dT%H:%M:%S"]),
]
EveryS = Annotated[
    float | None,
    typer.Option(
        "--every", help="With --start: seconds from sample to sample.", metavar="S", min=0.01
    ),
]


def clock_of(start: datetime | None, every_s: float | None) -> "Clock | None":
    """The pilot's word on time."""
    from lubberline.recording import Clock

    if start is None:
        if every_s is not None:
            raise typer.BadParameter("--every goes with --start")
        return None
    return Clock(start_utc=start.replace(tzinfo=UTC), every_s=every_s)
