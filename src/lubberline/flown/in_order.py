"""Phases and the maneuvers within them in order of time, beside what the pilot corrected."""

from dataclasses import dataclass

from lubberline.flown.model import Flown


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A phase, or a maneuver, which is a part of one.

    ``by_pilot`` says that a phase was corrected or a maneuver named; ``found`` is what a phase
    that begins there was found as, "" where none was.
    """

    start_s: float
    end_s: float
    words: str
    start_sigma_s: float = 0.0
    is_part: bool = False
    by_pilot: bool = False
    found: str = ""


def in_order(flown: Flown) -> list[Span]:
    """All of them, the earliest first."""
    found = {one.start_s: one.words for one in flown.found_phases}
    spans = [
        Span(
            start_s=one.start_s,
            end_s=one.end_s,
            words=one.words,
            start_sigma_s=one.start_sigma_s,
            by_pilot=bool(found) and found.get(one.start_s) != one.words,
            found=found.get(one.start_s, ""),
        )
        for one in flown.phases
    ]
    spans += [
        Span(
            start_s=one.start_s,
            end_s=one.end_s,
            words=one.name,
            is_part=True,
            by_pilot=one.by_pilot,
        )
        for one in flown.maneuvers
    ]
    return sorted(spans, key=lambda one: (one.start_s, one.end_s, one.is_part))
