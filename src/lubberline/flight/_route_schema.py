"""The form of routes in ``flight.toml``: own ways, and what is wanted of those to be found.

Private to the reader in ``file``.
"""

from typing import Annotated, Any

from pydantic import Field, ValidationInfo, field_validator

from lubberline.measured import Measured
from lubberline.tomlfile import Schema, refusal

PlaceForm = str | tuple[float, float]
_EXAMPLE_PLACE = "a name, or [latitude, longitude] in degrees"


class ViaForm(Schema):
    """Points to go over, in order."""

    via: Annotated[
        tuple[PlaceForm, ...],
        Field(examples=["['Split Rock', [41.10, -131.25]]"]),
    ] = ()

    @field_validator("via", mode="before")
    @classmethod
    def _each_a_place(cls, via: Any) -> Any:
        """One message per place, where the choice between two forms would give two."""
        if isinstance(via, list):
            wrong = [((n,), one, _EXAMPLE_PLACE) for n, one in enumerate(via) if not is_place(one)]
            if wrong:
                raise refusal(wrong)
        return via


class WayForm(ViaForm):
    """One of the pilot's own routes."""

    name: Annotated[str, Field(min_length=1, examples=["'under the shelf'"])]
    cruise_msl_ft: Annotated[float, Field(gt=0, le=60_000, examples=[4500])]
    permissions: Annotated[tuple[str, ...], Field(examples=["['marl-tower']"])] = ()


class AvoidForm(Measured):
    """A place to stay away from."""

    place: Annotated[PlaceForm, Field(examples=["'Split Rock'"])]
    radius_nm: Annotated[float, Field(gt=0, le=100, examples=[3])]

    @field_validator("place", mode="before")
    @classmethod
    def _a_place(cls, place: Any) -> Any:
        if not is_place(place):
            raise refusal([((), place, _EXAMPLE_PLACE)])
        return place


class SearchForm(ViaForm):
    """What is wanted of ways that are found; an empty table asks for them as they are."""

    avoid: Annotated[
        tuple[AvoidForm, ...], Field(examples=["[{ place = 'Split Rock', radius_nm = 3 }]"])
    ] = ()
    not_above_msl_ft: Annotated[float | None, Field(gt=0, le=60_000, examples=[5500])] = None
    not_below_msl_ft: Annotated[float | None, Field(gt=0, le=60_000, examples=[2500])] = None
    near_landing_nm: Annotated[float | None, Field(gt=0, le=200, examples=[10])] = None
    glide_to_land: Annotated[bool, Field(examples=["true"])] = False

    @field_validator("not_below_msl_ft")
    @classmethod
    def _room_between(cls, low_ft: float | None, info: ValidationInfo) -> float | None:
        high_ft = info.data.get("not_above_msl_ft")
        if low_ft is not None and high_ft is not None and low_ft >= high_ft:
            raise ValueError(f"less than not_above_msl_ft, {high_ft:g}")
        return low_ft


def is_place(one: Any) -> bool:
    """Whether a value is a name, or latitude and longitude."""
    if isinstance(one, str):
        return bool(one)
    if not isinstance(one, list) or len(one) != 2:
        return False
    numbers = [part for part in one if isinstance(part, int | float)]
    return len(numbers) == 2 and abs(numbers[0]) <= 90.0 and abs(numbers[1]) <= 180.0
