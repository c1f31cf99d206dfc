"""The commands of the ways: which lead there, and whom to call on them."""

from pathlib import Path
from typing import Annotated

import typer

from lubberline.cli.arguments import AsJson, FlightPath, WayNumber


def ways(
    flight: Annotated[
        Path | None, typer.Argument(help="The flight's folder, or its flight.toml.")
    ] = None,
    way: WayNumber = None,
    problem: Annotated[
        Path | None, typer.Option(help="A problem file (JSON) to be solved instead of a flight.")
    ] = None,
    permissions: Annotated[
        str, typer.Option(help="With --problem: groups a,b that are had; none; or all ways.")
    ] = "all",
    pictures: Annotated[
        Path | None,
        typer.Option(
            help="Folder to write map and profiles into, as SVG and PNG.", metavar="FOLDER"
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Which ways lead there, at what price, and are they clear?"""
    if (flight is None) == (problem is None):
        raise typer.BadParameter("a flight, or a problem file with --problem")
    if problem is None and permissions != "all":
        raise typer.BadParameter(
            "--permissions is asked with --problem; a flight's own ways say theirs"
        )
    if problem is not None:
        if pictures is not None or way is not None:
            raise typer.BadParameter(
                "--way and --pictures show the ways of a flight, not of --problem"
            )
        from lubberline.cli.ways_problem import solve

        solve(problem, permissions, as_json=as_json)
        return
    assert flight is not None
    from lubberline.cli.ways import show_ways

    show_ways(flight, way, as_json=as_json)
    if pictures is not None:
        from lubberline import loop
        from lubberline.page import write_pictures

        written = write_pictures(loop.prepare(flight, way), pictures)
        typer.echo(f"wrote {len(written)} pictures into {pictures}", err=as_json)


def radio(flight: FlightPath, way: WayNumber = None, as_json: AsJson = False) -> None:
    """Whom to call, where, on which frequency; if nobody answers?"""
    from lubberline.cli.radio import show_radio

    show_radio(flight, way, as_json=as_json)
