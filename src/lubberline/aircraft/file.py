"""Reads an aircraft file: one airplane's flight manual and logbook dates, as TOML.

Keys carry their units. Performance tables are copied as they are printed, each with the
place in the manual where it stands; what the file may say is held in ``_schema``
and ``_table_schema``.
"""

from pathlib import Path

import numpy as np

from lubberline.aircraft._schema import AircraftForm, LoadingForm
from lubberline.aircraft._table_schema import TableForm
from lubberline.aircraft.model import (
    Aircraft,
    LoadingLimits,
    Speeds,
    Station,
    Table,
    Tank,
)
from lubberline.arrays import FloatArray
from lubberline.tomlfile import read_toml

_NESTED = {"speeds", "loading", "table", "clocks", "upkeep", "directive", "equipment"}


def read_aircraft(path: Path) -> Aircraft:
    """The airplane that a TOML file describes.

    Raises
    ------
    BadFile
        If the file is missing, not TOML, or impossible: all its problems together.
    """
    form = read_toml(path, AircraftForm)
    return Aircraft(
        **form.model_dump(exclude=_NESTED),
        speeds=Speeds(**form.speeds.model_dump()),
        loading=_loading(form.loading),
        tables={table.name: _table(table) for table in form.table},
        clocks=form.clocks.to_model(),
        upkeep=form.upkeep.to_model(),
        equipment=form.equipment.to_model(),
        directives=tuple(directive.to_model() for directive in form.directive),
    )


def _loading(form: LoadingForm) -> LoadingLimits:
    return LoadingLimits(
        **form.model_dump(exclude={"envelope", "station", "tank"}),
        stations=tuple(Station(**station.model_dump()) for station in form.station),
        tanks=tuple(Tank(**tank.model_dump()) for tank in form.tank),
        envelope_arm_in=_locked([corner.arm_in for corner in form.envelope]),
        envelope_lb=_locked([corner.weight_lb for corner in form.envelope]),
    )


def _table(form: TableForm) -> Table:
    return Table(
        **form.model_dump(exclude={"axes", "values", "weight_lb", "pressure_ft", "oat_degc"}),
        axes={axis: _locked(getattr(form, axis)) for axis in form.axes},
        values=_locked(form.values),
    )


def _locked(figures: object) -> FloatArray:
    """A float64 array that nothing changes by accident."""
    array = np.array(figures, dtype=np.float64)
    array.flags.writeable = False
    return array
