"""The special-use-airspace shapefile of the US government: restricted areas, MOAs and the like."""

from pathlib import Path
from typing import Final

from lubberline.places.dataset import DataSet
from lubberline.places.published._airspace_file import read_airspace_shapes
from lubberline.places.published.zips import Progress

FORM: Final = "special-use-airspace shapefile"


def read_special_use(path: Path, progress: Progress | None = None) -> DataSet:
    """Volumes of special use with their times and the agency that controls them.

    Arguments, refusals and sources are those of ``read_class_airspace``.
    """
    return read_airspace_shapes(path, FORM, progress)
