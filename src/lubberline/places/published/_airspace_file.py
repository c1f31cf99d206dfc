"""A shapefile of airspace as a data set."""

from collections.abc import Iterator
from pathlib import Path, PurePosixPath
from typing import Final

from lubberline.places.dataset import DataSet
from lubberline.places.model import Volume
from lubberline.places.published._account import Accounting, Unfit, refusal
from lubberline.places.published._cycle import day_in, source_of
from lubberline.places.published._faa_airspace import numbered, volumes_of
from lubberline.places.published._footprints import footprints
from lubberline.places.published._shapes import fields_of, records
from lubberline.places.published._table import decoded
from lubberline.places.published.zips import (
    Files,
    Member,
    Progress,
    open_files,
)

_NEEDED: Final = ("NAME", "UPPER_VAL", "LOWER_VAL")


def read_airspace_shapes(path: Path, form: str, progress: Progress | None) -> DataSet:
    """All volumes of the shapefiles of airspace at a path, whatever their kind."""
    account = Accounting()
    with open_files(path, nested="shape|airspace|class|sua", progress=progress) as files:
        pairs = [pair for shapes in files.ending(".shp") if (pair := _pair(files, shapes, account))]
        if not pairs:
            found = "no shapefile with " + ", ".join(_NEEDED)
            raise refusal(path, found, f"a {form}")
        files.expect(*(member for pair in pairs for member in pair))
        day = day_in(pairs[0][0].name, path.name, path.parent.name)
        source = source_of(files, form, day)
        found_volumes = [volume for pair in pairs for volume in _volumes(files, pair, account)]
        return DataSet(source=source, volumes=numbered(found_volumes), account=account.done())


def _pair(files: Files, shapes: Member, account: Accounting) -> tuple[Member, Member] | None:
    """A file of shapes with its table, if that has the attributes of airspace."""
    beside = {
        one.base.rpartition(".")[2]: one
        for one in files.members
        if PurePosixPath(one.name).with_suffix("") == PurePosixPath(shapes.name).with_suffix("")
    }
    table = beside.get("dbf")
    if table is None:
        account.leave_out(shapes.name, None, "the whole file", "no table (.dbf) beside it")
        return None
    absent = [name for name in _NEEDED if name not in fields_of(files, table)]
    if absent:
        reason = f"no airspace: its table has no {', '.join(absent)}"
        account.leave_out(shapes.name, None, "the whole file", reason)
        return None
    if "prj" in beside:
        with files.open(beside["prj"]) as stream:
            system = decoded(stream.read(10_000))
        if system.lstrip().upper().startswith("PROJ"):
            raise refusal(files.path, f"{shapes.name} in a plane", "longitude and latitude")
    return shapes, table


def _volumes(files: Files, pair: tuple[Member, Member], account: Accounting) -> Iterator[Volume]:
    for line, (rings, row) in records(files, *pair, account):
        name = row.get("NAME", "")
        try:
            if not any(row.values()):
                raise Unfit("deleted, or empty")
            if isinstance(rings, Unfit):
                raise rings
            volumes = list(volumes_of(row, footprints(rings), files.path.name))
        except Unfit as exc:
            account.leave_out(pair[0].name, line, name or "record", str(exc))
            continue
        account.read("volumes", len(volumes))
        yield from volumes
