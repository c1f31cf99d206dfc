"""What a way costs in money: the rent by the clock that counts, and the fuel that is not in it."""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from lubberline.flight import Cost
from lubberline.units import MIN_PER_H

_CENT: Final = Decimal("0.01")


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """Rent and fuel in the currency of the flight file; None where that is not paid or known."""

    currency: str
    rental: Decimal | None
    fuel: Decimal | None

    @property
    def total(self) -> Decimal:
        """Both together."""
        return (self.rental or Decimal(0)) + (self.fuel or Decimal(0))

    def __str__(self) -> str:
        """Sum and currency."""
        return f"{self.total:,.2f} {self.currency}".rstrip()


def price_of(
    cost: Cost | None, *, block_min: float, air_min: float, fuel_gal: float
) -> Price | None:
    """The price of a flight; None where the flight file says nothing of money.

    Parameters
    ----------
    cost : Cost
        Rates of the flight file.
    block_min, air_min : float
        Minutes from off block to on block, and in the air.
    fuel_gal : float
        All fuel burned, taxiing too.
    """
    if cost is None:
        return None
    rental = fuel = None
    if cost.rental_per_h is not None:
        counted_min = air_min if cost.counts == "air" else block_min
        rental = _rounded(Decimal(repr(cost.rental_per_h * counted_min / MIN_PER_H)))
    if cost.fuel_price_per_gal is not None and not cost.fuel_included:
        fuel = _rounded(Decimal(repr(cost.fuel_price_per_gal * fuel_gal)))
    return Price(currency=cost.currency, rental=rental, fuel=fuel)


def _rounded(money: Decimal) -> Decimal:
    return money.quantize(_CENT, ROUND_HALF_UP)
