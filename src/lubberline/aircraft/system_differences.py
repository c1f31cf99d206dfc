"""Flaps, selector, pump, heat and limitations of two airplanes: what the hand does otherwise.

A system that the airplane did not have before, or that is used at other times, is a trap.
One that is no longer there is told. What either file leaves out is not known, and told if the
other gives it.
"""

from collections.abc import Iterator
from typing import Final

from lubberline.aircraft.difference import Difference, Number, Subject, compared
from lubberline.aircraft.model import Aircraft
from lubberline.aircraft.systems import NONE, Flap, Selector

_System = tuple[str, str, Subject, str, str]
# Label, field, subject, and what the habit does where it is new, and where it is used otherwise.
_SYSTEMS: Final[tuple[_System, ...]] = (
    (
        "fuel selector",
        "fuel_selector",
        "fuel tanks",
        "the selector has other positions",
        "the selector has other positions",
    ),
    ("boost pump", "boost_pump", "fuel tanks", "by habit it stays off", "used at other times"),
    (
        "carburetor heat",
        "carburetor_heat",
        "propeller and engine",
        "by habit it stays cold",
        "used at other times",
    ),
    (
        "alternate air",
        "alternate_air",
        "propeller and engine",
        "by habit it stays shut",
        "used another way",
    ),
    (
        "cowl flaps",
        "cowl_flaps",
        "propeller and engine",
        "by habit they stay as they are",
        "used at other times",
    ),
    (
        "gear down by hand",
        "gear_by_hand",
        "landing gear",
        "by habit nothing is known of it",
        "done another way",
    ),
)
_ONE_AT_A_TIME: Final[tuple[Selector, ...]] = ("left or right", "each tank")


def system_differences(old: Aircraft, new: Aircraft) -> Iterator[Difference]:
    """What differs in flaps, systems and limitations."""
    for system in _SYSTEMS:
        yield from _system(system, old, new)
    yield from _flaps(old, new)
    before, now = old.systems.limitations or (), new.systems.limitations or ()
    for words in now:
        if words not in before:
            yield Difference(
                subject="weights and limits", label="limitation", old="not given", new=words
            )


def _system(system: _System, old: Aircraft, new: Aircraft) -> Iterator[Difference]:
    label, field, subject, added, changed = system
    before, now = (getattr(one.systems, field) for one in (old, new))
    if before == now:
        return
    trap = ""
    if now not in (None, NONE):
        trap = added if before in (None, NONE) else changed
    if now in _ONE_AT_A_TIME and before not in (None, *_ONE_AT_A_TIME):
        trap = "tanks must be changed in flight"
    yield Difference(
        subject=subject, label=label, old=before or "not given", new=now or "not given", trap=trap
    )


def _flaps(old: Aircraft, new: Aircraft) -> Iterator[Difference]:
    """Settings by name; then the speeds of those that both have."""
    sides: list[dict[str, Flap]] = [{one.name: one for one in plane.flaps} for plane in (old, new)]
    if [*sides[0]] != [*sides[1]]:
        names = [", ".join(side) or "not given" for side in sides]
        trap = "other settings to select" if all(sides) else ""
        yield Difference(
            subject="approach and stall",
            label="flap settings",
            old=names[0],
            new=names[1],
            trap=trap,
        )
    for name in (name for name in sides[0] if name in sides[1]):
        before, now = sides[0][name], sides[1][name]
        fastest = Number(
            subject="speed limits",
            label=f"flaps, {name}",
            path="",
            unit="kt",
            trap_if="lower",
            habit="too fast",
        )
        approach = Number(
            subject="approach and stall",
            label=f"approach, flaps {name}",
            path="",
            unit="kt",
            trap_if="higher",
            habit="too slow",
        )
        if before != old.flaps[-1] or now != new.flaps[-1]:  # full is compared as flaps_kt
            yield from compared(fastest, before.max_kt, now.max_kt)
        yield from compared(approach, before.approach_kt, now.approach_kt)
