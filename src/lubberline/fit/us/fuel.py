"""Legal fuel reserve at the first point of intended landing."""

from typing import Final

DAY_RESERVE_MIN: Final = 30.0  # [14CFR91.151]_ (a)(1)
NIGHT_RESERVE_MIN: Final = 45.0  # [14CFR91.151]_ (a)(2)


def fuel_reserve_min(*, night: bool) -> tuple[float, str]:
    """Minutes at normal cruise that must remain after landing, and the rule [14CFR91.151]_."""
    reserve_min = NIGHT_RESERVE_MIN if night else DAY_RESERVE_MIN
    return reserve_min, f"14 CFR 91.151(a)({2 if night else 1}), read 2026-11-25"
