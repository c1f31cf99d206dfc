"""The form of ``[filing]`` in ``flight.toml``. Private to the reader in ``file``.

The letters are checked where the message is written; here only that they are letters.
"""

from typing import Annotated

from pydantic import Field

from lubberline.flight.filing import Filing
from lubberline.tomlfile import Schema

Codes = Annotated[str, Field(pattern=r"^[A-Z0-9]*$", max_length=40)]
Words = Annotated[str, Field(max_length=120)]


class FilingForm(Schema):
    """Codes of the ICAO flight plan form."""

    equipment: Annotated[str, Field(pattern=r"^[A-Z0-9]+$", examples=["'SG'"])]
    surveillance: Annotated[str, Field(pattern=r"^[A-Z0-9]+$", examples=["'C'"])]
    type_designator: Annotated[Codes, Field(min_length=2, examples=["'ZZZZ'"])] = "ZZZZ"
    wake: Annotated[str, Field(pattern="^[LMHJ]$", examples=["'L'"])] = "L"
    rules: Annotated[str, Field(pattern="^[IVYZ]$", examples=["'V'"])] = "V"
    kind: Annotated[str, Field(pattern="^[SNGMX]$", examples=["'G'"])] = "G"
    radios: Annotated[Codes, Field(examples=["'VE'"])] = ""
    survival: Annotated[Codes, Field(examples=["'M'"])] = ""
    jackets: Annotated[Codes, Field(examples=["'L'"])] = ""
    dinghies: Annotated[Words, Field(examples=["'1 4 C ORANGE'"])] = ""
    remarks: Annotated[Words, Field(examples=["'RAFT IN BAGGAGE'"])] = ""

    def to_model(self) -> Filing:
        """The same as a value."""
        return Filing(**self.model_dump())
