"""What the pilot corrects about what was found: boundaries and names of phases, and maneuvers.

Corrections are kept in a file of their own and applied to what the program finds each time: what
was found is never written over, and both are shown. A correction that meets nothing any more is
said, not dropped. Times are seconds since the Unix epoch, or of a day until ``on_day``.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from lubberline.flown.case import clock
from lubberline.flown.model import Maneuver, ManeuverName, Phase, PhaseName, Side
from lubberline.units import S_PER_DAY

NEAR_S: Final = 60.0  # own: a boundary is meant if one was found this near


@dataclass(frozen=True, slots=True, kw_only=True)
class BoundaryMoved:
    """A boundary between two phases, found at one time of day and in truth at another."""

    found_s: float
    at_s: float
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PhaseNamed:
    """What the phase at a time of day was in truth."""

    at_s: float
    name: PhaseName
    why: str
    side: Side = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ManeuverNamed:
    """A maneuver named by the pilot; it takes the place of what was recognized there."""

    name: ManeuverName
    start_s: float
    end_s: float
    target_ias_kt: float | None
    target_bank_deg: float | None
    why: str
    target_msl_ft: float | None = None


Correction = BoundaryMoved | PhaseNamed | ManeuverNamed


def corrected_phases(
    found: tuple[Phase, ...], corrections: Sequence[Correction]
) -> tuple[tuple[Phase, ...], tuple[str, ...]]:
    """The phases with the pilot's boundaries and names, and a sentence for each correction."""
    phases, sentences = list(found), []
    for one in corrections:
        if isinstance(one, BoundaryMoved):
            sentences.append(_move(phases, one))
        elif isinstance(one, PhaseNamed):
            sentences.append(_name(phases, one))
    return tuple(phases), tuple(sentences)


def corrected_maneuvers(
    found: tuple[Maneuver, ...], corrections: Sequence[Correction]
) -> tuple[tuple[Maneuver, ...], tuple[str, ...]]:
    """Recognized maneuvers, and in their place those that the pilot named; a sentence for each."""
    kept, sentences = list(found), []
    for one in (each for each in corrections if isinstance(each, ManeuverNamed)):
        instead = [each for each in kept if each.start_s < one.end_s and each.end_s > one.start_s]
        kept = [each for each in kept if each not in instead]
        kept.append(
            Maneuver(
                name=one.name,
                start_s=one.start_s,
                end_s=one.end_s,
                by_pilot=True,
                target_ias_kt=one.target_ias_kt,
                target_bank_deg=one.target_bank_deg,
                target_msl_ft=one.target_msl_ft,
            )
        )
        was = ", ".join(each.name for each in instead) or "nothing"
        sentences.append(_said(f"{clock(one.start_s)}: {one.name}, found as {was}", one.why))
    return tuple(sorted(kept, key=lambda each: each.start_s)), tuple(sentences)


def on_day(corrections: Sequence[Correction], near_s: float) -> tuple[Correction, ...]:
    """Times of day put on the day that brings them nearest to a moment of the recording."""

    def put(day_s: float) -> float:
        return near_s + (day_s - near_s + S_PER_DAY / 2.0) % S_PER_DAY - S_PER_DAY / 2.0

    put_on: list[Correction] = []
    for one in corrections:
        if isinstance(one, ManeuverNamed):
            put_on.append(replace(one, start_s=put(one.start_s), end_s=put(one.end_s)))
        elif isinstance(one, BoundaryMoved):
            put_on.append(replace(one, found_s=put(one.found_s), at_s=put(one.at_s)))
        else:
            put_on.append(replace(one, at_s=put(one.at_s)))
    return tuple(put_on)


def _move(phases: list[Phase], one: BoundaryMoved) -> str:
    """Move the nearest boundary, as far as its two phases reach."""
    meets = range(1, len(phases))
    nearest = min(meets, key=lambda k: abs(phases[k].start_s - one.found_s), default=None)
    if nearest is None or abs(phases[nearest].start_s - one.found_s) > NEAR_S:
        return f"not applied: no boundary was found near {clock(one.found_s)}"
    before, after = phases[nearest - 1], phases[nearest]
    if not before.start_s < one.at_s < after.end_s:
        return f"not applied: {clock(one.at_s)} lies outside {before.words} and {after.words}"
    phases[nearest - 1] = replace(before, end_s=one.at_s)
    phases[nearest] = replace(after, start_s=one.at_s, start_sigma_s=0.0)
    moved = f"{before.words} to {after.words} at {clock(one.at_s)}, found at {clock(after.start_s)}"
    return _said(moved, one.why)


def _name(phases: list[Phase], one: PhaseNamed) -> str:
    for number, phase in enumerate(phases):
        if phase.start_s <= one.at_s <= phase.end_s:
            phases[number] = named = replace(phase, name=one.name, side=one.side)
            return _said(f"{clock(phase.start_s)}: {named.words}, found as {phase.words}", one.why)
    return f"not applied: no phase was found at {clock(one.at_s)}"


def _said(what: str, why: str) -> str:
    return f"corrected by the pilot: {what}" + (f" ({why})" if why else "")
