"""Words that many commands take."""

from pathlib import Path
from typing import Annotated, Literal

import typer

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
