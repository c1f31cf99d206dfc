"""Factors that flights have shown over the manual's tables, and the tables with them.

Only tables of which an error costs minutes and gallons, never a runway, have a factor: distances
and limits stay those of the manual.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from lubberline.aircraft.model import Aircraft, Table

LEARNED_TABLES: Final = {
    "cruise_tas_factor": "cruise_tas_kt",
    "cruise_gph_factor": "cruise_gph",
    "climb_fpm_factor": "climb_fpm",
}


def with_learned(table: Table, factors: Mapping[str, float]) -> Table:
    """The table times the factor that was taken for it; its source says so."""
    factor = next((f for key, f in factors.items() if LEARNED_TABLES[key] == table.name), None)
    if factor is None:
        return table
    return replace(_times(table, factor), source=f"{table.source}, times {factor:g} as learned")


def relearned(aircraft: Aircraft, factors: Mapping[str, float]) -> Aircraft:
    """The airplane with these factors in place of those that its file has; none given: 1."""
    ratios = {
        name: factors.get(key, 1.0) / aircraft.learned.get(key, 1.0)
        for key, name in LEARNED_TABLES.items()
    }
    tables = {
        key: _times(table, ratios[table.name]) if table.name in ratios else table
        for key, table in aircraft.tables.items()
    }
    return replace(aircraft, tables=tables, learned=dict(factors))


def _times(table: Table, by_factor: float) -> Table:
    values = table.values * by_factor
    values.flags.writeable = False
    return replace(table, values=values)
