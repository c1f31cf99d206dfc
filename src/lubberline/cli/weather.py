"""The commands on a flight's weather: each parses its words and makes one call."""

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

weather_app = typer.Typer(
    help="A flight's weather: fetch, show, notices, dictate.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

FlightPath = Annotated[Path, typer.Argument(help="The flight's folder, or its flight.toml.")]
WayNumber = Annotated[
    int | None, typer.Option("--way", help="Number of the way in 'lubberline ways'.", min=1)
]
AllRows = Annotated[bool, typer.Option("--all", help="What does not touch the flight, too.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document instead of text.")]


@weather_app.command()
def fetch(
    path: Annotated[
        Path, typer.Argument(help="A flight, or a pilot's folder for all flights to come.")
    ],
    as_json: AsJson = False,
) -> None:
    """Bring official weather for a flight's places into its weather file."""
    from lubberline.cli.weather_fetch import fetch as bring

    bring(path, as_json=as_json)


@weather_app.command()
def show(
    flight: FlightPath, way: WayNumber = None, every: AllRows = False, as_json: AsJson = False
) -> None:
    """What does the weather say along the way, when you pass?"""
    from lubberline.cli.weather_show import show as tell

    tell(flight, way, every=every, as_json=as_json)


@weather_app.command()
def notices(
    flight: FlightPath, way: WayNumber = None, every: AllRows = False, as_json: AsJson = False
) -> None:
    """Which notices touch this flight, the gravest first, and why?"""
    from lubberline.cli.weather_notices import notices as tell

    tell(flight, way, every=every, as_json=as_json)


@weather_app.command()
def dictate(
    flight: FlightPath,
    lines: Annotated[
        list[str] | None, typer.Argument(help="What you heard, an item each; else it is asked.")
    ] = None,
    on: Annotated[
        datetime | None, typer.Option(help="Day, UTC; else today.", formats=["%Y-%m-%d"])
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Type what you heard (ATIS, telephone); it becomes a report."""
    from lubberline.cli.weather_dictate import dictate as write

    write(flight, lines, on=on, as_json=as_json)
