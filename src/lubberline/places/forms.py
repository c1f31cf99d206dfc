"""Which published form a file has, told by its content, and the reader for it.

Names decide only where the form itself prescribes them, as the tables of a subscription do.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from lubberline.errors import BadFile, Problem
from lubberline.places.dataset import DataSet
from lubberline.places.published.zips import Files, Progress, open_files

_SUBSCRIPTION: Final = {"apt_base.csv", "nav_base.csv", "fix_base.csv"}


def read_published(path: Path, progress: Progress | None = None) -> DataSet:
    """The data set of a published file, whatever its form.

    Raises
    ------
    BadFile
        If no form is recognized, or the reader of the one that is refuses the file.
    """
    from lubberline.places import published

    read: Callable[[Path, Progress | None], DataSet] = getattr(published, recognized(path))
    return read(path, progress)


def recognized(path: Path) -> str:
    """Name of the reader that the content of a file asks for."""
    with open_files(path, nested="csv") as files:
        for reader, is_form in _FORMS.items():
            if is_form(files):
                return reader
    forms = "a published form of places: the 28-day subscription as CSV"
    raise BadFile(path, [Problem(key="form", found="none that is known", expected=forms)])


def _is_subscription(files: Files) -> bool:
    return any(member.base in _SUBSCRIPTION for member in files.members)


_FORMS: Final[dict[str, Callable[[Files], bool]]] = {"read_nasr": _is_subscription}
