"""The form of how power is taken off: settings, and the steps between them."""

from typing import Annotated, Literal

from pydantic import Field, ValidationInfo, field_validator

from lubberline.aircraft.systems import PowerDown
from lubberline.measured import Measured


class PowerDownForm(Measured):
    """How power is taken off; the values are inches of manifold pressure, or revolutions."""

    unit: Annotated[Literal["inHg", "rpm"], Field(examples=["'inHg'"])]
    cruise: Annotated[float, Field(gt=0, le=5_000, examples=[24])]
    descent: Annotated[float, Field(gt=0, le=5_000, examples=[20])]
    approach: Annotated[float, Field(gt=0, le=5_000, examples=[16])]
    step: Annotated[float, Field(gt=0, le=1_000, examples=[2])]
    each_min: Annotated[float, Field(gt=0, le=10, examples=[1])]
    most_fpm: Annotated[float | None, Field(gt=0, le=6_000, examples=[1_000])] = None

    @field_validator("descent", "approach")
    @classmethod
    def _less_and_less(cls, value: float, info: ValidationInfo) -> float:
        """Power is taken off, not put on."""
        before = "cruise" if info.field_name == "descent" else "descent"
        most: float | None = info.data.get(before)
        if most is not None and value > most:
            raise ValueError(f"at most {before}, {most:g}")
        return value

    def to_model(self) -> PowerDown:
        """The same as values."""
        return PowerDown(
            unit=self.unit,
            values=(self.cruise, self.descent, self.approach),
            step=self.step,
            each_min=self.each_min,
            most_fpm=self.most_fpm,
        )
