"""What must be on board and work, for flight under visual rules by day or night [14CFR91.205]_.

Each need says its paragraph and whether it applies to this airplane; None where an entry is
missing that would tell. Flotation gear and a signal for hire over water: ``water``.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from lubberline.aircraft import Aircraft, Equipment

LIGHTS_AFTER: Final = date(1996, 3, 11)  # [14CFR91.205]_ (b)(11)
FRONT_HARNESS_AFTER: Final = date(1978, 7, 18)  # same, (b)(14)
ALL_HARNESS_AFTER: Final = date(1986, 12, 12)  # same, (b)(16): from memory
ALWAYS: Final = (
    ("airspeed indicator", "(b)(1)"),
    ("altimeter", "(b)(2)"),
    ("magnetic compass", "(b)(3)"),
    ("tachometer", "(b)(4)"),
    ("oil pressure gauge", "(b)(5)"),
    ("safety belts", "(b)(13)"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One thing asked for: by which paragraph; None where ``missing`` would tell."""

    name: str
    source: str
    applies: bool | None = True
    missing: str = ""
    note: str = ""


def needs(aircraft: Aircraft, *, night: bool, for_hire: bool | None) -> tuple[Need, ...]:
    """Everything the rules ask for that applies to this airplane, or may."""
    found = [*_by_day(aircraft)]
    if night:
        found += _by_night(aircraft.equipment, for_hire=for_hire)
    return tuple(need for need in found if need.applies is not False)


def _by_day(aircraft: Aircraft) -> Iterator[Need]:
    """14 CFR 91.205(b)."""
    equipment = aircraft.equipment
    liquid = equipment.cooling == "liquid"
    for name, paragraph in ALWAYS:
        yield _need(name, paragraph)
    yield _need("coolant temperature gauge", "(b)(6)", applies=liquid)
    yield _need("oil temperature gauge", "(b)(7)", applies=not liquid)
    yield _told(equipment, "altitude_engine", "manifold pressure gauge", "(b)(8)")
    for tank in aircraft.loading.tanks:
        yield _need(f"fuel gauge {tank.name}", "(b)(9)")
    yield _need("gear position indicator", "(b)(10)", applies=aircraft.retractable)
    yield _after(equipment, "certificated_on", LIGHTS_AFTER, "anticollision lights", "(b)(11)")
    made = "manufactured_on"
    yield _after(equipment, made, FRONT_HARNESS_AFTER, "front shoulder harness", "(b)(14)")
    yield _need("ELT", "(b)(15)", note="the exceptions of 91.207 are not looked at")
    yield _after(
        equipment,
        made,
        ALL_HARNESS_AFTER,
        "rear shoulder harness",
        "(b)(16)",
        note="the rule's date is from memory",
    )


def _by_night(equipment: Equipment, *, for_hire: bool | None) -> list[Need]:
    """14 CFR 91.205(c), beside what is asked for by day."""
    hire = "hire in flight.toml" if for_hire is None else ""
    return [
        _need("position lights", "(c)(2)"),
        _need("anticollision lights", "(c)(3)"),
        _need("landing light", "(c)(4)", applies=for_hire, missing=hire),
        _need("electrical source", "(c)(5)"),
        _told(equipment, "has_fuses", "spare fuses", "(c)(6)"),
    ]


def _need(
    name: str, paragraph: str, *, applies: bool | None = True, missing: str = "", note: str = ""
) -> Need:
    source = f"91.205{paragraph}"
    return Need(name=name, source=source, applies=applies, missing=missing, note=note)


def _told(equipment: Equipment, key: str, name: str, paragraph: str) -> Need:
    """What depends on a yes or no in the file."""
    applies = getattr(equipment, key)
    missing = f"equipment.{key} in the aircraft file" if applies is None else ""
    return _need(name, paragraph, applies=applies, missing=missing)


def _after(
    equipment: Equipment, key: str, day: date, name: str, paragraph: str, *, note: str = ""
) -> Need:
    """What is asked for of airplanes certificated or made after a day."""
    on: date | None = getattr(equipment, key)
    if on is None:
        missing = f"equipment.{key} in the aircraft file"
        return _need(name, paragraph, applies=None, missing=missing, note=note)
    return _need(name, paragraph, applies=on > day, note=note)
