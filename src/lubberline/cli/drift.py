"""Working code of ``lubberline drift``: all measures as a table, one in detail."""

import textwrap
from collections.abc import Iterator
from dataclasses import asdict
from io import BytesIO
from itertools import chain, groupby
from pathlib import Path
from typing import Final

import typer

from lubberline.cli.output import document, made, say, wrapped
from lubberline.cli.show import drift_flights, drift_note
from lubberline.errors import NoSolution
from lubberline.loop import Courses, Drifted, follow, follow_all
from lubberline.loop.behind import Shared, shared_fading
from lubberline.loop.drift_words import (
    SIGNS,
    SPARK_COUNT,
    change_rows,
    condition_rows,
    levels,
    number,
    promise_rows,
    shared_rows,
    sparkline,
    to_know,
    trend_record,
)

LABEL_COUNT: Final = 30
CHANCE: Final = (
    "By chance alone, about one steady measure in twenty is called slipping within a year of one"
    " flight a week (docs/science/drift.md)."
)


def show_table(directory: Path, *, pilot: str | None, parquet: Path | None, as_json: bool) -> None:
    """Every measure of a pilot, what slips first."""
    courses = follow_all(directory, pilot=pilot)
    if not courses.drifted:
        raise NoSolution(f"no flight of {courses.pilot or 'anybody'} in {directory} was judged yet")
    wrote = "" if parquet is None else f"wrote {write_parquet(courses.drifted, parquet)}"
    if as_json:
        document(
            pilot=courses.pilot,
            measures=[one.summary() for one in courses.drifted],
            parquet=str(parquet) if parquet else None,
        )
        return
    for row in table_rows(courses):
        say(row)
    say()
    wrapped(
        "latest, usual: the mean of the flights compared, in usual conditions; while it is too"
        " early, the last flight and the median of all. The picture is the"
        f" last {SPARK_COUNT} flights, higher is larger. To know: +5 flights until anything can"
        " be said; else the flights that a lasting change by one usual scatter takes to be named,"
        " half the time."
    )
    wrapped(CHANCE)
    if wrote:
        say(wrote)


def show_one(
    directory: Path, key: str, *, pilot: str | None, parquet: Path | None, as_json: bool
) -> None:
    """The word first, what it rests on, then the flights in order."""
    one = follow(directory, key, pilot=pilot)
    wrote = "" if parquet is None else f"wrote {write_parquet((one,), parquet)}"
    shared = shared_fading(directory, key, pilot=pilot)
    if as_json:
        pooled = asdict(shared) if shared is not None else None
        document(**one.record(), **trend_record(one), fading_shared=pooled)
        return
    drifted(one, shared)
    if wrote:
        say(wrote)


def write_page(directory: Path, out: Path | None, *, key: str | None, pilot: str | None) -> None:
    """The measures as a page if one is wanted; said beside the answer, which may be a document."""
    if out is None:
        return
    from lubberline.page import write_drift

    typer.echo(f"wrote {write_drift(directory, out, key=key, pilot=pilot)}", err=True)


def drifted(one: Drifted, shared: Shared | None) -> None:
    """One measure as text."""
    say(f"DRIFT  {one.measure.label}: {one.verdict.word}")
    drift_note(one)
    latest, unit = one.verdict.latest, one.measure.unit
    if latest is not None:
        limit = latest.high if one.measure.better == "smaller" else latest.low
        wrapped(
            f"Latest {number(latest.level)} {unit} (±{number(latest.sigma)} measurement), usual"
            f" {number(latest.usual)} {unit}, called slipping beyond {number(limit)} {unit}."
        )
    rows = (promise_rows(one), condition_rows(one), change_rows(one), shared_rows(one, shared))
    for row in chain(*rows):
        wrapped(row)
    drift_flights(one)


def table_rows(courses: Courses) -> Iterator[str]:
    """The table, 80 columns wide: one block for each word."""
    flown = [when for one in courses.drifted for when in one.measure.flown_utc]
    span = f", {min(flown):%Y-%m-%d} to {max(flown):%Y-%m-%d}" if flown else ""
    most = max((len(one.measure) for one in courses.drifted), default=0)
    yield f"DRIFT  {courses.pilot}: {len(courses.drifted)} measures, {most} flights{span}"
    for word, group in groupby(courses.drifted, key=lambda one: one.verdict.word):
        members = list(group)
        yield ""
        head = f"{SIGNS[word]} {word}"
        yield (
            f"{head:{LABEL_COUNT + 2}}{'latest':>11}{'usual':>11}  {'flights':{SPARK_COUNT}}"
            f"{'to know':>9}"
        )
        for one in members:
            yield from _table_row(one)


def _table_row(one: Drifted) -> Iterator[str]:
    measure = one.measure
    label = textwrap.wrap(measure.label, LABEL_COUNT) or [measure.key]
    now, usual = levels(one)
    yield (
        f"  {label[0]:{LABEL_COUNT}}{now:>11}{usual:>11}  "
        f"{sparkline(measure.values):{SPARK_COUNT}}{to_know(one):>9}"
    ).rstrip()
    for more in label[1:]:
        yield f"    {more}"
    yield f"    {measure.key}"


def write_parquet(drifted: tuple[Drifted, ...], path: Path) -> Path:
    """One row for each value of each measure; the file as a whole or not at all."""
    import polars as pl

    frames = []
    for one in drifted:
        measure = one.measure
        frames.append(
            pl.DataFrame(
                {
                    "key": [measure.key] * len(measure),
                    "label": [measure.label] * len(measure),
                    "unit": [measure.unit] * len(measure),
                    "better": [measure.better] * len(measure),
                    "word": [str(one.verdict.word)] * len(measure),
                    "flown_utc": pl.Series(measure.flown_utc, dtype=pl.Datetime("us", "UTC")),
                    "title": list(measure.titles),
                    "value": measure.values,
                    "sigma": measure.sigmas,
                    **one.conditions,
                }
            )
        )
    content = BytesIO()
    pl.concat(frames, how="diagonal").write_parquet(content)
    fresh = made(path).with_name(f".{path.name}.part")
    try:
        fresh.write_bytes(content.getvalue())
        fresh.replace(path)
    finally:
        fresh.unlink(missing_ok=True)
    return path
