"""The form of an aircraft file's flaps, systems and oil, and what makes them impossible."""

from itertools import pairwise
from typing import Annotated

from pydantic import Field, ValidationInfo, field_validator

from lubberline.aircraft._upkeep_schema import Day
from lubberline.aircraft.systems import Oil, Selector, Systems
from lubberline.measured import Measured
from lubberline.tomlfile import Location, refusal

Words = Annotated[str, Field(min_length=1, max_length=200)]
Kt = Annotated[float, Field(gt=0, lt=1_000)]
Qt = Annotated[float, Field(gt=0, le=200)]


class FlapForm(Measured):
    """One flap setting."""

    name: Annotated[str, Field(min_length=1, max_length=30, examples=["'10 degrees'"])]
    max_kt: Annotated[Kt | None, Field(examples=[125])] = None
    approach_kt: Annotated[Kt | None, Field(examples=[80])] = None
    use: Annotated[str, Field(max_length=200, examples=["'take-off, approach'"])] = ""


class SystemsForm(Measured):
    """Systems in the manual's words; "none" is that there is no such thing."""

    fuel_selector: Annotated[Selector | None, Field(examples=["'left or right'"])] = None
    boost_pump: Annotated[Words | None, Field(examples=["'on for take-off and landing'"])] = None
    carburetor_heat: Annotated[Words | None, Field(examples=["'none'"])] = None
    alternate_air: Annotated[Words | None, Field(examples=["'opens by itself'"])] = None
    cowl_flaps: Annotated[Words | None, Field(examples=["'open on the ground and in climb'"])] = (
        None
    )
    gear_by_hand: Annotated[Words | None, Field(examples=["'pump under the seat'"])] = None
    fuel_min_gal: Annotated[float | None, Field(gt=0, lt=1_000, examples=[10])] = None
    limitations: Annotated[
        tuple[Words, ...] | None, Field(examples=["['no slips with flaps full']"])
    ] = None

    def to_model(self) -> Systems:
        """The systems as values."""
        return Systems(**self.model_dump())


class OilForm(Measured):
    """Oil to fly with, and the latest reading."""

    max_qt: Annotated[Qt | None, Field(examples=[8])] = None
    min_qt: Annotated[Qt | None, Field(examples=[6])] = None
    read_on: Annotated[Day | None, Field(examples=["2026-11-25"])] = None
    read_qt: Annotated[float | None, Field(ge=0, le=200, examples=[7], validate_default=True)] = (
        None
    )

    @field_validator("min_qt")
    @classmethod
    def _least_below_most(cls, least_qt: float | None, info: ValidationInfo) -> float | None:
        """The least is not above what it holds."""
        most_qt = info.data.get("max_qt")
        if least_qt is not None and most_qt is not None and least_qt > most_qt:
            raise ValueError(f"at most max_qt, {most_qt:g}")
        return least_qt

    @field_validator("read_qt")
    @classmethod
    def _read_on_a_day(cls, read_qt: float | None, info: ValidationInfo) -> float | None:
        """A reading has its day, and a day its reading."""
        if "read_on" in info.data and (read_qt is None) is not (info.data["read_on"] is None):
            raise ValueError("read_qt and read_on together, or neither")
        return read_qt

    def to_model(self) -> Oil:
        """The oil as values."""
        return Oil(**self.model_dump())


def check_flaps(flaps: tuple[FlapForm, ...], full_kt: float | None) -> None:
    """Raise unless each setting comes once, further out no faster, the last at ``flaps_kt``."""
    problems: list[tuple[Location, object, str]] = []
    for index, (before, flap) in enumerate(pairwise(flaps), 1):
        if flap.name in [one.name for one in flaps[:index]]:
            problems.append(((index, "name"), flap.name, "a name not used above"))
        if before.max_kt is not None and flap.max_kt is not None and flap.max_kt > before.max_kt:
            expected = f"at most {before.max_kt:g}, as further in"
            problems.append(((index, "max_kt"), flap.max_kt, expected))
    last_kt = flaps[-1].max_kt if flaps else None
    if last_kt is not None and full_kt is not None and last_kt != full_kt:
        place = (len(flaps) - 1, "max_kt")
        problems.append((place, last_kt, f"speeds.flaps_kt, {full_kt:g}, for the last setting"))
    if problems:
        raise refusal(problems)
