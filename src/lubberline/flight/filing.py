"""What a filed flight plan needs to say besides what the plan knows already."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Filing:
    """Items of the ICAO form that nothing else tells; codes as the form has them.

    ``type_designator`` ZZZZ is a type without one, whose name goes into item 18.
    """

    equipment: str
    surveillance: str
    type_designator: str = "ZZZZ"
    wake: str = "L"
    rules: str = "V"
    kind: str = "G"
    radios: str = ""
    survival: str = ""
    jackets: str = ""
    dinghies: str = ""
    remarks: str = ""
