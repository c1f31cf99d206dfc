"""What flights have shown of an airplane and its pilot has taken over the manual's figure.

Each factor multiplies one table. Only tables of which an error costs minutes and gallons, never
a runway, may be changed: distances and limits stay those of the manual.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Annotated, Final

from pydantic import Field

from lubberline.aircraft.model import Table
from lubberline.measured import Measured

Factor = Annotated[float | None, Field(ge=0.5, le=1.5, examples=[0.97])]
TABLES: Final = {
    "cruise_tas_factor": "cruise_tas_kt",
    "cruise_gph_factor": "cruise_gph",
    "climb_fpm_factor": "climb_fpm",
}


class LearnedForm(Measured):
    """The ``[learned]`` table of an aircraft file."""

    cruise_tas_factor: Factor = None
    cruise_gph_factor: Factor = None
    climb_fpm_factor: Factor = None

    def factors(self) -> dict[str, float]:
        """Those that are given."""
        return dict(self.model_dump(exclude_none=True))


def with_learned(table: Table, factors: Mapping[str, float]) -> Table:
    """The table with the factor that was taken for it; its source says so."""
    keys = [key for key, name in TABLES.items() if name == table.name and key in factors]
    if not keys:
        return table
    factor = factors[keys[0]]
    values = table.values * factor
    values.flags.writeable = False
    return replace(table, values=values, source=f"{table.source}, times {factor:g} as learned")
