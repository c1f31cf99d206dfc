"""Which column of a CSV logbook is what: a TOML file of the pilot's own.

::

    date_form = "%m/%d/%Y"      # as it is written in the file
    hours = "h:mm"              # or "decimal"
    [columns]                   # our name = heading in the file
    flown_on = "Date"
    total_h = "Flight time"
    [fixed]                     # what the file has no column for
    category_class = "airplane single-engine land"
    [types."Heron 200"]         # by type, where several are in the file
    tailwheel = false
"""

from pathlib import Path
from typing import Annotated, Any, Final, Literal

from pydantic import Field, Strict, field_validator

from lubberline.logbook.model import Entry
from lubberline.tomlfile import Schema, read_toml, refusal

NAMES: Final = tuple(Entry.__dataclass_fields__)
Heading = Annotated[str, Field(min_length=1, examples=["'Date'"])]


class _OfType(Schema):
    """What a type of airplane counts as."""

    category_class: Annotated[
        str | None, Field(min_length=3, examples=["'airplane single-engine land'"])
    ] = None
    tailwheel: Annotated[bool | None, Strict(), Field(examples=["false"])] = None


class LogbookMap(Schema):
    """The file format."""

    delimiter: Annotated[str, Field(min_length=1, max_length=1, examples=["';'"])] = ","
    date_form: Annotated[str, Field(min_length=2, examples=["'%m/%d/%Y'"])] = "%Y-%m-%d"
    hours: Annotated[Literal["decimal", "h:mm"], Field(examples=["'decimal'"])] = "decimal"
    decimal_comma: Annotated[bool, Strict(), Field(examples=["false"])] = False
    columns: Annotated[dict[str, Heading], Field(examples=["{ flown_on = 'Date' }"])]
    fixed: Annotated[
        dict[str, str | bool],
        Field(
            default_factory=dict, examples=["{ category_class = 'airplane single-engine land' }"]
        ),
    ]
    types: Annotated[dict[str, _OfType], Field(default_factory=dict)]

    @field_validator("columns")
    @classmethod
    def _known_columns(cls, columns: dict[str, str]) -> dict[str, str]:
        """Our names only, with those that every line needs."""
        _check_names(columns)
        missing = [name for name in ("flown_on", "total_h") if name not in columns]
        if missing:
            raise refusal([((name,), None, "the heading of its column") for name in missing])
        return columns

    @field_validator("fixed")
    @classmethod
    def _known_fixed(cls, fixed: dict[str, Any]) -> dict[str, Any]:
        """Our names only."""
        _check_names(fixed)
        return fixed


def read_logbook_map(path: Path) -> LogbookMap:
    """The column map in a TOML file.

    Raises
    ------
    BadFile
        If the file is missing or wrong: all its problems together.
    """
    return read_toml(path, LogbookMap)


def own_map() -> LogbookMap:
    """The map of a file that ``csv_text`` wrote: headings are our names."""
    return LogbookMap(columns={name: name for name in NAMES}, fixed={}, types={})


def _check_names(given: dict[str, Any]) -> None:
    wrong = [name for name in given if name not in NAMES]
    if wrong:
        raise refusal([((name,), given[name], f"one of {', '.join(NAMES)}") for name in wrong])
