"""The commands on published data of places: each parses its words and makes one call.

``lubberline places`` is a group of its own; ``places_app`` is where further commands join it.
"""

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

places_app = typer.Typer(
    help="Published aerodromes, airspace, obstacles: add, look up, check.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document instead of text.")]
AllRows = Annotated[bool, typer.Option("--all", help="Every row, not the first ones only.")]
On = Annotated[
    datetime | None, typer.Option(help="Day to count from; else today.", formats=["%Y-%m-%d"])
]


@places_app.command()
def add(
    files: Annotated[list[Path], typer.Argument(help="Files, folders or zip files as published.")],
    priority: Annotated[
        int, typer.Option(help="Of two sources the one with the higher number is used.")
    ] = 0,
    every: AllRows = False,
    as_json: AsJson = False,
) -> None:
    """Read published files, whatever their form, and keep them at hand."""
    from lubberline.cli.places_work import add_files

    add_files(files, priority=priority, every=every, as_json=as_json)


@places_app.command(name="list")
def list_sets(as_json: AsJson = False) -> None:
    """What has been added, and until when does it hold?"""
    from lubberline.cli.places_work import list_sets as show

    show(as_json=as_json)


@places_app.command(context_settings={"ignore_unknown_options": True})
def near(
    place: Annotated[str, typer.Argument(help="Id or name of a place, or LAT,LON in degrees.")],
    within_nm: Annotated[
        float, typer.Option("--within", help="How many nautical miles around.", min=0.1, max=300)
    ] = 10.0,
    every: AllRows = False,
    as_json: AsJson = False,
) -> None:
    """What lies round a place: fields, airspace, waypoints, obstacles?"""
    from lubberline.cli.places_near import near as show

    show(place, within_nm=within_nm, every=every, as_json=as_json)


@places_app.command()
def check(on: On = None, every: AllRows = False, as_json: AsJson = False) -> None:
    """What has expired, is missing, looks wrong or disagrees?"""
    from lubberline.cli.places_work import check as show

    show(on, every=every, as_json=as_json)


@places_app.command()
def remove(
    names: Annotated[list[str], typer.Argument(help="Names as 'lubberline places list' tells.")],
) -> None:
    """Forget added files; the files themselves stay."""
    from lubberline.cli.places_work import remove as forget

    forget(names)


@places_app.command()
def update(on: On = None) -> None:
    """Bring the official files of the current cycle, and add them."""
    from lubberline.cli.places_update import update as bring

    bring(on.date() if on else None)
