"""What was flown, as text: three sentences, the line, the phases, then what it rests on."""

from math import ceil
from pathlib import Path

from lubberline.cli.output import document, made, say, wrapped
from lubberline.cli.show import groups
from lubberline.flown import Flown, MarkBeside, Span, Steadiness, clock, in_order
from lubberline.loop.debriefing import Judged
from lubberline.units import S_PER_MIN
from lubberline.wording import CAUTION, SHAPES


def show_flown(judged: Judged, *, as_json: bool, parquet: Path | None) -> None:
    """The debriefing; the derived samples as a Parquet file if asked for."""
    if parquet is not None:
        write_parquet(judged.flown, parquet)
    if as_json:
        document(**judged.record())
        return
    say(f"FLOWN  {judged.title}, {judged.recording_name} ({judged.flown.recording.format_name})")
    for sentence in judged.summary():
        wrapped(sentence)
    groups(judged.flown.findings)
    say()
    _phases(judged.flown)
    _changes(judged.flown)
    _marks(judged.marks)
    for one in judged.flown.steadiness:
        _held(one)
    say()
    for sentence in judged.sentences():
        wrapped(sentence)
    for entry in (*judged.flown.recording.account, *judged.flown.account):
        sentence, *block = entry.splitlines()
        wrapped(sentence, indent=2)
        for row in block:  # a column map, to be copied as it is
            say(f"    {row}".rstrip())
    say()
    say(judged.kept)
    if parquet is not None:
        say(f"wrote {parquet}")
    wrapped(CAUTION)


def write_parquet(flown: Flown, path: Path) -> None:
    """The judged samples in the air with everything that was derived for them."""
    from lubberline.loop.debriefing_kept import samples

    made(path).write_bytes(samples(flown).content)


def _phases(flown: Flown) -> None:
    """Phases and maneuvers in order of time; what the pilot corrected stands behind."""
    say(f"{'from':10}{'±s':>3} {'to':10}{'min':>6}  phase or maneuver")
    for one in in_order(flown):
        minutes = (one.end_s - one.start_s) / S_PER_MIN
        doubt = f"{ceil(one.start_sigma_s)}" if one.start_sigma_s else ""
        name = f"  {one.words}" if one.is_part else one.words
        note = f" ({_by_pilot(one)})" if one.by_pilot else ""
        say(f"{clock(one.start_s):10}{doubt:>3} {clock(one.end_s):10}{minutes:6.1f}  {name}{note}")


def _changes(flown: Flown) -> None:
    """What was set in flight, where a channel shows it."""
    if not flown.changes:
        return
    say()
    say(f"{'set at':13}what")
    for one in flown.changes:
        say(f"{clock(one.time_s):13}{one.what}")


def _by_pilot(one: Span) -> str:
    if one.is_part:
        return "named by the pilot"
    return f"corrected; found as {one.found}" if one.found else "boundary corrected"


def _marks(rows: tuple[MarkBeside, ...]) -> None:
    """Own mark and measured result side by side; nothing if the pilot marked nothing."""
    if not any(one.own for one in rows):
        return
    say()
    say(f"{'phase':12}{'own mark':12}{'measured':12}decided by")
    for one in rows:
        own = one.own.mark if one.own else "not marked"
        shape = SHAPES[one.measured] if one.measured else "?"
        measured = f"{shape} {one.measured or 'not known'}"
        label = one.decided_by.limit.label if one.decided_by else ""
        say(f"{one.phase:12}{own:12}{measured:12}{label}".rstrip())
        if one.own and one.own.note:
            wrapped(f"“{one.own.note}”", indent=12)


def _held(one: Steadiness) -> None:
    """The statistics of one thing held, in a sentence."""
    parts = [f"{each.name} {each.value:.1f} {each.unit}".strip() for each in one.statistics]
    say()
    wrapped(f"How {one.label} was held: {'; '.join(parts)}.")
