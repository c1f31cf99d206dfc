"""The pilot's own word on a flight, in ``after.toml`` beside its flight file.

Written before the debriefing is looked at; what is kept of it first is kept for good. It tells
how single findings went and what chance they had to come out inside, and the fuel that was filled
up. How the phases went stands in ``marks.toml`` alone; the store keeps both as one.
"""

from dataclasses import dataclass
from datetime import UTC
from pathlib import Path
from typing import Annotated, Final

from pydantic import AwareDatetime, Field, Strict, field_validator

from lubberline.flown import MARKED_PHASES, MARKS_FILE, read_marks
from lubberline.measured import Measured
from lubberline.store import Mark, OwnMark
from lubberline.tomlfile import read_toml, refusal

AFTER_FILE: Final = "after.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnWord:
    """Own marks, and the fuel used [gal]; None where it was not written down."""

    marks: tuple[OwnMark, ...] = ()
    fuel_used_gal: float | None = None


class _AfterFile(Measured):
    """The file format."""

    made_utc: Annotated[AwareDatetime, Strict(), Field(examples=["2026-11-25T23:10:00Z"])]
    fuel_used_gal: Annotated[float | None, Field(gt=0, lt=1_000, examples=[21.5])] = None
    mark: Annotated[
        dict[str, Mark],
        Field(default_factory=dict, examples=["{ 'flown.cruise_height_rms' = 'close' }"]),
    ]
    chance: Annotated[
        dict[str, Annotated[float, Field(ge=0, le=1)]],
        Field(default_factory=dict, examples=["{ 'flown.cruise_height_rms' = 0.8 }"]),
    ]

    @field_validator("mark")
    @classmethod
    def _no_phase(cls, mark: dict[str, Mark]) -> dict[str, Mark]:
        """A phase has one place."""
        expected = f"the key of a finding; mark phases with: lubberline mark ({MARKS_FILE})"
        phases = [((key,), word, expected) for key, word in mark.items() if key in MARKED_PHASES]
        if phases:
            raise refusal(phases)
        return mark


def read_word(folder: Path) -> OwnWord:
    """What ``after.toml`` and ``marks.toml`` in a flight's folder say; nothing if there are none.

    Raises
    ------
    BadFile
        If the file is there but wrong.
    """
    phases = tuple(
        OwnMark(key=one.phase, made_utc=one.made_utc, mark=one.mark, note=one.note)
        for one in read_marks(folder)
    )
    path = folder / AFTER_FILE
    if not path.exists():
        return OwnWord(marks=phases)
    form = read_toml(path, _AfterFile)
    made_utc = form.made_utc.astimezone(UTC)
    marks = tuple(
        OwnMark(
            key=key,
            made_utc=made_utc,
            mark=form.mark.get(key),
            chance_fraction=form.chance.get(key),
        )
        for key in {**form.mark, **form.chance}
    )
    return OwnWord(marks=(*marks, *phases), fuel_used_gal=form.fuel_used_gal)
