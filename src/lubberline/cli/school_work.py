"""Working code of ``lubberline school``."""

from dataclasses import asdict
from pathlib import Path

from lubberline.cli.due import local_today
from lubberline.cli.output import document, made, say, wrapped
from lubberline.flown import read_standard
from lubberline.line import Verdict, finding_record
from lubberline.loop.practice_tasks import bounds_words
from lubberline.loop.school import (
    SCHOOL_FILE,
    Across,
    AcrossTable,
    TaskRecord,
    across_pilots,
    across_types,
    learner_record,
    shown_pilots,
)
from lubberline.loop.school_record import record_csv, record_html

_MOST_COLUMNS = 2


def show_learner(
    home: Path,
    name: str | None,
    standard_name: str | None,
    *,
    csv: Path | None,
    html: Path | None,
    as_json: bool,
) -> None:
    """Task by task, with what its standing rests on; the whole of it goes into the files."""
    who = name or shown_pilots(home)[0]
    standard, by = None, "every standard that judged a flight"
    if standard_name is not None:
        standard = read_standard(home / "standards" / f"{standard_name}.toml")
        by = standard.document
    records = learner_record(home, who, standard)
    if csv is not None:
        made(csv).write_text(record_csv(records), encoding="utf-8", newline="")
    if html is not None:
        today = local_today()
        page = record_html(records, learner=who, by=by, made_on=today)
        made(html).write_text(page, encoding="utf-8")
    if as_json:
        document(learner=who, standard=by, tasks=[_record(one) for one in records])
        return
    say(f"SCHOOL  {who}, by {by}")
    for one in records:
        if one.evidence:
            _show_task(one)
    bare = [one.code for one in records if not one.evidence]
    if bare:
        wrapped(f"Not shown by any recording yet: {', '.join(bare)}.")
    for path in (csv, html):
        if path is not None:
            say(f"wrote {path}")
    wrapped("A recording shows numbers; whether a task was done is for the instructor to say.")


def show_types(home: Path, name: str | None, *, as_json: bool) -> None:
    """Measures by type, and what carried over."""
    who = name or shown_pilots(home)[0]
    if who not in shown_pilots(home):
        wrapped(f"{who} has not agreed to be shown here: name them in {home / SCHOOL_FILE}.")
        return
    table = across_types(home, who)
    if as_json:
        document(pilot=who, **asdict(table))
        return
    say(f"SCHOOL  {who} over {len(table.columns)} types")
    _show_table(table)
    for number, type_name in enumerate(table.columns[1:]):
        wrapped(f"From {table.columns[0]} to {type_name}: {_transfer(table, number)}.")
    if len(table.columns) < 2:
        wrapped("One type so far: what carries over shows in the first flights of another.")


def show_pilots(home: Path, *, as_json: bool) -> None:
    """Measures by pilot, of those who agreed."""
    table = across_pilots(home)
    if as_json:
        document(**asdict(table))
        return
    say(f"SCHOOL  {len(table.columns)} pilots")
    _show_table(table)
    wrapped(
        f"Shown are the folder's own pilot and those whom {SCHOOL_FILE} names as having agreed;"
        f" {table.left_out_count} flights of others are left out."
    )


def _show_task(one: TaskRecord) -> None:
    counts = [sum(e.finding.verdict is word for e in one.evidence) for word in Verdict]
    tally = ", ".join(
        f"{count} {word}" for count, word in zip(counts, Verdict, strict=True) if count
    )
    wrapped(f"{one.code} {one.label}: {one.word} ({tally})", indent=2)
    latest = one.telling
    finding = latest.finding
    wrapped(
        f"{latest.flown_utc:%Y-%m-%d} flight {latest.flight_id}, {latest.aircraft}:"
        f" {finding.limit.label} {finding.value:.1f} {finding.limit.unit},"
        f" allowed {bounds_words(finding.limit)}",
        indent=4,
    )


def _show_table(table: AcrossTable) -> None:
    """Medians of sizes with the number of flights, at 80 columns."""
    shown = table.columns[:_MOST_COLUMNS]
    say(f"  {'median size (flights)':36}{'allowed':>13}" + "".join(f"{c[:12]:>14}" for c in shown))
    for row in table.rows:
        say(f"  {_label(row)[:35]:36}{row.allowed:>13}" + "".join(_cells(row, len(shown))))
    if len(table.columns) > _MOST_COLUMNS:
        rest = ", ".join(table.columns[_MOST_COLUMNS:])
        wrapped(f"Also in --json: {rest}.")


def _label(row: Across) -> str:
    return f"{row.label}, {row.unit}"


def _cells(row: Across, count: int) -> list[str]:
    cells = row.cells[:count]
    return [f"{'':14}" if c is None else f"{c.value:9.1f} ({c.flight_count:2})" for c in cells]


def _transfer(table: AcrossTable, number: int) -> str:
    by_word: dict[str, list[str]] = {}
    for row in table.rows:
        by_word.setdefault(row.words[number], []).append(row.label)
    return "; ".join(f"{word}: {', '.join(labels)}" for word, labels in by_word.items())


def _record(one: TaskRecord) -> dict[str, object]:
    return {
        "code": one.code,
        "label": one.label,
        "standing": one.word,
        "met_in_a_row_count": one.met_count,
        "flight_count": one.flight_count,
        "evidence": [
            {
                "flown_utc": each.flown_utc.isoformat(),
                "flight_id": each.flight_id,
                "title": each.title,
                "airplane": each.aircraft,
                "type_name": each.type_name,
                "recording_sha256": each.recording_sha256,
                "finding": finding_record(each.finding),
            }
            for each in one.evidence
        ],
    }
