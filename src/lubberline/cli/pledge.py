"""``lubberline pledge``: what was printed, and whether it still holds."""

from pathlib import Path
from typing import Annotated

import typer

pledge_app = typer.Typer(
    help="What was printed, and whether it still holds.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

FlightPath = Annotated[Path, typer.Argument(help="The flight's folder, or its flight.toml.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document instead of text.")]


@pledge_app.command("list")
def list_(flight: FlightPath, as_json: AsJson = False) -> None:
    """Every card that was printed for a flight, the latest last."""
    from lubberline.cli.pledge_work import show_list

    show_list(flight, as_json=as_json)


@pledge_app.command()
def diff(
    flight: FlightPath,
    before: Annotated[
        str | None, typer.Argument(help="First digits of a pledge's hash; else the latest.")
    ] = None,
    after: Annotated[
        str | None, typer.Argument(help="The same of another; else the flight as it is now.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Does the card still hold, and what differs from it?"""
    from lubberline.cli.pledge_work import show_differences

    show_differences(flight, before, after, as_json=as_json)
