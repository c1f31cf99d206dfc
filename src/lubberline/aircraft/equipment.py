"""What is fitted, what the airplane's own list asks for, and what does not work.

Values only; whether a flight may be made with them is decided in ``fit``. Names are the
owner's, except that those a rule asks for have the rule's names (``docs/science/equipment.md``).
"""

from dataclasses import dataclass
from datetime import date
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class Inoperative:
    """One thing that does not work, and what was done about it; None where it was not said.

    ``type_certificate`` and ``directive`` are whether either asks for it, ``other_rule``
    whether a rule does that is not looked at here. ``recorded`` is where the maintenance entry
    stands, ``no_hazard_by`` who found that the flight is no hazard without it.
    """

    name: str
    since: date | None = None
    type_certificate: bool | None = None
    directive: bool | None = None
    other_rule: bool | None = None
    removed: bool = False
    deactivated: bool | None = None
    took_maintenance: bool | None = None
    placarded: bool | None = None
    recorded: str = ""
    no_hazard_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """What an airplane has on board and must have; None where it was not said.

    ``required`` is the airplane's own list for flight by day under visual rules,
    ``required_night`` what it adds by night. ``has_list`` is that an approved minimum
    equipment list goes with it. ``has_fuses`` is that it has fuses to replace in flight.
    """

    fitted: tuple[str, ...] | None = None
    required: tuple[str, ...] | None = None
    required_night: tuple[str, ...] = ()
    has_list: bool = False
    cooling: Literal["air", "liquid"] = "air"
    altitude_engine: bool | None = None
    has_fuses: bool | None = None
    certificated_on: date | None = None
    manufactured_on: date | None = None
    inoperative: tuple[Inoperative, ...] = ()
