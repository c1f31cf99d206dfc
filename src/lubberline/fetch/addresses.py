"""Where the official services are; a file of the pilot's may name other addresses."""

import os
from pathlib import Path
from typing import Annotated, Final

from pydantic import Field, field_validator

from lubberline.tomlfile import Schema, read_toml

FILE_VARIABLE: Final = "LUBBERLINE_SERVICES"


class Addresses(Schema):
    """Addresses of the services, each without a slash at its end. Their publishers move them.

    As documented by the publishers: the aviation weather data interface of the US National
    Weather Service, and the 28-day subscription and obstacle file of the FAA.
    """

    weather: Annotated[str, Field(examples=["'https://aviationweather.gov/api/data'"])] = (
        "https://aviationweather.gov/api/data"
    )
    subscription: Annotated[str, Field(examples=["'http://localhost:8000/28day'"])] = (
        "https://nfdc.faa.gov/webContent/28DaySub"
    )
    obstacles: Annotated[str, Field(examples=["'http://localhost:8000/obstacles'"])] = (
        "https://aeronav.faa.gov/Obst_Data"
    )

    @field_validator("*")
    @classmethod
    def _address(cls, text: str) -> str:
        """An address that can be asked."""
        if not text.startswith(("https://", "http://")):
            raise ValueError("an address that begins with https:// or http://")
        return text.rstrip("/")


def read_addresses(path: Path | None = None) -> Addresses:
    """The addresses of a TOML file, by default the one that LUBBERLINE_SERVICES names, if any.

    Raises
    ------
    BadFile
        If the file is named but cannot be read, or says something else.
    """
    named = os.environ.get(FILE_VARIABLE)
    if path is None and not named:
        return Addresses()
    return read_toml(path or Path(named or ""), Addresses)
