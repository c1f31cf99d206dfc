"""Legal fuel reserve at the first point of intended landing."""

from dataclasses import dataclass
from typing import Final

DAY_RESERVE_MIN: Final = 30.0  # [14CFR91.151]_ (a)(1)
NIGHT_RESERVE_MIN: Final = 45.0  # [14CFR91.151]_ (a)(2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reserve:
    """Minutes at normal cruise that must remain, how many more to keep, and the rule."""

    least_min: float
    buffer_min: float
    source: str


def fuel_reserve(*, night: bool, night_soon: bool) -> Reserve:
    """What must remain after landing [14CFR91.151]_.

    ``night`` is that it is night at landing, ``night_soon`` that night falls within the day's
    reserve: then it is lawful to land with the day's, and close to have less than the night's.
    """
    least_min = NIGHT_RESERVE_MIN if night else DAY_RESERVE_MIN
    paragraph = 2 if night else 1
    return Reserve(
        least_min=least_min,
        buffer_min=NIGHT_RESERVE_MIN - least_min if night_soon else 0.0,
        source=f"14 CFR 91.151(a)({paragraph}), edition of 2019, read 2026-11-25",
    )
