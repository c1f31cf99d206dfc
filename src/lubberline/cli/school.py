"""``lubberline school``: a learner by task codes, one pilot over types, several pilots."""

from pathlib import Path
from typing import Annotated

import typer

school_app = typer.Typer(
    help="Learners by task code, what carries over between types, pilots who share.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

Home = Annotated[Path, typer.Argument(help="The folder, with its store.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document instead of text.")]


@school_app.command()
def learner(
    directory: Home,
    name: Annotated[str | None, typer.Option(help="Whose; else the folder's own pilot.")] = None,
    standard: Annotated[
        str | None, typer.Option(help="Name of a file in standards/: all its tasks, shown or not.")
    ] = None,
    csv: Annotated[Path | None, typer.Option(help="Write the training record as CSV.")] = None,
    html: Annotated[Path | None, typer.Option(help="Write it as one HTML page.")] = None,
    as_json: AsJson = False,
) -> None:
    """Where does a learner stand, task by task, and what shows it?"""
    from lubberline.cli import school_work as work

    work.show_learner(directory, name, standard, csv=csv, html=html, as_json=as_json)


@school_app.command()
def types(
    directory: Home,
    name: Annotated[str | None, typer.Option(help="Whose; else the folder's own pilot.")] = None,
    as_json: AsJson = False,
) -> None:
    """What carries over from one type of airplane to the next?"""
    from lubberline.cli import school_work as work

    work.show_types(directory, name, as_json=as_json)


@school_app.command()
def pilots(directory: Home, as_json: AsJson = False) -> None:
    """How do those who agreed to be shown fly, measure by measure?"""
    from lubberline.cli import school_work as work

    work.show_pilots(directory, as_json=as_json)
