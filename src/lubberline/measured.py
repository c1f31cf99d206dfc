"""Forms whose keys end in a unit, and take a text with another unit of the same kind for it.

``weight_lb = "80 kg"`` becomes 176.4 lb at the door, so that every number is kept in the
unit that its key names. A plain number is in that unit already.
"""

from typing import Any

from pydantic import BeforeValidator, ValidationInfo, field_validator

from lubberline.tomlfile import Schema
from lubberline.units import in_unit, units_for


class Measured(Schema):
    """A form in which "80 kg" may stand for a key in pounds, alone or in a list."""

    @field_validator("*", mode="before")
    @classmethod
    def _in_unit_of_key(cls, value: Any, info: ValidationInfo) -> Any:
        """The amount in the unit of the key; what is no text is left as it is."""
        name = str(info.field_name)
        unit = name.rpartition("_")[2]
        return _converted(value, unit) if "_per_" not in name and units_for(unit) else value


def written_in(unit: str) -> BeforeValidator:
    """The same for one value of a table whose keys are names: its unit is that of the table."""
    return BeforeValidator(lambda value: _converted(value, unit))


def _converted(value: Any, unit: str) -> Any:
    if isinstance(value, list):
        return [_converted(one, unit) for one in value]
    return in_unit(value, unit) if isinstance(value, str) else value
