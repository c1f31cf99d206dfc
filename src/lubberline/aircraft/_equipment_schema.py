"""The form of an aircraft file's equipment, and what makes it impossible."""

import difflib
from typing import Annotated, Literal

from pydantic import Field, ValidationInfo, field_validator

from lubberline.aircraft._upkeep_schema import Day
from lubberline.aircraft.equipment import Equipment, Inoperative
from lubberline.tomlfile import Location, Schema, refusal

Name = Annotated[str, Field(min_length=1, max_length=60)]
Words = Annotated[str, Field(max_length=200)]
Names = tuple[Name, ...]


class InoperativeForm(Schema):
    """One thing that does not work; what is left out was not looked at yet."""

    name: Annotated[Name, Field(examples=["'cabin lamp'"])]
    since: Annotated[Day | None, Field(examples=["2026-05-30"])] = None
    type_certificate: Annotated[bool | None, Field(examples=["false"])] = None
    directive: Annotated[bool | None, Field(examples=["false"])] = None
    other_rule: Annotated[bool | None, Field(examples=["false"])] = None
    removed: Annotated[bool, Field(examples=["false"])] = False
    deactivated: Annotated[bool | None, Field(examples=["true"])] = None
    took_maintenance: Annotated[bool | None, Field(examples=["false"])] = None
    placarded: Annotated[bool | None, Field(examples=["true"])] = None
    recorded: Annotated[Words, Field(examples=["'airframe log, page 78'"])] = ""
    no_hazard_by: Annotated[Words, Field(examples=["'R. Fenwick, pilot'"])] = ""


class EquipmentForm(Schema):
    """What is fitted, what must be, and what does not work."""

    fitted: Annotated[Names | None, Field(examples=["['altimeter', 'magnetic compass']"])] = None
    required: Annotated[Names | None, Field(examples=["['stall warning']"])] = None
    required_night: Annotated[Names, Field(examples=["['panel lights']"])] = ()
    has_list: Annotated[bool, Field(examples=["false"])] = False
    cooling: Annotated[Literal["air", "liquid"], Field(examples=["'air'"])] = "air"
    altitude_engine: Annotated[bool | None, Field(examples=["false"])] = None
    has_fuses: Annotated[bool | None, Field(examples=["false"])] = None
    certificated_on: Annotated[Day | None, Field(examples=["1974-08-02"])] = None
    manufactured_on: Annotated[Day | None, Field(examples=["1979-03-14"])] = None
    inoperative: tuple[InoperativeForm, ...] = ()

    @field_validator("inoperative")
    @classmethod
    def _is_fitted(
        cls, broken: tuple[InoperativeForm, ...], info: ValidationInfo
    ) -> tuple[InoperativeForm, ...]:
        """What does not work is on the list of what is fitted, so that no name is missed."""
        fitted = info.data.get("fitted") or ()
        problems: list[tuple[Location, object, str]] = []
        for index, one in enumerate(broken):
            if one.name in [other.name for other in broken[:index]]:
                problems.append(((index, "name"), one.name, "a name not used above"))
            elif one.name not in fitted and "fitted" in info.data:
                near = difflib.get_close_matches(one.name, fitted, n=1)
                hint = f"; perhaps {near[0]!r}" if near else ""
                wanted = f"a name of equipment.fitted{hint}"
                problems.append(((index, "name"), one.name, wanted))
        if problems:
            raise refusal(problems)
        return broken

    def to_model(self) -> Equipment:
        """The equipment as values."""
        return Equipment(
            **self.model_dump(exclude={"inoperative"}),
            inoperative=tuple(Inoperative(**one.model_dump()) for one in self.inoperative),
        )
