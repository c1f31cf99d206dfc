"""Who the pilot was aboard, and what hours and landings that is worth in a logbook [14CFR61.51]_.

Time under instruction is written as that alone, time of giving it also as in command. What an
instructor's learner flies are the learner's take-offs and landings [14CFR61.57]_.
"""

from typing import Any, Final

from lubberline.pilot import FlownAs

ROLE_WORDS: Final[dict[FlownAs, str]] = {
    "command": "pilot in command, at the controls alone",
    "solo": "alone aboard",
    "dual": "under instruction",
    "instruction": "giving instruction, the learner at the controls",
}
_HOURS: Final[dict[FlownAs, tuple[str, ...]]] = {
    "command": ("pic_h",),
    "solo": ("pic_h", "solo_h"),
    "dual": ("dual_received_h",),
    "instruction": ("pic_h", "instruction_given_h"),
}


def role_hours(role: str | None, total_h: float) -> dict[str, Any]:
    """The kinds of hours that a flight counts as; one that says nothing, as in command."""
    return dict.fromkeys(_HOURS.get(_role(role), ()), total_h)


def at_the_controls(role: str | None) -> bool:
    """Whether take-offs and landings were the pilot's own."""
    return _role(role) != "instruction"


def _role(role: str | None) -> FlownAs:
    return next((one for one in _HOURS if one == role), "command")
