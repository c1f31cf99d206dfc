"""Working code of ``lubberline places``: adding, listing, checking and removing data sets."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import asdict, fields
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, Final

import typer

from lubberline.cli.output import document, hanging
from lubberline.errors import BadFile
from lubberline.places import (
    Account,
    Kept,
    KeptData,
    Oddity,
    Source,
    data_folder,
    merged,
    oddities,
    ranked,
    read_published,
)
from lubberline.places.kept import Progress

FIRST_COUNT: Final = 5  # own: rows of a kind that are shown unless all are asked for
KINDS: Final = ("aerodromes", "volumes", "points", "waypoints", "obstacles")


def kept_data() -> KeptData:
    """The added files of this user."""
    return KeptData(data_folder(), read_published)


def add_files(
    files: Sequence[Path], *, priority: int, every: bool, as_json: bool, name: str = ""
) -> None:
    """Read files one after the other, and account for each; under a name if one is given."""
    data, records = kept_data(), []
    for path in files:
        with progress_of(path.name) as progress:
            kept = data.add(
                path, now_utc=datetime.now(UTC), priority=priority, progress=progress, name=name
            )
        index = data.open(kept)
        records.append({**set_record(kept, index.source), "account": asdict(index.account)})
        if not as_json:
            hanging(f"added {kept.name}: {kept.form}, {dates_text(index.source)}")
            _show_account(index.account, every=every)
    if as_json:
        document(added=records)
    else:
        hanging('A flight asks for them with data_sets = ["all"] in its flight.toml.')


@contextmanager
def progress_of(what: str) -> Iterator[Progress | None]:
    """A bar on the terminal while something long is done; nothing where nobody looks."""
    from rich.console import Console
    from rich.progress import Progress as Bars

    console = Console(stderr=True)
    if not console.is_terminal:
        yield None
        return
    with Bars(console=console, transient=True) as bars:
        task = bars.add_task(what, total=None)
        yield lambda done, total: bars.update(task, completed=done, total=total)


def _show_account(account: Account, *, every: bool) -> None:
    told = ", ".join(f"{count:,} {kind}" for kind, count in account.read.items() if count)
    hanging(f"read {told or 'nothing'}", indent=2)
    if account.left_out_count:
        hanging(f"left out {account.left_out_count:,}:", indent=2)
    rows = [f"{one}" for one in account.left_out]
    show_rows(rows, account.left_out_count, every=every)


def show_rows(rows: Sequence[str], count: int, *, every: bool, hang: int = 2) -> None:
    """The first rows, and how many more there are; what does not fit on a line hangs in."""
    shown = rows if every else rows[:FIRST_COUNT]
    for line in (line for row in shown for line in row.splitlines()):
        hanging(line, indent=2, hang=hang)
    if count > len(shown):
        way = "--all lists them" if len(rows) > len(shown) else "too many to list"
        hanging(f"and {count - len(shown):,} more ({way})", indent=2)


def list_sets(*, as_json: bool) -> None:
    """Every data set with its form and dates, the most trusted first."""
    data = kept_data()
    rows = [(kept, *_opened(data, kept)) for kept in data.listed()]
    if as_json:
        document(
            folder=data.folder,
            data_sets=[
                {**set_record(kept, index.source if index else None), "problem": problem}
                for kept, index, problem in rows
            ],
        )
        return
    if not rows:
        typer.echo("Nothing has been added yet; begin with: lubberline places add FILE")
    for kept, index, problem in rows:
        hanging(f"{kept.name}: {kept.form}, {dates_text(index.source) if index else problem}")
        read = index.account.read if index else {}
        told = ", ".join(f"{count:,} {kind}" for kind, count in read.items() if count)
        gone = "" if kept.path.exists() else " (no longer there)"
        priority = f"priority {kept.priority}; " if kept.priority else ""
        hanging(f"{priority}{told + '; ' if told else ''}from {kept.path}{gone}", indent=2)


def _opened(data: KeptData, kept: Kept) -> tuple[Any, str]:
    """The index, or why there is none."""
    try:
        with progress_of(kept.name) as progress:
            return data.open(kept, progress), ""
    except BadFile as exc:
        return None, "; ".join(f"{problem}" for problem in exc.problems)


def check(on: datetime | None, *, every: bool, as_json: bool) -> None:
    """Dates first, then what looks wrong, then what disagrees."""
    data, now_utc = kept_data(), on.replace(tzinfo=UTC) if on else datetime.now(UTC)
    rows = [(kept, *_opened(data, kept)) for kept in data.listed()]
    opened = ranked([(kept, index) for kept, index, _ in rows if index], now_utc)
    with progress_of("comparing"):
        places = merged(None, [index.whole() for _, index in opened])
    odd: dict[str, list[Oddity]] = defaultdict(list)
    for one in oddities(places):
        odd[one.what].append(one)
    absent = [kind for kind in KINDS if not getattr(places, kind)]
    if as_json:
        document(
            on=now_utc.date(),
            data_sets=[
                {
                    **set_record(kept, index.source if index else None),
                    "age": age_text(index.source, now_utc) if index else problem,
                }
                for kept, index, problem in rows
            ],
            absent=absent,
            oddities={what: [asdict(one) for one in some] for what, some in odd.items()},
            conflicts=[asdict(one) for one in places.conflicts],
        )
        return
    typer.echo(f"CHECK  {len(rows)} data sets on {now_utc:%Y-%m-%d}")
    for kept, index, problem in rows:
        hanging(f"{kept.name}: {age_text(index.source, now_utc) if index else problem}")
    if absent:
        hanging(f"Nothing tells of: {', '.join(absent)}.")
    for what, some in odd.items():
        typer.echo(f"\n{len(some):,} x {what}")
        show_rows([f"{one}" for one in some], len(some), every=every)
    if places.conflicts:
        typer.echo(f"\n{len(places.conflicts):,} x sources that disagree")
        told = [f"{one}" for one in places.conflicts]
        show_rows(told, len(told), every=every)


def remove(names: Sequence[str]) -> None:
    """Forget data sets."""
    data = kept_data()
    for kept in data.named(names):
        data.remove(kept.name)
        typer.echo(f"removed {kept.name}; {kept.path} stays")


def dates_text(source: Source) -> str:
    """Between which days it holds."""
    begun, until = source.valid_from_utc, source.valid_until_utc
    since = f"holds from {begun:%Y-%m-%d}" if begun else ""
    return (
        " ".join(
            part for part in (since, f"until {until:%Y-%m-%d %H:%MZ}" if until else "") if part
        )
        or "holds until a day it does not say"
    )


def age_text(source: Source, now_utc: datetime) -> str:
    """Whether it holds on a day, and how long yet."""
    begun, until = source.valid_from_utc, source.valid_until_utc
    if until is None:
        return f"no day is said until which it holds ({source.form})"
    if begun is not None and now_utc < begun:
        return f"holds only from {begun:%Y-%m-%d} on"
    days = (until - now_utc) / timedelta(days=1)
    if days < 0.0:
        return f"EXPIRED on {until:%Y-%m-%d}, {-days:.0f} days ago"
    return f"holds until {until:%Y-%m-%d}, {days:.0f} days yet"


def set_record(kept: Kept, source: Source | None) -> dict[str, Any]:
    """A data set as plain values."""
    return {
        **{one.name: getattr(kept, one.name) for one in fields(kept)},
        "valid_from_utc": source.valid_from_utc if source else None,
        "valid_until_utc": source.valid_until_utc if source else None,
    }
