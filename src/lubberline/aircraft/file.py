"""Reads an aircraft file: one airplane's flight manual and logbook dates, as TOML.

Keys carry their units. Performance tables are copied as they are printed, each with the
place in the manual where it stands; what the file may say is held in ``_schema``
and ``_table_schema``.
"""

from pathlib import Path

import numpy as np

from lubberline.aircraft._loading_schema import LoadingForm
from lubberline.aircraft._schema import AircraftForm
from lubberline.aircraft._table_schema import AXES, TableForm
from lubberline.aircraft.learned import with_learned
from lubberline.aircraft.model import (
    Aircraft,
    LoadingLimits,
    Speeds,
    Station,
    Table,
    Tank,
)
from lubberline.aircraft.systems import Flap
from lubberline.arrays import FloatArray
from lubberline.tomlfile import read_toml
from lubberline.units import unit_factor

_NESTED = {
    *("speeds", "loading", "table", "clocks", "upkeep", "directive", "equipment"),
    *("cruise", "flap", "systems", "oil", "engine", "power_down", "learned"),
}


def read_aircraft(path: Path) -> Aircraft:
    """The airplane that a TOML file describes.

    Raises
    ------
    BadFile
        If the file is missing, not TOML, or impossible: all its problems together.
    """
    form = read_toml(path, AircraftForm)
    learned = form.learned.factors()
    return Aircraft(
        **form.model_dump(exclude=_NESTED),
        speeds=Speeds(**form.speeds.model_dump()),
        loading=_loading(form.loading),
        tables={table.key: with_learned(_table(table), learned) for table in form.table},
        learned=learned,
        cruise=form.cruise.model_dump(exclude_none=True),
        flaps=tuple(Flap(**flap.model_dump()) for flap in form.flap),
        systems=form.systems.to_model(),
        oil=form.oil.to_model(),
        engine=form.engine.to_model(),
        power_down=form.power_down.to_model() if form.power_down else None,
        clocks=form.clocks.to_model(),
        upkeep=form.upkeep.to_model(),
        equipment=form.equipment.to_model(),
        directives=tuple(directive.to_model() for directive in form.directive),
    )


def _loading(form: LoadingForm) -> LoadingLimits:
    return LoadingLimits(
        **form.model_dump(exclude={"envelope", "utility_envelope", "station", "tank"}),
        stations=tuple(Station(**station.model_dump()) for station in form.station),
        tanks=tuple(Tank(**tank.model_dump()) for tank in form.tank),
        envelope_arm_in=_locked([corner.arm_in for corner in form.envelope]),
        envelope_lb=_locked([corner.weight_lb for corner in form.envelope]),
        utility_arm_in=_locked([corner.arm_in for corner in form.utility_envelope]),
        utility_lb=_locked([corner.weight_lb for corner in form.utility_envelope]),
    )


def _table(form: TableForm) -> Table:
    unit = form.name.rpartition("_")[2]
    factor = unit_factor(form.printed_as or unit, unit)
    return Table(
        **form.model_dump(exclude={"axes", "values", "printed_as", "surface", *AXES}),
        axes={axis: _locked(getattr(form, axis)) for axis in form.axes},
        values=_locked(np.array(form.values, dtype=np.float64) * factor),
    )


def _locked(figures: object) -> FloatArray:
    """A float64 array that nothing changes by accident."""
    array = np.array(figures, dtype=np.float64)
    array.flags.writeable = False
    return array
