"""Own marks of a flight from both files that may hold them: ``marks.toml`` and ``after.toml``.

The first is what ``lubberline mark`` writes, with a sentence for each phase; the second is written
by hand and may hold chances and fuel too. A phase marked in the first counts from there.
"""

from dataclasses import replace
from pathlib import Path

from lubberline.flown import MARKED_PHASES, OwnMark, read_marks
from lubberline.loop.debriefing_word import OwnWord, read_word
from lubberline.store import OwnMark as StoredMark


def own_marks(folder: Path) -> tuple[OwnMark, ...]:
    """The marks of phases, in the order of a flight."""
    marks = {one.phase: one for one in read_marks(folder)}
    for one in read_word(folder).marks:
        if one.key in MARKED_PHASES and one.mark is not None:
            said = OwnMark(phase=one.key, mark=one.mark, note=one.note, made_utc=one.made_utc)
            marks.setdefault(one.key, said)
    return tuple(marks[phase] for phase in MARKED_PHASES if phase in marks)


def whole_word(folder: Path) -> OwnWord:
    """The pilot's own word with the marks of both files, as the store keeps it."""
    word, marks = read_word(folder), read_marks(folder)
    named = {str(one.phase) for one in marks}
    kept = [one for one in word.marks if one.key not in named]
    new = [
        StoredMark(key=one.phase, made_utc=one.made_utc, mark=one.mark, note=one.note)
        for one in marks
    ]
    return replace(word, marks=(*kept, *new))
