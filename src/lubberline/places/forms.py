"""Which published form a file has, told by its content, and the reader for it.

Names decide only where the form itself prescribes them, as the tables of a subscription do, or
where the content of a table has nothing of its own to be known by.
"""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Final

from lubberline.errors import BadFile, Problem
from lubberline.places.dataset import DataSet
from lubberline.places.kept import Progress, Read

if TYPE_CHECKING:
    from lubberline.places.published.zips import Files, Member

HEAD_BYTES: Final = 65_536  # own: every form shows itself before
MOST_MEMBERS: Final = 50  # own: of an archive, as many are looked into
FORMS: Final = (
    "the 28-day subscription as CSV, class or special use airspace as a shapefile, the obstacle"
    " file, OpenAir, AIXM 5.1, GeoJSON, OurAirports tables, own points as a table or GPX, or land"
    " as a shapefile or GeoJSON (tiles of terrain go into a folder's places/ as they are)"
)

_SUBSCRIPTION: Final = {"apt_base.csv", "nav_base.csv", "fix_base.csv"}
_INSIDE: Final = "csv|shape|airspace|class|sua|saa|dof|obst|land|openair|aixm|json"


def read_published(path: Path, progress: Progress | None = None) -> DataSet:
    """The data set of a published file, whatever its form.

    Raises
    ------
    BadFile
        If no form is recognized, or the reader of the one that is refuses the file.
    """
    return recognized(path)(path, progress)


def recognized(path: Path) -> Read:
    """The reader that the content of a file asks for.

    Raises
    ------
    BadFile
        If none does.
    """
    from lubberline.places import published
    from lubberline.places.published.zips import open_files

    with open_files(path, nested=_INSIDE) as files:
        if any(one.base in _SUBSCRIPTION for one in files.members):
            return published.read_nasr
        kinds = set(_kinds(files))
    readers: dict[str, Read] = {
        "class": published.read_class_airspace,
        "special": published.read_special_use,
        "obstacles": published.read_obstacles,
        "world": published.read_ourairports,
        "aixm": published.read_aixm,
        "json": published.read_geojson,
        "own": published.read_own_points,
        "openair": published.read_openair,
        "land": published.read_land,
    }
    for kind, read in readers.items():
        if kind in kinds:
            return read
    raise BadFile(path, [Problem(key="form", found="none that is known", expected=FORMS)])


def _kinds(files: "Files") -> Iterator[str]:
    """What each file of a place seems to be."""
    for member in files.members[:MOST_MEMBERS]:
        head = _head(files, member)
        for kind, pattern in _SIGNS.items():
            if pattern.search(head):
                yield kind


def _head(files: "Files", member: "Member") -> bytes:
    with files.open(member) as stream:
        return stream.read(HEAD_BYTES)


def _sign(pattern: bytes, flags: re.RegexFlag = re.DOTALL) -> re.Pattern[bytes]:
    """A pattern, after a byte order mark if it asks for the beginning."""
    return re.compile(pattern.replace(rb"\A", rb"\A(?:\xef\xbb\xbf)?\s*"), flags)


# The table of a shapefile begins with its version and a date; what it is about stands in its
# columns and values. Shapes and features of which nothing else is known can only be land.
_SIGNS: Final[dict[str, re.Pattern[bytes]]] = {
    "class": re.compile(rb"\A[\x03\x83].*LOCAL_TYPE.*CLASS_[A-G]", re.DOTALL),
    "special": re.compile(rb"\A[\x03\x83].*(UPPER_VAL.*LOWER_VAL|LOWER_VAL.*UPPER_VAL)", re.DOTALL),
    "obstacles": _sign(rb"\ACURRENCY DATE|\A\"?OAS\b"),
    "world": _sign(rb"\A\"?id\"?,\"?ident\"?,\"?type\"?"),
    "aixm": _sign(rb"\A<.*aixm"),
    "json": _sign(rb"\A\{.*(\"class\"|\"floor\"|\"UPPER_VAL\"|\"Point\"|\"land\")"),
    "own": _sign(
        rb"\A<.*<gpx\b|\A(?=[^\n]*\bname\b)(?=[^\n]*\blat\b)(?=[^\n]*\blon\b)",
        re.DOTALL | re.IGNORECASE,
    ),
    "openair": _sign(rb"^[ \t]*AC[ \t].*^[ \t]*(DP|DC|DB|DA|DY)[ \t]", re.DOTALL | re.MULTILINE),
    "land": _sign(rb"\A\x00\x00\x27\x0a|\A\{.*\"(Multi)?Polygon\""),
}
