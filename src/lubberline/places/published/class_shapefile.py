"""The class-airspace shapefile of the US subscription, as it comes in the same cycle.

All its rows of one facility share one group, named by the identifier of the primary airport;
the frequency comes from that airport's services, which are in other tables.
"""

from pathlib import Path
from typing import Final

from lubberline.places.dataset import DataSet
from lubberline.places.published._airspace_file import read_airspace_shapes
from lubberline.places.published.zips import Progress

FORM: Final = "class-airspace shapefile"


def read_class_airspace(path: Path, progress: Progress | None = None) -> DataSet:
    """Volumes of the classes A to G, the veils round the busiest airports, and what else is there.

    Parameters
    ----------
    path : Path
        The shapefile, a zip file or a folder with it.
    progress : callable, optional
        Called with the bytes read and the bytes in all.

    Raises
    ------
    BadFile
        If there is no such shapefile, or one that is not in degrees.

    References
    ----------
    [FAA-AIRSPACE]_, attributes; [SHAPEFILE]_, form.
    """
    return read_airspace_shapes(path, FORM, progress)
