"""What a flight is paid for by the hour and the gallon."""

from dataclasses import dataclass
from typing import Literal

Clock = Literal["block", "air"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """Rates; None is not paid, or not said. ``counts`` is the clock that the rent goes by.

    ``fuel_included``: the rent holds the fuel, so that the price of fuel is not asked.
    """

    currency: str = ""
    rental_per_h: float | None = None
    counts: Clock = "block"
    fuel_included: bool = False
    fuel_price_per_gal: float | None = None
