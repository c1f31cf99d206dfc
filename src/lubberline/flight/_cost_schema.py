"""The form of ``[cost]`` in ``flight.toml``. Private to the reader in ``file``."""

from typing import Annotated

from pydantic import Field, ValidationInfo, field_validator

from lubberline.flight.cost import Clock, Cost
from lubberline.tomlfile import Schema

Rate = Annotated[float, Field(gt=0, lt=100_000, examples=[185.0])]


class CostForm(Schema):
    """What the airplane and its fuel are paid for with."""

    currency: Annotated[str, Field(max_length=8, examples=["'USD'"])] = ""
    rental_per_h: Rate | None = None
    counts: Annotated[Clock, Field(examples=["'block'"])] = "block"
    fuel_included: Annotated[bool, Field(examples=["true"])] = False
    fuel_price_per_gal: Annotated[float | None, Field(gt=0, lt=10_000, examples=[6.4])] = None

    @field_validator("fuel_included")
    @classmethod
    def _in_a_rent(cls, included: bool, info: ValidationInfo) -> bool:
        """Fuel is included in something."""
        if included and info.data.get("rental_per_h") is None:
            raise ValueError("rental_per_h, which the fuel is included in")
        return included

    def to_model(self) -> Cost:
        """The same as a value."""
        return Cost(**self.model_dump())
