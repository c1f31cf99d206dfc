"""Words that many commands take."""

from pathlib import Path
from typing import Annotated

import typer

FlightPath = Annotated[Path, typer.Argument(help="The flight's folder, or its flight.toml.")]
WayNumber = Annotated[
    int | None, typer.Option("--way", help="Number of the way in 'lubberline ways'.", min=1)
]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document instead of text.")]
