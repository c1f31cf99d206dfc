"""``lubberline store``: is it whole, copies of it, and all of it as plain files."""

from pathlib import Path
from typing import Annotated

import typer

store_app = typer.Typer(
    help="Check, copy, export and import the flights that were kept.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

Kept = Annotated[Path, typer.Argument(help="The pilot's folder, or a store file.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print one JSON document instead of text.")]


@store_app.command()
def check(directory: Kept, as_json: AsJson = False) -> None:
    """Is everything in the store as it was put there?"""
    from dataclasses import asdict

    from lubberline.cli.output import document, say
    from lubberline.store import check_store

    checked = check_store(_file(directory))
    if as_json:
        document(**asdict(checked))
    else:
        say(
            f"{checked.flight_count:,} flights, {checked.finding_count:,} findings,"
            f" {checked.recording_bytes_count / 1e6:,.1f} MB of recordings"
        )
        for problem in checked.problems:
            say(f"damaged: {problem}")
        if not checked.problems:
            say("Whole: every page, reference and hash is as it was put there.")
    if checked.problems:
        raise typer.Exit(1)


@store_app.command()
def backup(
    directory: Kept, copy: Annotated[Path, typer.Argument(help="File to write; a new one.")]
) -> None:
    """Write a whole copy; others may use the store meanwhile."""
    from lubberline.cli.output import say
    from lubberline.store import backup_store

    checked = backup_store(_file(directory), copy)
    say(f"wrote {copy}: {checked.flight_count:,} flights, found whole")


@store_app.command()
def restore(
    copy: Annotated[Path, typer.Argument(help="A copy that 'backup' wrote.")], directory: Kept
) -> None:
    """Put a copy in the store's place; what was there is kept."""
    from lubberline.cli.output import say
    from lubberline.store import restore_store

    path = _file(directory)
    aside = restore_store(copy, path)
    say(f"{path} is now {copy}; " + (f"what was there: {aside}" if aside else "none was there"))


@store_app.command("export")
def export_(
    directory: Kept, folder: Annotated[Path, typer.Argument(help="Folder to write; a new one.")]
) -> None:
    """Write every flight as plain files: JSON, recordings, pledges."""
    from lubberline.cli.output import say
    from lubberline.store import check_store, export_flights, open_store

    path = _file(directory)
    check_store(path)
    with open_store(path) as store, store.reading() as session:
        count = export_flights(session, folder)
    say(f"wrote {folder}: {count:,} flights")


@store_app.command("import")
def import_(
    folder: Annotated[Path, typer.Argument(help="A folder that 'export' wrote.")], directory: Kept
) -> None:
    """Add the flights of an exported folder, all or none; none twice."""
    from lubberline.cli.output import say
    from lubberline.store import import_flights, open_store

    path = _file(directory)
    with open_store(path) as store, store.writing() as session:
        brought = import_flights(session, folder)
    say(f"{path}: {brought.added_count:,} added, {brought.there_count:,} already there")


def _file(directory: Path) -> Path:
    from lubberline.loop import store_file

    return store_file(directory)
