"""Working code of ``lubberline watch``: the note as text and PDF, and the calendar entry."""

from dataclasses import asdict
from datetime import UTC, datetime
from pathlib import Path

from lubberline.card import flight_calendar, watch_note, watch_note_pdf
from lubberline.cli.output import document, say
from lubberline.loop import prepare


def write_watch(flight_path: Path, number: int | None, *, as_json: bool) -> None:
    """Write ``watch-note.pdf``, ``watch-note.txt`` and ``flight.ics`` beside the flight."""
    prepared = prepare(flight_path, number)
    plan, way = prepared.plan, prepared.way
    note = watch_note(plan, way)
    now_utc = datetime.now(UTC)
    contents = {
        "watch-note.pdf": watch_note_pdf(note),
        "watch-note.txt": note.text().encode(),
        "flight.ics": flight_calendar(plan, way, note, made_utc=now_utc),
    }
    for name, content in contents.items():
        (plan.folder / name).write_bytes(content)
    files = [plan.folder / name for name in contents]
    if as_json:
        document(**asdict(note), files=files)
        return
    say(note.text())
    say(f"wrote {', '.join(f'{one}' for one in files)}")
