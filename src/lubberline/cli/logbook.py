"""``lubberline logbook``: what it adds up to, CSV in and out, on paper, and how it is corrected."""

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

logbook_app = typer.Typer(
    help="Add up, bring in, give out and print the logbook.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

Home = Annotated[Path, typer.Argument(help="The pilot's folder.")]
PilotName = Annotated[str | None, typer.Option("--pilot", help="Name; else that in pilot.toml.")]
On = Annotated[
    datetime | None, typer.Option(help="Day to add up to; else today.", formats=["%Y-%m-%d"])
]
Why = Annotated[str, typer.Option(help="Why; it is kept.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document instead of text.")]


@logbook_app.command()
def totals(
    directory: Home, pilot: PilotName = None, on: On = None, as_json: AsJson = False
) -> None:
    """What does it add up to, by category, type, day and night, instruction, landings?"""
    from lubberline.cli import logbook_work as work

    work.show_totals(directory, pilot, on, as_json=as_json)


@logbook_app.command(name="list")
def list_lines(
    directory: Home,
    pilot: PilotName = None,
    count: Annotated[int, typer.Option(help="How many, latest last.", min=1)] = 20,
    as_json: AsJson = False,
) -> None:
    """Which lines are in it, also those that do not count, and why not?"""
    from lubberline.cli import logbook_work as work

    work.show_lines(directory, pilot, count, as_json=as_json)


@logbook_app.command(name="import")
def import_csv(
    directory: Home,
    csv: Annotated[Path, typer.Argument(help="A CSV file with one flight a row.")],
    columns: Annotated[
        Path | None, typer.Option(help="TOML that says which column is what; else our own form.")
    ] = None,
    pilot: PilotName = None,
) -> None:
    """Bring in a CSV logbook; rows that are there already are not added again."""
    from lubberline.cli import logbook_work as work

    work.bring_in(directory, csv, columns, pilot)


@logbook_app.command()
def export(
    directory: Home,
    csv: Annotated[Path, typer.Argument(help="File to write; a new one.")],
    pilot: PilotName = None,
) -> None:
    """Write every line that counts as CSV."""
    from lubberline.cli import logbook_work as work

    work.give_out(directory, csv, pilot)


@logbook_app.command(name="print")
def print_pages(
    directory: Home,
    pdf: Annotated[Path, typer.Argument(help="PDF to write.")],
    pilot: PilotName = None,
    on: On = None,
    letter: Annotated[bool, typer.Option("--letter", help="On letter paper; else A4.")] = False,
) -> None:
    """Print it, with sums carried forward and a place to sign."""
    from lubberline.cli import logbook_work as work

    work.print_pages(directory, pdf, pilot, on, letter=letter)


@logbook_app.command()
def withdraw(
    directory: Home,
    line: Annotated[int, typer.Argument(help="Number of the line in 'logbook list'.", min=1)],
    reason: Why,
) -> None:
    """Take a line out of all sums; it stays, with the reason."""
    from lubberline.cli import logbook_work as work

    work.withdraw(directory, line, reason)


@logbook_app.command()
def correct(
    directory: Home,
    flight: Annotated[int, typer.Argument(help="Number of the flight in 'logbook list'.", min=1)],
    field: Annotated[str, typer.Argument(help="What to change, such as pilot or aircraft.")],
    text: Annotated[str, typer.Argument(help="What it should say.")],
    reason: Why,
) -> None:
    """Change what a kept flight says; what it said before stays beside it."""
    from lubberline.cli import logbook_work as work

    work.correct(directory, flight, field, text, reason)
