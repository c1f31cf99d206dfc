"""The form of how power is taken off, and of the engine's limits."""

from typing import Annotated, Literal

from pydantic import Field, ValidationInfo, field_validator

from lubberline.aircraft.systems import Engine, PowerDown
from lubberline.measured import Measured

Degc = Annotated[float | None, Field(gt=0, le=1_200, examples=[118])]
Psi = Annotated[float | None, Field(gt=0, le=300, examples=[60])]


class EngineForm(Measured):
    """Limits of the engine as the manual prints them; what it does not print is left out."""

    source: Annotated[str, Field(max_length=200, examples=["'section 2, engine limits'"])] = ""
    oil_max_degc: Degc = None
    oil_min_psi: Psi = None
    oil_max_psi: Psi = None
    cht_max_degc: Degc = None
    egt_max_degc: Degc = None
    tit_max_degc: Degc = None
    max_rpm: Annotated[float | None, Field(gt=0, le=10_000, examples=[2_700])] = None
    manifold_max_inhg: Annotated[float | None, Field(gt=0, le=80, examples=[36])] = None

    @field_validator("oil_max_psi")
    @classmethod
    def _most_above_least(cls, most_psi: float | None, info: ValidationInfo) -> float | None:
        """The most is not below the least."""
        least_psi = info.data.get("oil_min_psi")
        if most_psi is not None and least_psi is not None and most_psi < least_psi:
            raise ValueError(f"at least oil_min_psi, {least_psi:g}")
        return most_psi

    def to_model(self) -> Engine:
        """The same as values."""
        return Engine(**self.model_dump())


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
