"""Working code of ``lubberline places update``: bring the official files, and add what is new."""

from datetime import UTC, date, datetime
from typing import Final

import typer

from lubberline.cli.output import hanging
from lubberline.cli.places_work import add_files, kept_data, progress_of
from lubberline.fetch import Cache, Client, NoAnswer, read_addresses
from lubberline.places import data_folder
from lubberline.places.update import (
    OfficialFile,
    bring,
    cycle_day,
    forget_older,
    official_files,
)

OFFICIAL: Final = "official"  # the folder of brought files, in the user's data folder


def update(on: date | None) -> None:
    """Bring each file of the day's cycle and add it; what cannot be had is told and left."""
    day = on or datetime.now(UTC).date()
    addresses = read_addresses()
    typer.echo(f"UPDATE  cycle of {cycle_day(day)}")
    with polite_client() as asking:
        failed = [
            file.name for file in official_files(addresses, day) if not _updated(file, asking)
        ]
    if failed:
        hanging(f"Not brought: {', '.join(failed)}. What was added before stays in use; its age")
        hanging("is in 'lubberline places list', and in 'lubberline fit' as a finding.")
        raise typer.Exit(1)


def polite_client() -> Client:
    """A client whose kept answers lie in the user's data folder."""
    return Client(Cache(data_folder() / "answers"))


def _updated(file: OfficialFile, client: Client) -> bool:
    """Whether the file is here now, whole and added."""
    folder = data_folder() / OFFICIAL
    try:
        with progress_of(file.name) as progress:
            brought = bring(
                client, file, folder, progress and (lambda _, done, whole: progress(done, whole))
            )
    except NoAnswer as exc:
        hanging(f"{file.name}: {exc.reason} ({file.url})")
        return False
    added = {kept.path for kept in kept_data().listed()}
    if brought.unchanged and brought.path.resolve() in added:
        hanging(f"{file.name}: not changed")
        return True
    resumed = f", {brought.kept_count / 1e6:.1f} of them from before" if brought.kept_count else ""
    hanging(f"{file.name}: {brought.size_count / 1e6:.1f} MB brought{resumed}")
    add_files([brought.path], priority=0, every=False, as_json=False, name=file.data_set)
    forget_older(file, folder)
    return True
