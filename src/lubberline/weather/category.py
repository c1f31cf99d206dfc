"""The category that a ceiling and a visibility come to, as the weather services tell it."""

from math import inf
from typing import Final

from lubberline.weather.model import Conditions

# Each holds below its ceiling [ft] or its visibility [SM]; the worse of the two counts.
_BELOW: Final = (("LIFR", 500.0, 1.0), ("IFR", 1_000.0, 3.0))
_MARGINAL_UP_TO: Final = (3_000.0, 5.0)  # both inclusive; VFR lies above both


def flight_category(ceiling_agl_ft: float | None, visibility_sm: float | None) -> str | None:
    """LIFR, IFR, MVFR or VFR; None where what is not known might make it a worse one.

    References
    ----------
    [AWC-AFC]_, the table of categories.

    Examples
    --------
    >>> flight_category(3_000.0, 10.0), flight_category(inf, 6.0), flight_category(None, 0.5)
    ('MVFR', 'VFR', 'LIFR')
    """
    ceiling_ft = inf if ceiling_agl_ft is None else ceiling_agl_ft
    seen_sm = inf if visibility_sm is None else visibility_sm
    worst = _of_known(ceiling_ft, seen_sm)
    known = ceiling_agl_ft is not None and visibility_sm is not None
    return worst if known or worst == _BELOW[0][0] else None


def category_of(conditions: Conditions | None) -> str | None:
    """The category of what holds at a place; None where it is not known."""
    if conditions is None:
        return None
    return flight_category(conditions.ceiling_agl_ft, conditions.visibility_sm)


def _of_known(ceiling_ft: float, seen_sm: float) -> str:
    for name, below_ft, below_sm in _BELOW:
        if ceiling_ft < below_ft or seen_sm < below_sm:
            return name
    marginal = ceiling_ft <= _MARGINAL_UP_TO[0] or seen_sm <= _MARGINAL_UP_TO[1]
    return "MVFR" if marginal else "VFR"
